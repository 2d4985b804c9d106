"""`brightroot crew` and `brightroot devices`: who works here and what is let in. Whoever has this machine has its keys."""

from __future__ import annotations

import socket
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from brightroot.app.crew import crew, release, revoke_device, take_on
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.cli.output import pairs, put
from brightroot.cli.wiring import place_at, speech
from brightroot.model.codec import to_data
from brightroot.model.streams import log_of, stamp_of

if TYPE_CHECKING:
    from brightroot.web.doors import Gate

CREW_ACTS = ("take-on", "code", "sign-out", "release")
DEVICE_ACTS = ("enrol", "revoke")


def open_gate(place: Place) -> Gate:
    """The doors of a place's own store."""
    from brightroot.store.doors import Doors
    from brightroot.store.logs import Store
    from brightroot.web.doors import Gate

    if not isinstance(place.store, Store):
        raise Refused(field="store", wanted="a file of logs", got="something else")
    return Gate(place, Doors(place.store, place.now_s))


def run_crew(told: list[str], *, by: str, store: Path | None, language: str, as_json: bool) -> None:
    """List, take on, give a code, sign out, release."""
    place, say = place_at(store), speech(language, "metric").say
    if not told:
        _crew_listed(place, say, as_json)
        return
    act, stamp, *rest = (*told, "")
    if act not in CREW_ACTS:
        raise Refused(field="act", wanted=", ".join(CREW_ACTS), got=act, near=CREW_ACTS, reason="refused.name")
    facts = pairs([one for one in rest if one])
    _stamped(by)
    gate = open_gate(place)
    done: dict[str, object] = {"ok": True, "act": act, "stamp": stamp}
    if act == "take-on":
        stamp = stamp_of(log_of(stamp))
        take_on(place, stamp, facts.get("roles", ""), by=by)
    elif act == "release":
        release(place, stamp, why=facts.get("why", ""), by=by)
        gate.doors.forget(stamp)
    elif act == "sign-out":
        done["sessions"] = gate.doors.sign_out_everywhere(stamp)
    if act == "code" or (act == "take-on" and not gate.doors.has_pin(stamp)):
        from brightroot.web.pages.crew.view import person_code

        done["code"] = person_code(gate, stamp)["code"]
    if as_json:
        put(done)
    elif act == "sign-out":
        print(say("access.cli.signed_out", stamp=stamp, count=done["sessions"]))
    else:
        print(say("access.crew.done", what=f"{act} {stamp}"))
        if "code" in done:
            print(say("access.cli.code", code=done["code"]))


def run_devices(told: list[str], *, by: str, address: str, store: Path | None, language: str, as_json: bool) -> None:
    """List, enrol, revoke."""
    place, say = place_at(store), speech(language, "metric").say
    if not told:
        _devices_listed(place, say, as_json)
        return
    act, *rest = told
    _stamped(by)
    if act == "enrol":
        made = _enrolled(open_gate(place), pairs(rest).get("name", ""), by=by, address=address)
        if as_json:
            put({"ok": True, **made})
        else:
            print("\n".join(_code_lines(made, say)))
    elif act == "revoke":
        device, facts = (rest or [""])[0], pairs(rest[1:])
        revoke_device(place, device, why=facts.get("why", ""), by=by)
        open_gate(place).doors.shut_out(device)
        put({"ok": True, "device": device}) if as_json else print(say("access.crew.done", what=f"{act} {device}"))
    else:
        raise Refused(field="act", wanted=", ".join(DEVICE_ACTS), got=act, near=DEVICE_ACTS, reason="refused.name")


def first_steps(gate: Gate, *, by: str, host: str, port: int) -> Iterator[str]:
    """What the person at this machine must know: who opens the doors, and a code for the browser they sit at."""
    say = speech("en", "metric").say
    now = gate.crew()
    foremen = [m.stamp for m in now.members.values() if "foreman" in m.roles and not m.released]
    yield "On this network every device is let in by a code, and every person signs in."
    if not foremen:
        _stamped(by)
        take_on(gate.place, by, "foreman", by=by)
        gate.changed()
        foremen = [by]
    foreman = by if by in foremen else foremen[0]
    if not gate.doors.has_pin(foreman):
        code = gate.doors.new_code(f"person:{foreman}")
        yield f"{foreman}, foreman. {say('access.cli.code', code=code)}"
    if not any(not d.revoked for d in now.devices.values()):
        base = f"http://{_seen_as(host)}:{port}/"
        yield from _code_lines(_enrolled(gate, "first device", by=foreman, address=base), say)


def _enrolled(gate: Gate, name: str, *, by: str, address: str) -> dict[str, str]:
    from brightroot.web.pages.crew.view import device_code

    base = address.rstrip("/") + "/" if address else f"http://{_seen_as('0.0.0.0')}:8017/"
    return {key: value for key, value in device_code(gate, name, by=by, base=base).items() if key != "qr"}


def _code_lines(made: dict[str, str], say: Callable[..., str]) -> Iterator[str]:
    import segno

    yield say("access.cli.code", code=made["code"])
    full = f"{made['address']}#{made['code']}"
    yield say("access.cli.address", address=full)
    matrix = [list(row) for row in segno.make(full, error="m").matrix_iter(border=2)]
    for upper, lower in zip(matrix[::2], [*matrix[1::2], [0] * len(matrix[0])], strict=False):
        yield "".join("█▀▄ "[2 * bool(a) + bool(b)] for a, b in zip(upper, lower, strict=True))


def _seen_as(host: str) -> str:
    """The address by which others on the network see this machine. Nothing is sent to find it out."""
    if host not in ("0.0.0.0", "::"):
        return host
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as door:
        try:
            door.connect(("192.0.2.1", 9))
            return str(door.getsockname()[0])
        except OSError:
            return socket.gethostname()


def _crew_listed(place: Place, say: Callable[..., str], as_json: bool) -> None:
    members = crew(place).members.values()
    if as_json:
        put({"crew": [to_data(member) for member in members]})
        return
    if not members:
        print(say("access.cli.nobody"))
    for m in members:
        more = ", " + say("access.crew.released", day=m.released[:10]) if m.released else ""
        roles = ", ".join(say(f"access.role.{role}") for role in m.roles)
        print(
            say(
                "access.cli.crew_line",
                stamp=m.stamp,
                roles=roles,
                since=say("access.crew.since", day=m.since[:10]),
                more=more,
            )
        )


def _devices_listed(place: Place, say: Callable[..., str], as_json: bool) -> None:
    devices = crew(place).devices.values()
    if as_json:
        put({"devices": [to_data(device) for device in devices]})
        return
    if not devices:
        print(say("access.cli.no_devices"))
    for d in devices:
        more = ", " + say("access.crew.revoked", day=d.revoked[:10]) if d.revoked else ""
        since, held = say("access.crew.since", day=d.since[:10]), say(f"access.crew.held_{d.held}")
        print(say("access.cli.device_line", device=d.id, name=d.name, held=held, since=since, more=more))


def _stamped(by: str) -> None:
    if not by.strip():
        raise Refused(field="by", wanted="a foreman's stamp, like F-02", got="nothing", reason="refused.missing")
