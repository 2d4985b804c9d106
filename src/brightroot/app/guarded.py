"""A store that knows who is asking. Whatever use case reaches it, nobody reads or writes past their role."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from brightroot.app.access import Act, Who, ask, ask_event
from brightroot.app.ports import LogStore
from brightroot.base.errors import Refused
from brightroot.model.event import Event
from brightroot.model.streams import ACCESS, PEOPLE, is_joint, stamp_of


class GuardedStore:
    """The same logs as `inner`, for whoever `who` says is asking at this moment."""

    def __init__(self, inner: LogStore, who: Callable[[], Who | None]) -> None:
        self._inner = inner
        self._who = who

    def append(
        self,
        joint: str,
        at_utc: str,
        by: str,
        kind: str,
        data: Mapping[str, Any],
        corrects: str = "",
        client_id: str = "",
        version: int = 1,
        device: str = "",
        tap: Any = None,
    ) -> Event:
        """One event, if this person may write it there. It is chained under the device that they hold."""
        who = self._asking()
        if is_joint(joint):
            log = self._inner.events(joint)
            if log:
                self._within(who, joint)
            ask_event(who, kind, data, by=by, corrects=corrects, log=log)
        else:
            if by != who.stamp:
                raise Refused(field="by", wanted=who.stamp, got=by or "nothing", reason="access.other_hand")
            ask(who, Act.QUALIFY if joint.startswith(PEOPLE) else Act.CREW if joint.startswith(ACCESS) else Act.RULE)
        return self._inner.append(
            joint, at_utc, by, kind, data, corrects, client_id, version, device=who.device, tap=who.tap
        )

    def events(self, joint: str) -> tuple[Event, ...]:
        """The events of a log within reach; a joint out of reach is as if it were not there."""
        return self._inner.events(joint) if self._reaches(joint) else ()

    def stored(self, joint: str) -> tuple[bytes, ...]:
        """The stored bytes of a log within reach."""
        return self._inner.stored(joint) if self._reaches(joint) else ()

    def watch(self, joint: str) -> Callable[[], int]:
        """A look at how long a log within reach is; one out of reach stays empty."""
        return self._inner.watch(joint) if self._reaches(joint) else lambda: 0

    def joints(self) -> tuple[str, ...]:
        """The joints within reach: all, or one's own."""
        who = self._asking()
        ask(who, Act.LOOK)
        return self._inner.joints() if who.may(Act.LOOK_ALL) else self._inner.joints_of(who.stamp)

    def joints_of(self, stamp: str) -> tuple[str, ...]:
        """Somebody's joints, of those within reach."""
        mine = set(self.joints())
        return tuple(name for name in self._inner.joints_of(stamp) if name in mine)

    def logs(self, under: str = "") -> tuple[str, ...]:
        """The logs within reach whose names begin so."""
        return tuple(name for name in self._inner.logs(under) if self._reaches(name))

    def events_of(self, kinds: Sequence[str], *, by: str) -> tuple[Event, ...]:
        """The events of those kinds in that person's joints, of those within reach."""
        reach = set(self.joints())
        return tuple(event for event in self._inner.events_of(kinds, by=by) if event.joint in reach)

    def proof(self, joint: str) -> Mapping[str, Any]:
        """Signatures and places of a log within reach."""
        return self._inner.proof(joint) if self._reaches(joint) else {}

    def receipt(self, event: Event) -> Mapping[str, Any]:
        """The receipt of an event that was just written."""
        return self._inner.receipt(event)

    def put_attachment(self, content: bytes, media_type: str) -> str:
        """Save a photo or a plan, if this person may write at all."""
        who = self._asking()
        if not any(who.may(act) for act in (Act.RECORD, Act.DECLARE, Act.QUALIFY)):
            ask(who, Act.RECORD)
        return self._inner.put_attachment(content, media_type)

    def attachment(self, sha256: str) -> tuple[bytes, str] | None:
        """What is saved under that hash: it is named only in logs, and those are guarded."""
        ask(self._asking(), Act.LOOK)
        return self._inner.attachment(sha256)

    def _asking(self) -> Who:
        who = self._who()
        if who is None:
            raise Refused(field="stamp", wanted="somebody signed in", got="nobody", reason="access.nobody")
        return who

    def _within(self, who: Who, joint: str) -> None:
        if not who.may(Act.LOOK_ALL) and joint not in self._inner.joints_of(who.stamp):
            raise Refused(field="joint", wanted="a joint of yours", got=joint, reason="access.not_your_joint")

    def _reaches(self, log: str) -> bool:
        who = self._asking()
        if not who.may(Act.LOOK):
            return False
        if log.startswith(ACCESS):
            return who.may(Act.CREW)
        if who.may(Act.LOOK_ALL):
            return True
        if log.startswith(PEOPLE):
            return self._works_with(who, stamp_of(log))
        return not is_joint(log) or log in self._inner.joints_of(who.stamp)

    def _works_with(self, who: Who, stamp: str) -> bool:
        """A record is open to its own person, and to those who share a joint with them: it stands in its dossier."""
        return stamp == who.stamp or bool({*self._inner.joints_of(stamp)} & {*self._inner.joints_of(who.stamp)})
