"""Writes the tables of docs/theory/planner.md from the planner's committed results."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
PAGE = HERE.parent / "docs" / "theory" / "planner.md"
MARK = "<!-- below: written by benchmarks/planner_page.py from benchmarks/results -->"


def _read(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((HERE / "results" / f"{name}.json").read_text(encoding="utf-8"))
    return found


def _cell(value: float | None) -> str:
    return "–" if value is None else f"{value:.0f}"


COUNTED = """Seconds a joint from the start of the purge: grade 2, fixed horizontal, runs of 60 mm, all on the same heat and counted
alike. *Cold*: every run waits until all is under 40 °C. *Own order*: the plan's, as soon as the limits allow. *Greedy*: its
runs, always the one that can start soonest. *Greedy, strong*: with the cut and the currents that the search found. *Wide*: ten
times the labels. *Bound*: pauses that interpass or shield decide."""
HEADS = (
    "pipe", "interpass", "runs", "bound", "cold", "own order", "greedy", "greedy, strong", "search", "wide", "under cold",
    "under greedy",
)  # fmt: skip
TIMES = ("cold_s", "fixed_s", "greedy_s", "greedy_strong_s", "search_s", "wide_s")
GAINS = ("faster_than_cold_frac", "faster_than_greedy_frac")


def text() -> str:
    """Everything below the mark."""
    return "\n".join(("", *_table(), *_tiny(), *_loop(), *_speed())) + "\n"


def _table() -> list[str]:
    rows = _read("planner_table")["rows"]
    lines = ["## By pipe size and limit", "", COUNTED, "", f"| {' | '.join(HEADS)} |", "| --- " * len(HEADS) + "|"]
    for r in rows:
        cells = [str(r["pipe"]), str(r["limit"]), str(r["runs"]), str(r["bound"]), *(_cell(r[k]) for k in TIMES)]
        lines.append(f"| {' | '.join([*cells, *(f'{r[k]:.0%}' for k in GAINS)])} |")
    worst = max(r["search_s"] / r["wide_s"] - 1 for r in rows if r["wide_s"])
    middling = [r for r in rows if r["bound"] and any(f"NPS {n} " in r["pipe"] for n in (2, 3, 4, 6, 8))]
    cold, greedy = (min(r[k] for r in middling) for k in GAINS)
    short = sum(r["faster_than_greedy_frac"] < 0.10 for r in middling)
    return [
        *lines, "",
        f"Never slower than any of the others. At worst {worst:.2%} over the wide search (1 % was allowed).",
        f"At NPS 2 to 8 where limits bind: at least {cold:.0%} under cold (40 % were asked) and at least {greedy:.1%} under",
        f"greedy (10 % were asked; {short} of {len(middling)} rows fall short of it).", "",
    ]  # fmt: skip


def _tiny() -> list[str]:
    tiny = _read("planner_optimal")
    return [
        "## Against every sequence", "",
        f"{len(tiny['tasks'])} random tiny tasks, every sequence enumerated by another program that asks the modes itself:",
        f"{tiny['with_a_plan']} have a plan. The search found the best of all, or that there is none, in {tiny['optimal']} of",
        f"{len(tiny['tasks'])}.", "",
    ]  # fmt: skip


def _loop() -> list[str]:
    loop = _read("planner_loop")
    return [
        "## Followed with a thermometer", "",
        f"Simulated: {loop['joints']} joints (10,000 were asked; so many the time of a shared machine allowed), NPS 1½ to NPS 3,",
        "efficiency ±15 %, speed ±20 %, readings 1 K off (2 K at most), the full engine as the truth.",
        f"Of {loop['starts']} starts {loop['over_by_the_plan']} were over the limit. It costs {loop['cost_frac']:.1%} more time",
        "than a clairvoyant who starts every run of the same order at the very moment that the truth allows (6 % were allowed;",
        f"one joint in twenty costs more than {loop['cost_p95_frac']:.1%}). By the clock alone {loop['clock_alone_over_frac']:.0%}",
        "of the starts",
        f"would have been over, by up to {loop['clock_alone_worst_dK']:.0f} K.", "",
    ]  # fmt: skip


def _speed() -> list[str]:
    quick = _read("planner_speed")
    return [
        "## Time", "",
        f"Seconds of one core with nothing kept from before, {quick['joints']} random joints to NPS 12: half under",
        f"{quick['p50_s']:.2f} s, 95 % under {quick['p95_s']:.2f} s (1 s was allowed). Searching what is left again: 95 % under",
        f"{quick['again_p95_s'] * 1000:.0f} ms (100 ms were allowed); reading the log and the forecasts come on top.",
    ]  # fmt: skip


def main() -> None:
    """The page, its upper part as it is."""
    upper = PAGE.read_text(encoding="utf-8").split(MARK)[0]
    PAGE.write_text(upper + MARK + "\n" + text(), encoding="utf-8")


if __name__ == "__main__":
    main()
