"""The measured half of docs/theory/heat-evidence.md: `python -m benchmarks.heat_evidence` writes it from the committed results."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs/theory/heat-evidence.md"
PLOT = ROOT / "docs/pictures/heat-order.svg"
MARK = "<!-- below: written by benchmarks/heat_evidence.py from benchmarks/results -->"
KINDS = ("an inch away, K", "hold, s", "hot length, mm", "under 93.3 °C, s", "points 2 s after arc-off, K")


def result(name: str) -> dict[str, Any]:
    """One committed file of results."""
    found: dict[str, Any] = json.loads((ROOT / f"benchmarks/results/{name}.json").read_text(encoding="utf-8"))
    return found


def page() -> str:
    """What belongs below the mark."""
    accuracy, speed, reference = result("heat_accuracy"), result("heat_speed"), result("heat_reference")
    parts = [_cases(accuracy), _grooves(accuracy), _given(reference), _orders(accuracy), _speed(speed)]
    return "\n".join(parts).rstrip() + "\n"


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines) + "\n"


def _off(row: Mapping[str, Any] | None) -> str:
    if row is None:
        return "–"
    error = "" if row["reference_error"] is None else f" ± {row['reference_error']:.2g}"
    missed = "" if row["met"] else " **missed**"
    return f"{row['off']:+.2f}{error} of {row['allowed']:.3g}{missed}"


def _cases(told: Mapping[str, Any]) -> str:
    plans = {row["case"]: row["off_K"] for row in told["planning"]}
    rows = []
    for case in told["cases"]:
        own = {row["kind"]: row for row in case["rows"]}
        rows.append([case["case"], *(_off(own.get(kind)) for kind in KINDS), f"{plans[case['case']]:+.2f}"])
    head = ("case", *KINDS, "an inch away, pace of plans, K")
    return (
        f"## Every case (commit {told['commit']})\n\n"
        "Of each kind the figure with the largest share of what is allowed: how far off, ± the"
        " reference's own error there, of what is allowed. Last, the coarser grid that plans use, which has no limit.\n\n"
        f"{_table(head, rows)}\n"
        f"Energy balance at worst {max(case['energy_balance_rel'] for case in told['cases']):.0e}.\n"
    )  # fmt: skip


def _grooves(told: Mapping[str, Any]) -> str:
    rows = []
    for case in told["grooves"]:
        for way in [key for key in case if key != "case"]:
            own = {row["kind"]: row for row in case[way]}
            rows.append([case["case"], way, *(_off(own.get(kind)) for kind in KINDS[:4])])
    head = ("case", "engine", *KINDS[:4])
    return (
        "## Open grooves\n\nOpen Vs with a land of 1.2 to 2 mm in walls of 3.9 to 11 mm, nothing laid, against elements whose"
        " layers follow the slope. The engine's section has rings that are partly metal.\n\n" + _table(head, rows)
    )


def _given(told: Mapping[str, Any]) -> str:
    rows = []
    for name, figures in told["given"].items():
        for row in figures:
            if row["elements"] is not None and not row["within"]:
                rows.append([name, f"run {row['run']}, {row['figure']}", f"{row['apart']:+.3f}",
                             f"{row['elements_error']:.3f}", f"{row['given_error'] or 0:.3f}"])  # fmt: skip
    count = sum(1 for figures in told["given"].values() for row in figures if row["elements"] is not None)
    return (
        f"## The two references beside each other (commit {told['commit']})\n\nOf {count} figures of the two given cases,"
        f" {count - len(rows)} agree within the sum of both stated errors. The others:\n\n"
        + _table(("case", "figure", "elements − given", "elements' error", "given error"), rows)
        + "\nThe given solution looked every quarter or half second for the time of a peak, and tells lengths to 0.01 mm.\n"
    )


def _orders(told: Mapping[str, Any]) -> str:
    orders = told["orders"]
    rows = [
        ["cells of " + ", ".join(f"{x:g}" for x in orders["cell_mm"]) + " mm", *_order(orders["space"])],
        ["steps of " + ", ".join(f"{x:g}" for x in orders["step_s"]) + " s", *_order(orders["time"])],
    ]
    return (
        "## Order of accuracy\n\nA ring with even properties, an inch away, 5 s after arc-off, against a still finer march.\n\n"
        f"{_table(('refined', 'error, K', 'observed order'), rows)}\n![Error against cell and step](../pictures/heat-order.svg)\n"
    )


def _order(told: Mapping[str, Any]) -> list[str]:
    return [", ".join(f"{x:.3f}" for x in told["error_K"]), ", ".join(f"{x:g}" for x in told["order"])]


def _speed(told: Mapping[str, Any]) -> str:
    joints = [
        [row["joint"], f"{row['real_s'] / 60:.0f} min", f"{row['seconds'] * 1000:.0f} ms",
         "–" if row["wanted_s"] is None else f"{row['wanted_s'] * 1000:.0f} ms", f"{row['over_stencil']:.1f}"]
        for row in told["joints"]
    ]  # fmt: skip
    models = told["elements"]
    rows = [
        [row["way"], row["tuned_to"], f"{row['error_K']:.2f} K", f"{row['seconds']:.2f} s", f"{row['ratio']:,}"]
        for row in models["models"]
    ]
    return (
        f"## Speed (commit {told['commit']})\n\nProcessor time of one core, warm; over a bare f64 seven-point sweep of as many"
        f" cell-stages (wanted: 4).\n\n{_table(('joint', 'real time', 'engine', 'wanted', 'over the sweep'), joints)}\n"
        f"Preview by Green's function: {told['preview_s'] * 1000:.1f} ms (wanted: 5). Memory for NPS 24:"
        f" {told['memory_NPS_24_MB']} MB (wanted: 300).\n\nOne run of 15 s and 15 s after it on"
        f" 60.3 × 5.5 mm: engine {models['engine_s'] * 1000:.2f} ms, {models['engine_error_K']:.2f} K off. Elements no worse:\n\n"
        + _table(("model", "tuned to", "error", "time", "times slower"), rows)
    )  # fmt: skip


def plot() -> str:
    """Both refinements on logarithmic axes, with a slope of two to compare with."""
    orders = result("heat_accuracy")["orders"]
    lines = [("cell, mm", orders["cell_mm"], orders["space"]), ("step, s", orders["step_s"], orders["time"])]
    wide, high, edge = 320, 240, 48
    pieces = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {2 * wide} {high}" font-family="sans-serif" font-size="12">'
    ]
    for n, (name, at, told) in enumerate(lines):
        x = [n * wide + edge + (wide - 2 * edge) * math.log(v / min(at)) / math.log(max(at) / min(at)) for v in at]
        errors = told["error_K"]
        slope = [errors[0] * (v / at[0]) ** 2 for v in at]
        low, top = min(errors + slope) / 1.5, max(errors) * 1.5
        y, y2 = (
            [high - edge - (high - 2 * edge) * math.log(v / low) / math.log(top / low) for v in each]
            for each in (errors, slope)
        )
        for ys, style in ((y2, 'stroke="#999" stroke-dasharray="4 4"'), (y, 'stroke="#222" stroke-width="2"')):
            path = " ".join(f"{a:.1f},{b:.1f}" for a, b in zip(x, ys, strict=True))
            pieces.append(f'<polyline fill="none" {style} points="{path}"/>')
        for a, b, v, e in zip(x, y, at, errors, strict=True):
            pieces.append(
                f'<circle cx="{a:.1f}" cy="{b:.1f}" r="3"/><text x="{a + 6:.1f}" y="{b + 16:.1f}">{e:.3f} K</text>'
            )
            pieces.append(f'<text x="{a:.1f}" y="{high - edge + 28}" text-anchor="middle">{v:g}</text>')
        pieces.append(
            f'<text x="{n * wide + wide / 2:.0f}" y="20" text-anchor="middle">{name}; dashed: order two</text>'
        )
    return "\n".join([*pieces, "</svg>"]) + "\n"


def main() -> None:
    """Write page and plot."""
    above = PAGE.read_text(encoding="utf-8").split(MARK)[0]
    PAGE.write_text(f"{above}{MARK}\n\n{page()}", encoding="utf-8")
    PLOT.write_text(plot(), encoding="utf-8")


if __name__ == "__main__":
    main()
