"""`brightroot live` and `brightroot joints`."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from brightroot.app.list_joints import rows
from brightroot.app.ports import Place
from brightroot.app.work_live import Now, look, record
from brightroot.base.errors import Refused
from brightroot.base.show import show_time
from brightroot.cli.output import pairs, put
from brightroot.cli.wiring import place_at, speech
from brightroot.documents.speech import Speech
from brightroot.model.advice import Advice
from brightroot.model.codec import to_data


def run_joints(*, store: Path | None, language: str, as_json: bool) -> None:
    """One line a joint."""
    found = rows(place_at(store))
    if as_json:
        put({"joints": [to_data(row) for row in found]})
        return
    spoken = speech(language, "metric")
    for row in found:
        made = f"{row.runs_made}/{row.runs_planned}"
        print(f"{row.id:10} {row.metal:22} {row.pipe:20} {row.position:4} {made:>7}  {said(row.advice, spoken)}")


def run_live(
    joint: str,
    event: list[str],
    *,
    by: str,
    at: str,
    corrects: str,
    photo: Path | None,
    store: Path | None,
    language: str,
    units: str,
    as_json: bool,
) -> None:
    """Record, then say what next."""
    place = place_at(store)
    recorded = None
    if event:
        facts = pairs(event[1:]) | (_kept(place, photo) if photo else {})
        recorded = record(place, joint, event[0], facts, by=by, at_utc=at, corrects=corrects)
    now = look(place, joint)
    if as_json:
        put(state_of(now) | ({"recorded": recorded.id} if recorded else {}))
        return
    spoken = speech(language, units)
    if recorded:
        print(spoken.say("word.recorded", event=recorded.id))
    for advice in now.advice:
        print(said(advice, spoken))
        if advice.until_s:
            print(f"  {_left(advice.until_s, now.now_s, spoken)}")
        for reason in advice.because:
            print(f"  {spoken.told(reason.says, reason.params)}")
        for caution in advice.cautions:
            print(f"  ! {spoken.say(caution)}")


def _left(until_s: tuple[float, float, float], now_s: float, spoken: Speech) -> str:
    """What is left of a countdown at this moment, or since when it is over."""
    early, likely, late = (show_time(max(0.0, end - now_s)) for end in until_s)
    if now_s >= until_s[2]:
        return spoken.say("word.over_since", time=show_time(now_s - until_s[2]))
    return spoken.say("word.left", early=early, likely=likely, late=late)


def _kept(place: Place, photo: Path) -> dict[str, str]:
    """The picture goes into the store first; the event then cites it by its hash."""
    kinds = {".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".png": "image/png", ".heic": "image/heic"}
    if photo.suffix.lower() not in kinds or not photo.is_file():
        raise Refused(field="photo", wanted="a .jpg, .png or .heic file", got=str(photo))
    return {"photo_sha256": place.store.put_attachment(photo.read_bytes(), kinds[photo.suffix.lower()])}


def said(advice: Advice, spoken: Speech) -> str:
    """The verb with its number."""
    line = spoken.told(advice.says, advice.params, **_places(advice))
    return f"{line} {spoken.figure(advice.number)}" if advice.number else line


def _places(advice: Advice) -> dict[str, str]:
    return {
        "run": str(advice.run),
        **({"arc": advice.arc} if advice.arc else {}),
        **({"tack": advice.tack} if advice.tack else {}),
    }


def state_of(now: Now) -> dict[str, Any]:
    """The live state as data: phase, advice, oxygen, what is left."""
    return {
        "joint": now.plan.joint.id,
        "phase": now.state.phase.value,
        "now_s": now.now_s,
        "advice": [to_data(advice) for advice in now.advice],
        "oxygen": to_data(now.oxygen),
        "forecasts": to_data(dict(now.forecasts)),
        "left_count": len(now.left),
    }
