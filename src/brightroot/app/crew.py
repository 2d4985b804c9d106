"""The crew and the devices of a shop, as a log of their own tells: taken on, let in, let go. Secrets are kept elsewhere."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from brightroot.app.access import roles_typed
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.base.instant import utc_of
from brightroot.model.access import ACCESS_KINDS
from brightroot.model.entry import entered
from brightroot.model.event import Event
from brightroot.model.streams import CREW, log_of, stamp_of
from brightroot.records.order import settled

STAMP_WANTED = "your stamp, like W-07"


@dataclass(frozen=True, slots=True)
class Member:
    """Somebody of the crew."""

    stamp: str
    roles: tuple[str, ...]
    since: str
    released: str = ""


@dataclass(frozen=True, slots=True)
class Device:
    """A phone or tablet that was let in. `held`: where its signing key lies."""

    id: str
    name: str
    public_key: str
    held: str
    since: str
    by: str
    revoked: str = ""


@dataclass(frozen=True, slots=True)
class Crew:
    """Everybody and everything that was ever let in, in the order in which they came."""

    members: dict[str, Member]
    devices: dict[str, Device]

    def roles(self, stamp: str) -> frozenset[str]:
        """The roles of somebody who is still here."""
        member = self.members.get(stamp)
        return frozenset(member.roles) if member is not None and not member.released else frozenset()

    def open_device(self, device: str) -> Device | None:
        """A device that is let in."""
        found = self.devices.get(device)
        return found if found is not None and not found.revoked else None


def crew_of(events: Iterable[Event]) -> Crew:
    """The crew as its log tells."""
    members: dict[str, Member] = {}
    devices: dict[str, Device] = {}
    for event in settled(events).events:
        data, at = event.data, event.at_utc
        if event.kind == "person.taken_on":
            members[data["stamp"]] = Member(data["stamp"], roles_typed(data["roles"]), at)
        elif event.kind == "person.released" and data["stamp"] in members:
            members[data["stamp"]] = replace(members[data["stamp"]], released=at)
        elif event.kind == "device.enrolled" and data["device"] not in devices:
            told = (data["device_name"], data["public_key"], data["held"])
            devices[data["device"]] = Device(data["device"], *told, at, event.by)
        elif event.kind == "device.revoked" and data["device"] in devices:
            devices[data["device"]] = replace(devices[data["device"]], revoked=at)
    return Crew(members, devices)


def crew(place: Place) -> Crew:
    """The crew of this place."""
    return crew_of(place.store.events(CREW))


def take_on(place: Place, stamp: str, roles: str, *, by: str) -> Member:
    """Take somebody on, or give them other roles. The last foreman cannot lose that role."""
    stamp = stamp_of(log_of(stamp))
    given = roles_typed(roles)
    now = crew(place)
    if "foreman" not in given:
        _not_the_last_foreman(now, stamp)
    event = _write(place, "person.taken_on", {"stamp": stamp, "roles": ", ".join(given)}, by=by)
    return Member(stamp, given, event.at_utc)


def release(place: Place, stamp: str, *, why: str, by: str) -> None:
    """Let somebody go. What they wrote stays."""
    now = crew(place)
    if not now.roles(stamp):
        raise Refused(
            field="stamp", wanted="somebody of the crew", got=stamp, near=tuple(now.members)[:3], reason="refused.name"
        )
    _not_the_last_foreman(now, stamp)
    _write(place, "person.released", {"stamp": stamp, "why": why}, by=by)


def enrol_device(place: Place, device: str, *, name: str, public_key: str, held: str, by: str) -> None:
    """Write down that a device was let in, by whose word, and with which public key it signs."""
    facts = {"device": device, "device_name": name.strip()[:40] or device, "public_key": public_key, "held": held}
    _write(place, "device.enrolled", facts, by=by)


def revoke_device(place: Place, device: str, *, why: str, by: str) -> None:
    """Let a device in no more. What it signed before stays signed."""
    now = crew(place)
    if now.open_device(device) is None:
        near = tuple(d.id for d in now.devices.values() if not d.revoked)[:3]
        raise Refused(field="device", wanted="a device that is let in", got=device, near=near, reason="refused.name")
    _write(place, "device.revoked", {"device": device, "why": why}, by=by)


def _not_the_last_foreman(now: Crew, stamp: str) -> None:
    foremen = [m.stamp for m in now.members.values() if "foreman" in m.roles and not m.released]
    if foremen == [stamp]:
        raise Refused(field="roles", wanted="another foreman first", got=stamp, reason="access.last_foreman")


def _write(place: Place, kind: str, facts: dict[str, str], *, by: str) -> Event:
    if not by.strip():
        raise Refused(field="by", wanted=STAMP_WANTED, got="nothing", reason="refused.missing")
    data = entered(kind, facts, ACCESS_KINDS)
    return place.store.append(CREW, utc_of(place.now_s()), by.strip(), kind, data)
