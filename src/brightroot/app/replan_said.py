"""A new plan of the rest, and the fit-up as measured, in sentences."""

from __future__ import annotations

from brightroot.app.replan import Replan
from brightroot.base.clock import show_clock
from brightroot.base.show import show, show_time
from brightroot.documents.speech import Speech
from brightroot.planner.search.again import Trouble
from brightroot.planner.search.fit_up import AsFitted

UNITS = {"temperature_over": "limit_K", "gap_closed": "gap_m"}


def said(found: Replan, speech: Speech, *, now_s: float) -> tuple[str, ...]:
    """Why first: one sentence for what came up last; then whether the order moved, and what comes next."""
    again = found.again
    main = found.troubles[0] if found.troubles else Trouble("none")
    lines = [why_said(main, speech, run=again.runs[0].number if again.runs else 0)]
    if not again.runs:
        return (*lines, speech.say("again.done"))
    order = "order_same" if not again.reordered else "order_new" if again.saved_s > 0 else "order_forced"
    if found.troubles:
        lines.append(speech.say(f"again.{order}", time=show_time(again.saved_s)))
    first = again.runs[0]
    wait = show_time(max(first.earliest_s - now_s, 0.0))
    lines.append(speech.say("again.next", run=str(first.number), time=wait))
    lines.append(speech.say("again.end", time=show_time(max(again.end_s - now_s, 0.0))))
    return tuple(lines)


def why_said(trouble: Trouble, speech: Speech, *, run: int) -> str:
    """The one sentence of what came up."""
    name = UNITS.get(trouble.kind, "")
    slots = {"run": str(run)}
    for slot, value in (("value", trouble.value), ("limit", trouble.limit)):
        if value is None:
            continue
        slots[slot] = _value(trouble.kind, value, name, speech)
    if trouble.at_rad is not None:
        slots["at_rad"] = show_clock(trouble.at_rad)
    return speech.say(f"again.{trouble.kind}", **slots)


def _value(kind: str, value: float, name: str, speech: Speech) -> str:
    if name:
        return show(value, name=name, system=speech.system, both=False)
    if kind == "oxygen_rose":
        return show(value, name="oxygen_frac", system=speech.system, both=False)
    return f"{value * 100:.0f}" if kind == "power_cut" else show_time(value)


def fit_up_said(fitted: AsFitted, speech: Speech) -> tuple[str, ...]:
    """What to put right first, then every change."""
    lines = [
        speech.say(
            f"again.mend_{mend.name}", at_rad=show_clock(mend.at_rad),
            measured=show(mend.measured, name="gap_m", system=speech.system, both=False),
            limit=show(mend.limit, name="gap_m", system=speech.system, both=False),
        )
        for mend in fitted.mends
    ]  # fmt: skip
    for change in fitted.changes:
        planned, becomes = (
            show(x, name=change.name, system=speech.system, both=False) for x in (change.planned, change.becomes)
        )
        name = speech.say(f"again.name_{change.name}")
        lines.append(
            speech.say("again.fit_up_change", run=str(change.run), name=name, planned=planned, becomes=becomes)
        )
    return tuple(lines) or (speech.say("again.fit_up_none"),)
