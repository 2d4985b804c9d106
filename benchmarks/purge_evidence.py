"""The measured half of docs/theory/purge-evidence.md, and its calibration pictures, from the committed results.

`python -m benchmarks.purge_evidence` writes them. The pictures are drawn by the program's own drawing code.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from benchmarks.purge_scores import COUNTS
from benchmarks.purge_simulator.draw import TARGETS_PPM
from brightroot.model.picture import Chart, Series
from brightroot.render.draw.chart import chart

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs/theory/purge-evidence.md"
PICTURES = ROOT / "docs/pictures"
MARK = "<!-- below: written by benchmarks/purge_evidence.py from benchmarks/results -->"
METHODS = {"filter": "filter", "two_point": "two points", "exponential_floor": "exponential and floor"}
HARD = ("wrong end", "stop and resume", "dead leg", "over range")
COVERED, COVERED_HARD = (0.87, 0.93), 0.85
WANTED_MEDIAN = {"5": 0.08, "10": 0.05}
WANTED_P90 = 0.20
READINGS = tuple(f"{count} reading{'s' if count > 1 else ''}" for count in COUNTS)
Told = Mapping[str, Any]


def result(name: str) -> dict[str, Any]:
    """One committed file of results."""
    found: dict[str, Any] = json.loads((ROOT / f"benchmarks/results/{name}.json").read_text(encoding="utf-8"))
    return found


def page() -> str:
    """What belongs below the mark."""
    told, speed = result("purge_filter"), result("purge_speed")
    parts = [
        _wanted(told, speed),
        _errors(told),
        _coverage(told),
        _groups(told),
        _never(told),
        _calibration(),
        _weak(told),
    ]
    return "\n".join(parts).rstrip() + "\n"


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines) + "\n"


def percent(share: float | None) -> str:
    """0.0746 as `7.5 %`."""
    return "–" if share is None else f"{100 * share:.1f} %"


def _wanted(told: Told, speed: Told) -> str:
    """Each number that was set beforehand, what was found, and whether that is enough."""
    own, never, leak = told["errors"]["20"]["filter"], told["never"], told["leak"]["all"]
    covered = [told["coverage_20"]["filter"]["all"][str(count)]["inside_1"] for count in COUNTS]
    rows: list[tuple[str, str, str, bool]] = [
        ("simulated purges", "500", str(sum(told["purges"].values())), sum(told["purges"].values()) >= 500)
    ]
    for count, most in WANTED_MEDIAN.items():
        got = own[count]["whole_median"]
        rows.append(
            (
                f"median error of the time to 20 ppm, {count} readings",
                f"≤ {100 * most:.0f} %",
                percent(got),
                got <= most,
            )
        )
    for count in WANTED_MEDIAN:
        got = own[count]["whole_p90"]
        rows.append(
            (f"nine in ten within, {count} readings", f"≤ {100 * WANTED_P90:.0f} %", percent(got), got <= WANTED_P90)
        )
    inside = all(COVERED[0] <= share <= COVERED[1] for share in covered)
    rows.append(
        ("90 % intervals hold, at 1, 3, 5, 10 readings", "87–93 %", ", ".join(percent(s) for s in covered), inside)
    )
    for group in HARD:
        shares = [told["coverage_20"]["filter"][group][str(count)]["inside_1"] for count in COUNTS]
        rows.append(
            (f"the same, {group}", "≥ 85 %", ", ".join(percent(s) for s in shares), min(shares) >= COVERED_HARD)
        )
    held, wrong = (
        never["unreachable_20"]["held_1"],
        [never["reachable_over_half_at_count"][str(c)]["20"] for c in COUNTS],
    )
    rows += [
        ("P(never) ≥ 0.9 within 5 volumes of the plateau over 20 ppm", "all", percent(held), held == 1.0),
        ("P(never) > 0.5 where 20 ppm is reached", "≤ 1 %", ", ".join(percent(s) for s in wrong), max(wrong) <= 0.01),
        ("a leak that opens is said within 90 s", "all", percent(leak["flagged_1"]), leak["flagged_1"] == 1.0),
        ("false leak alarms", "≤ 5 %", percent(told["false_alarms"]["leak_1"]), told["false_alarms"]["leak_1"] <= 0.05),
        ("a look, 95 % of them within", "≤ 20 ms", f"{1e3 * speed['look_p95_s']:.0f} ms", speed["look_p95_s"] <= 0.02),
        ("200 readings played again", "≤ 2 s", f"{speed['replay_200_p95_s']:.2f} s", speed["replay_200_p95_s"] <= 2),
    ]  # fmt: skip
    return f"## What was wanted and what was found (commit {told['commit']}, seed {told['seed']})\n\n" + _table(
        ("", "wanted", "found", ""), [(a, b, c, "met" if met else "**missed**") for a, b, c, met in rows]
    )


def _errors(told: Told) -> str:
    rows = []
    for target in sorted(TARGETS_PPM):
        for method, name in METHODS.items():
            at = told["errors"][str(target)][method]
            rows.append([
                str(target), name,
                *(f"{percent(at[str(c)]['whole_median'])} / {percent(at[str(c)]['whole_p90'])}" for c in COUNTS),
                *(str(at[str(c)]["no_answer"]) for c in (5, 10)),
            ])  # fmt: skip
    head = ("ppm", "forecast", *READINGS, "silent at 5", "at 10")
    left = told["errors"]["20"]["filter"]
    return (
        "## Errors of the time to the target\n\nMedian / nine in ten within, of the whole time since the purge began. A rival that"
        " names no time counts as silent and not as an error, so its figures speak of its easier purges only.\n\n"
        + _table(head, rows)
        + "\nOf the time that was then still to go, the filter's median error to 20 ppm is "
        + ", ".join(percent(left[str(c)]["left_median"]) for c in COUNTS)
        + " at 1, 3, 5 and 10 readings: how long the last stretch takes is known within a factor, not within a percentage.\n"
    )


def _coverage(told: Told) -> str:
    rows = [
        [f"{target} ppm", *(percent(told["coverage_all_targets"][str(target)][str(c)]["inside_1"]) for c in COUNTS)]
        for target in sorted(TARGETS_PPM)
    ]
    rows.append(["20 ppm, exponential and floor",
                 *(percent(told["coverage_20"]["exponential_floor"]["all"][str(c)]["inside_1"]) for c in COUNTS)])  # fmt: skip
    rows.append(
        ["20 ppm, the monitor's clock", *(percent(told["monitor_shows_20"][str(c)]["inside_1"]) for c in COUNTS)]
    )
    for place, name in (("vent", "gas at the vent now"), ("root", "gas at the root now")):
        rows.append([name, *(percent(told["gas_now"][str(c)][place]) for c in COUNTS)])
    return "## How often the 90 % interval holds\n\n" + _table(("", *READINGS), rows)


def _groups(told: Told) -> str:
    """Coverage and error to 20 ppm group by group, the hard ones first."""
    order = [*HARD, *(group for group in told["purges"] if group not in HARD)]
    rows = []
    for group in order:
        inside, off = told["coverage_20"]["filter"][group], told["errors_20_by_group"][group]
        if not inside["5"]["n"]:
            continue
        rows.append([
            f"**{group}**" if group in HARD else group, str(inside["5"]["n"]),
            *(percent(inside[str(c)]["inside_1"]) for c in COUNTS),
            *(f"{percent(off[str(c)]['whole_median'])} / {percent(off[str(c)]['whole_p90'])}" for c in (5, 10)),
        ])  # fmt: skip
    head = ("group", "purges", *(f"holds at {c}" for c in COUNTS), "error at 5", "error at 10")
    return "## Group by group, to 20 ppm, the hard ones first\n\n" + _table(head, rows)


def _never(told: Told) -> str:
    never, leak, false = told["never"], told["leak"], told["false_alarms"]
    rows = [
        [f"{target} ppm", *(percent(never["reachable_over_half_at_count"][str(c)][str(target)]) for c in COUNTS)]
        for target in sorted(TARGETS_PPM)
    ]
    clear, low = never["unreachable_20_by_over_10_percent"], leak["opened_below_200_ppm"]
    return (
        "## Never, leaks and monitors\n\nP(never) over one half where the target is reached:\n\n"
        + _table(("", *READINGS), rows)
        + f"\nWhere 20 ppm is never reached ({never['unreachable_20']['n']} purges), P(never) is at least 0.9 within five"
        f" volumes of the plateau in {percent(never['unreachable_20']['held_1'])}; in {percent(clear['held_1'])} of those that"
        f" settle more than a tenth over it.\n\nOf {leak['all']['n']} leaks that opened, {percent(leak['all']['flagged_1'])}"
        f" were said within 90 s ({percent(low['flagged_1'])} of the {low['n']} that opened below 200 ppm),"
        f" {leak['never_flagged']} never. {false['leak']} of {false['n']} purges without a leak to speak of were called one."
        f" Of {told['frozen']['n']} frozen monitors {percent(told['frozen']['flagged_1'])} were noticed.\n"
    )


def _calibration() -> str:
    return (
        "## Calibration\n\n![How often the time came out below each stated quantile](../pictures/purge-calibration.svg)\n\n"
        "![How often never came true, by the chance that was given to it](../pictures/purge-never.svg)\n"
    )


def _weak(told: Told) -> str:
    """Where it falls short, worst first, from the same numbers."""
    inside, off = told["coverage_20"]["filter"], told["errors_20_by_group"]
    low = sorted(
        (min(at["inside_1"] for at in rows.values() if at["n"] >= 20), group)
        for group, rows in inside.items()
        if max(at["n"] for at in rows.values()) >= 20
    )
    far = max((rows["10"]["whole_p90"], group) for group, rows in off.items() if rows["10"]["n"] >= 20)
    least = ", ".join(f"{group} ({percent(share)})" for share, group in low if share < COVERED_HARD)
    sure = next(row for row in reversed(told["calibration"]["said_never_was_never_n"]))
    return (
        "## Where it is weak\n\n"
        f"- Intervals hold least, at their worst count: {least or 'nowhere under 85 %'}.\n"
        f"- Largest errors after ten readings: {far[1]}, nine in ten within {percent(far[0])}. A slow monitor on a small pipe"
        " still shows the pipe of a volume or two ago: the gas is often there before a number says so, and when it was cannot"
        " be read off it.\n"
        f"- A high chance of never is given too soon: where it was {percent(sure[0])} on average at a count of readings, it came"
        f" true in {percent(sure[1])}. Gas given back slowly by a pocket behind a hose's end looks like a floor at first.\n"
        "- A leak that opens while the gas still falls makes no number rise; only the plateau that follows tells it.\n"
        f"- At the root itself the interval holds {percent(told['gas_now']['10']['root'])} after ten readings: the vent says"
        " little of it. A reading at the weld plane is worth more than any forecast.\n"
    )


def times_chart(told: Told) -> Chart:
    """The share of times that came out below each stated quantile, one line a count of readings, over what should be."""
    found = told["calibration"]["time_below_quantile_1"]
    lines = tuple(
        Series(f"{count} reading{'s' if count > 1 else ''}", "measured",
               tuple((100 * float(stated), 100 * share) for stated, share in found[str(count)].items()))
        for count in COUNTS
    )  # fmt: skip
    return Chart(
        title="Times to 20 ppm: how often each came out below a stated quantile (simulated)",
        x_label="stated quantile, %", y_label="came out below, %",
        series=(Series("as it should be", "limit", ((0.0, 0.0), (100.0, 100.0))), *lines),
    )  # fmt: skip


def never_chart(told: Told) -> Chart:
    """How often never came true, by the chance given to it at a count of readings, all targets together."""
    rows = told["calibration"]["said_never_was_never_n"]
    return Chart(
        title="P(never): how often it came true (simulated)",
        x_label="chance given, %", y_label="came true, %",
        series=(
            Series("as it should be", "limit", ((0.0, 0.0), (100.0, 100.0))),
            Series("came true", "measured", tuple((100 * said, 100 * was) for said, was, _ in rows)),
        ),
    )  # fmt: skip


def pictures() -> dict[str, str]:
    """Each picture by its file's name."""
    told = result("purge_filter")
    charts = {"purge-calibration.svg": times_chart(told), "purge-never.svg": never_chart(told)}
    return {name: chart(one, palette="paper") + "\n" for name, one in charts.items()}


def main() -> None:
    """Writes page and pictures."""
    above = PAGE.read_text(encoding="utf-8").split(MARK)[0]
    PAGE.write_text(f"{above.rstrip()}\n\n{MARK}\n\n{page()}", encoding="utf-8")
    for name, text in pictures().items():
        (PICTURES / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
