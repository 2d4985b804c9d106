"""A drawing in words, for those who hear it: every run and mark, in order."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.base.clock import show_clock
from brightroot.model.picture import Face, RingMark, RingRun
from brightroot.render.draw.said import say


def told_run(run: RingRun, said: Mapping[str, str]) -> str:
    """`run 3, root, 6:00 to 9:00, done, straw`."""
    ends = f"{show_clock(run.from_rad)} {say(said, 'to')} {show_clock(run.from_rad + run.sweep_rad)}"
    parts = [f"{say(said, 'run')} {run.number}", say(said, run.band), ends, say(said, run.state), run.tint]
    return ", ".join(p for p in parts if p)


def told_mark(mark: RingMark, said: Mapping[str, str]) -> str:
    """`temperature 72 °C at 4:30`."""
    state = "" if mark.state == "done" else say(said, mark.state)
    return ", ".join(p for p in (f"{say(said, mark.kind)} {mark.text}".strip(), show_clock(mark.at_rad), state) if p)


def told(face: Face, said: Mapping[str, str]) -> str:
    """The whole face as a paragraph."""
    runs = [told_run(r, said) for r in face.runs] or [say(said, "no_runs")]
    opened = [f"{name} {say(said, 'open')}" for name, _, _, is_open in face.arcs if is_open]
    return ". ".join([f"{face.datum}; {face.view}", *runs, *(told_mark(m, said) for m in face.marks), *opened]) + "."
