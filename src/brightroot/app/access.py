"""Who may do what: one table of roles and acts, and the few rules that a table cannot hold.

Where one person works alone on their own machine nobody is asked who they are, and none of this applies.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from brightroot.base.errors import Refused
from brightroot.model.event import KINDS, Event


class Act(StrEnum):
    """What a role may do."""

    LOOK = "look"  # at joints within reach, and at what is asked of them
    LOOK_ALL = "look at all"  # at everybody's joints, not only one's own
    RECORD = "record"  # an ordinary entry on a joint
    STAMP = "stamp"  # a weld with one's own stamp
    RELEASE = "release"  # a hold point
    EXAMINE = "examine"  # radiographs, hardness, bends
    DECIDE = "decide"  # a repair
    WAIVE = "waive"  # a limit of the procedure
    DECLARE = "declare"  # a joint
    GIVE = "give"  # a joint to somebody to work on
    ISSUE = "issue"  # a dossier
    QUALIFY = "qualify"  # write in somebody's record
    RULE = "rule"  # confirm and tighten rules, type procedures
    CREW = "crew"  # take people and devices on, and let them go


_WORK = frozenset({Act.LOOK, Act.RECORD})
MAY: Mapping[str, frozenset[Act]] = {
    "welder": _WORK | {Act.STAMP, Act.DECLARE, Act.ISSUE},
    "helper": _WORK,
    "foreman": _WORK | {Act.LOOK_ALL, Act.DECIDE, Act.DECLARE, Act.GIVE, Act.ISSUE, Act.QUALIFY, Act.CREW},
    "inspector": _WORK | {Act.LOOK_ALL, Act.RELEASE, Act.EXAMINE, Act.DECIDE, Act.ISSUE, Act.QUALIFY},
    "engineer": _WORK
    | {Act.LOOK_ALL, Act.EXAMINE, Act.DECIDE, Act.WAIVE, Act.DECLARE, Act.GIVE, Act.ISSUE, Act.QUALIFY, Act.RULE},
    "viewer": frozenset({Act.LOOK, Act.LOOK_ALL}),
}
ROLES = tuple(MAY)
# kinds of event that ask for more than an ordinary entry
KIND_ACTS: Mapping[str, Act] = {
    "joint.declared": Act.DECLARE,
    "plan.made": Act.DECLARE,
    "work.given": Act.GIVE,
    "weld.stamped": Act.STAMP,
    "hold_point.released": Act.RELEASE,
    "nde.reported": Act.EXAMINE,
    "hardness.measured": Act.EXAMINE,
    "bend.tested": Act.EXAMINE,
    "repair.decided": Act.DECIDE,
    "procedure.waived": Act.WAIVE,
    "concession.signed": Act.WAIVE,
    "dossier.issued": Act.ISSUE,
}
# in which role of a signature which role of a person signs
SIGNS: Mapping[str, frozenset[str]] = {
    "welder": frozenset({"welder"}),
    "inspector": frozenset({"inspector"}),
    "second signer": frozenset({"inspector", "foreman", "engineer"}),
    "engineer": frozenset({"engineer"}),
    "owner": frozenset({"inspector"}),
}
WELDING = ("tack.made", "arc.started", "arc.stopped", "weld.stamped")


@dataclass(frozen=True, slots=True)
class Who:
    """Who is asking: their stamp, their roles, the device they hold, and what that device signed itself."""

    stamp: str
    roles: frozenset[str]
    device: str
    tap: Any = None

    def may(self, act: Act) -> bool:
        """Whether one of their roles may do that."""
        return any(act in MAY[role] for role in self.roles if role in MAY)


def roles_typed(text: str) -> tuple[str, ...]:
    """Roles as typed, in the order of the table.

    >>> roles_typed("inspector, welder")
    ('welder', 'inspector')
    """
    typed = {name.strip() for name in text.replace(";", ",").split(",") if name.strip()}
    strange = sorted(typed - set(ROLES))
    if strange or not typed:
        got = strange[0] if strange else "nothing"
        raise Refused(field="roles", wanted=f"one or more of {', '.join(ROLES)}", got=got, reason="refused.name")
    return tuple(role for role in ROLES if role in typed)


def ask(who: Who, act: Act) -> None:
    """Refused unless one of the roles may do that."""
    if not who.may(act):
        able = ", ".join(role for role, acts in MAY.items() if act in acts)
        got = ", ".join(sorted(who.roles)) or "no role"
        raise Refused(field="role", wanted=able, got=got, reason="access.role", params={"act": act.value})


def ask_event(
    who: Who, kind: str, data: Mapping[str, Any], *, by: str, corrects: str = "", log: Iterable[Event] = ()
) -> None:
    """Refused unless this person may write this event on that joint's log."""
    if by != who.stamp:
        raise Refused(field="by", wanted=who.stamp, got=by or "nothing", reason="access.other_hand")
    events = tuple(log)
    if corrects:
        ask_correction(who, next((e for e in events if e.id == corrects), None))
    if kind == "joint.signed":
        _ask_signature(who, str(data.get("role", "")))
    elif kind != "event.withdrawn":
        ask(who, KIND_ACTS.get(kind, Act.RECORD))
    if kind != "work.given" and any(f.kind == "stamp" and f.name in data for f in _fields(kind)):
        stamps = {str(data[f.name]) for f in _fields(kind) if f.kind == "stamp" and f.name in data}
        if stamps != {who.stamp}:
            got = ", ".join(sorted(stamps))
            raise Refused(field="stamp", wanted=who.stamp, got=got, reason="access.other_hand")
    if kind == "hold_point.released" and welded_on(who.stamp, events):
        raise Refused(field="stamp", wanted="somebody who did not weld here", got=who.stamp, reason="access.own_work")


def ask_correction(who: Who, target: Event | None) -> None:
    """One's own entries, and what a role of one's own could have written where it is nobody's release or signature."""
    if target is None or target.by == who.stamp:
        return
    if target.kind in ("hold_point.released", "joint.signed"):
        raise Refused(field="corrects", wanted=target.by, got=who.stamp, reason="access.not_yours")
    if not (who.may(Act.DECIDE) and who.may(KIND_ACTS.get(target.kind, Act.RECORD))):
        raise Refused(field="corrects", wanted=target.by, got=who.stamp, reason="access.not_yours")


def welded_on(stamp: str, log: Iterable[Event]) -> bool:
    """Whether that person tacked, welded or stamped there."""
    return any(event.by == stamp and event.kind in WELDING for event in log)


def _ask_signature(who: Who, role: str) -> None:
    able = SIGNS.get(role, frozenset())
    if not able & who.roles:
        got = ", ".join(sorted(who.roles)) or "no role"
        raise Refused(
            field="role", wanted=", ".join(r for r in ROLES if r in able), got=got, reason="access.role",
            params={"act": f"sign as {role}"},
        )  # fmt: skip


def _fields(kind: str) -> tuple[Any, ...]:
    return KINDS[kind].fields if kind in KINDS else ()
