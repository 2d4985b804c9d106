"""The measured half of docs/theory/tint-evidence.md and its pictures, from the committed results.

`python -m benchmarks.tint_evidence` writes the page and the reliability plot; with the folder of a sweep's photographs as an
argument it draws the sheets of examples and failures too.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from benchmarks.tint_scores import FINE

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs/theory/tint-evidence.md"
PLOT = ROOT / "docs/pictures/tint-reliability.svg"
MARK = "<!-- below: written by benchmarks/tint_evidence.py from benchmarks/results -->"
CLASSES = ("silver", "straw", "purple, blue or thicker", "scale")


def result(name: str) -> dict[str, Any]:
    """One committed file of results; empty where there is none yet."""
    path = ROOT / f"benchmarks/results/{name}.json"
    found: dict[str, Any] = json.loads(path.read_text(encoding="utf-8")) if path.exists() else {}
    return found


def page() -> str:
    """What belongs below the mark."""
    photos, fuzz, speed = result("tint_photos"), result("tint_fuzz"), result("tint_speed")
    parts = []
    if photos:
        told = photos["table"]
        parts += [_asked(photos), _groups(told), _confusion(told), _fine(told), _cover(told), _failures(photos)]
    if speed:
        parts.append(_speed(speed))
    if strips := result("tint_strip"):
        parts.append(_strips(strips))
    if fuzz:
        parts.append(_fuzz(fuzz))
    return "\n".join(parts).rstrip() + "\n"


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines) + "\n"


def _percent(value: float | None, digits: int = 1) -> str:
    return "–" if value is None else f"{100 * value:.{digits}f} %"


def _asked(photos: Mapping[str, Any]) -> str:
    t = photos["table"]
    cover = t["covered_90"]
    rows = [
        ("purple or worse told silver or straw, of its pixels", "≤ 0.5 %", t["worse_called_silver_or_straw"], 0.005, True, 2),
        ("the same, pixels on the border of two classes left out", "(tells)", t["the_same_off_borders"], None, True, 2),
        ("worst class right, of photographs answered", "≥ 98 %", t["worst_right"], 0.98, False, 1),
        ("refused where a refusal is wanted", "≥ 95 %", t["refused_where_wanted"], 0.95, False, 1),
        ("refused needlessly", "≤ 5 %", t["refused_needlessly"], 0.05, True, 1),
        ("spots of 0.2 % of the zone found", "≥ 95 %", t["spots_found"], 0.95, False, 1),
        ("scale found, two lights", "≥ 90 %", t["scale_recall"], 0.90, False, 1),
        ("film told scale, two lights", "≤ 1 %", t["scale_false_two_lights"], 0.01, True, 2),
    ]  # fmt: skip
    lines = [
        (what, want, _percent(got, digits) + _missed(got, limit, most)) for what, want, got, limit, most, digits in rows
    ]
    bad = t["worst_too_good"]
    lines.insert(
        1,
        (
            "photographs of purple or worse whose verdict is silver or straw",
            "0",
            f"{bad}{' **missed**' if bad else ''}",
        ),
    )
    inside = cover is not None and 0.88 <= cover <= 0.96
    lines.append(("90 % sets hold the true film", "88 to 96 %", _percent(cover) + ("" if inside else " **missed**")))
    thin = t["mae_below_60_nm"]
    off = "–" if thin is None else f"{thin:.2f} nm" + _missed(thin, 2.0, True)
    lines.append(("mean error of films below 60 nm, mean of photographs", "≤ 2 nm", off))
    lines.append(
        ("the same, median photograph", "(tells)", f"{t['mae_below_60_nm_median']:.2f} nm" if thin is not None else "–")
    )
    part = "" if photos["whole"] else " **Only a part of the set so far.**"
    return (
        f"## Asked and got (commit {photos['commit']}, seed {photos['seed']})\n\n"
        f"{t['photographs']} photographs, {t['answered']} of them read that should be; {t['errors']} without any answer.{part}\n\n"
        f"{_table(('what', 'wanted', 'got'), lines)}\n"
        f"Of the wrong worst classes {t['worst_knife_edge']} would be right if a class had to hold 0.25 % or 1 % of the zone, not"
        f" 0.5 %. With one light, {_percent(t['scale_false_one_light'], 2)} of film is told scale.\n"
    )


def _missed(got: float | None, limit: float | None, most: bool) -> str:
    if got is None or limit is None:
        return ""
    return "" if (got <= limit if most else got >= limit) else " **missed**"


def _groups(told: Mapping[str, Any]) -> str:
    rows = [
        (name, str(g["photographs"]), str(g["refused"]), _percent(g.get("worst_right")), _percent(g.get("worse_missed"), 2),
         "–" if g.get("mae_nm") is None else f"{g['mae_nm']:.2f}", _percent(g.get("covered_90")))
        for name, g in told["by_group"].items()
    ]  # fmt: skip
    head = (
        "to be read",
        "photographs",
        "refused",
        "worst class right",
        "purple or worse missed",
        "error below 60 nm, nm",
        "in 90 % set",
    )
    slipped = [
        (name, _percent(None if share is None else 1 - share))
        for name, share in told["read_though_refusal_wanted"].items()
    ]
    return f"## By group\n\n{_table(head, rows)}\n{_table(('to be refused', 'refused'), slipped)}"


def _confusion(told: Mapping[str, Any]) -> str:
    rows = [(CLASSES[k], *(_percent(v, 2) for v in line)) for k, line in enumerate(told["confusion4"])]
    return f"## What was what, by pixel\n\n{_table(('true, then told', *CLASSES, 'nothing told'), rows)}"


def _fine(told: Mapping[str, Any]) -> str:
    rows = [(FINE[k], *(_percent(v) if v >= 0.0005 else "" for v in line)) for k, line in enumerate(told["fine"])]
    return (
        f"Finer, by the map's thickness (empty: under 0.05 %). Far from the diagonal are orders taken for each other.\n\n"
        f"{_table(('true, then told', *FINE), rows)}"
    )


def _cover(told: Mapping[str, Any]) -> str:
    width = {"median": 0.0, "p95": 0.0} | told["set_width_nm"]
    return (
        "## How far a 90 % set can be trusted\n\n![share of pixels whose 90 % set holds the true film, by film]"
        "(../pictures/tint-reliability.svg)\n\n"
        f"Sets are {width['median']:.1f} nm wide in the median photograph, {width['p95']:.1f} nm in the widest twentieth.\n"
    )


def _failures(photos: Mapping[str, Any]) -> str:
    wrong = failures(photos["photographs"])
    rows = [
        (str(r["index"]), r["group"], ", ".join(r["had"]), r["light"], f"{r['film_nm']:.0f}, {r['bead_nm']:.0f}", why)
        for r, why in wrong[:24]
    ]
    text = f"## Failures\n\n{len(wrong)} photographs failed in one way or another"
    text += "; the first 24 in order of weight.\n\n" if len(wrong) > 24 else ".\n\n"
    if wrong:
        text += "![photograph, truth, reading of the heaviest failures](../pictures/tint-failures.png)\n\n"
        text += "Left the photograph, then the truth, then the map: light grey silver, straw, blue, black scale.\n\n"
        text += _table(("number", "group", "had", "light", "film away and on the bead, nm", "what failed"), rows)
    return text


def failures(rows: Iterable[Mapping[str, Any]]) -> list[tuple[Mapping[str, Any], str]]:
    """Photographs that failed and how, the heaviest first."""
    found = []
    for r in rows:
        weight, why = _why(r)
        if why:
            found.append((weight, r["index"], r, why))
    return [(r, why) for _, _, r, why in sorted(found, key=lambda f: (-f[0], f[1]))]


def _why(r: Mapping[str, Any]) -> tuple[float, str]:
    if r["answer"] == "error":
        return 9.0, "no answer"
    if r["wanted"]:
        return (5.0, f"read, though {r['wanted']}") if r["answer"] == "read" else (0.0, "")
    if r["answer"] == "refused":
        return 3.0, f"refused: {', '.join(r['reasons'])}"
    missed = r["worse_missed_px"] / max(1, r["worse_px"])
    if r["worst"] >= 2 and r["worst_read"] <= 1:
        return 8.0, f"{CLASSES[r['worst']]} called {CLASSES[r['worst_read']]}"
    if r["worst_read"] != r["worst"]:
        return 4.0, f"{CLASSES[r['worst']]} called {CLASSES[r['worst_read']]}"
    if missed > 0.05 and r["worse_px"] > 0.01 * r["zone_px"]:
        return 2.0 + missed, f"{100 * missed:.0f} % of purple or worse missed"
    if any(share < 0.5 for share in r["spots"]):
        return 2.0, f"{sum(share < 0.5 for share in r['spots'])} of {len(r['spots'])} spots missed"
    return 0.0, ""


def _speed(speed: Mapping[str, Any]) -> str:
    rows = []
    for r in speed["photographs"]:
        late, large = _missed(r["elapsed_s"], 1.0, True), _missed(r["peak_MB"], 600, True)
        pictures = "a pair" if r["two"] else "one"
        rows.append(
            (f"{r['megapixels']:.1f}", pictures, r["group"], f"{r['elapsed_s']:.2f}{late}", f"{r['peak_MB']}{large}")
        )
    return (
        f"## Twelve megapixels (commit {speed['commit']})\n\n"
        "Wanted at most 1 s and 600 MB for one photograph, on one core. Processor"
        f" seconds from opening the file to the answer, without writing the map; {speed['machine']}.\n\n"
        f"{_table(('megapixels', 'photographs', 'group', 's', 'MB at most'), rows)}"
    )


def _strips(told: Mapping[str, Any]) -> str:
    rows = [
        (
            str(r["seed"]),
            ", ".join(r["reasons"]) or "read",
            str(r.get("mean_below_60_nm", "–")),
            str(r.get("mean_nm", "–")),
        )
        for r in told["strips"]
    ]
    return (
        f"## Anodised strips through unknown cameras (commit {told['commit']})\n\n"
        "Sixteen bands of 4 to 124 nm beside bare metal and a grey card, read **without** a profile of the camera; a profile of the"
        " camera is wanted to bring this below 3 nm.\n\n"
        f"{_table(('strip', 'ended', 'mean error below 60 nm', 'mean error, nm'), rows)}"
    )


def _fuzz(fuzz: Mapping[str, Any]) -> str:
    kinds = []
    for kind, ended in fuzz["by_kind"].items():
        answered, refused = ended.get("answered", 0), ended.get("refused", 0)
        kinds.append(
            (kind.replace("_", " "), str(answered), str(refused), str(sum(ended.values()) - answered - refused))
        )
    return (
        f"## Broken files (commit {fuzz['commit']}, seed {fuzz['seed']})\n\n"
        f"{fuzz['files']} files; {len(fuzz['faults'])} neither answered nor refused by name. The slowest took"
        f" {fuzz['slowest_s']:.1f} s ({fuzz['slowest'].replace('_', ' ')}); at most {fuzz['peak_MB']} MB.\n\n"
        f"{_table(('kind', 'answered', 'refused by name', 'fault'), kinds)}"
    )


def plot() -> str:
    """Coverage by true film: one dot a class, 90 % as a line."""
    told = result("tint_photos")["table"]["covered_by_nm"]
    left, top, wide, high = 46, 14, 560, 200
    step = wide / len(FINE)

    def y(share: float) -> float:
        return top + high * (1 - (max(share, 0.5) - 0.5) / 0.5)

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {left + wide + 10} {top + high + 62}"'
        ' font-family="sans-serif" font-size="11">',
        f'<rect x="{left}" y="{y(0.96):.1f}" width="{wide}" height="{y(0.88) - y(0.96):.1f}" fill="#cfe0f2"/>',
    ]
    for share in (0.5, 0.6, 0.7, 0.8, 0.9, 1.0):
        parts.append(
            f'<path d="M{left} {y(share):.1f}h{wide}" stroke="#999" stroke-width="{1.2 if share == 0.9 else 0.4}"/>'
        )
        parts.append(f'<text x="{left - 6}" y="{y(share) + 4:.1f}" text-anchor="end">{100 * share:.0f} %</text>')
    for k, (_, share) in enumerate(told):
        x = left + step * (k + 0.5)
        if share is not None:
            parts.append(f'<circle cx="{x:.1f}" cy="{y(share):.1f}" r="5" fill="#123"/>')
            parts.append(f'<text x="{x:.1f}" y="{y(share) - 9:.1f}" text-anchor="middle">{100 * share:.0f}</text>')
        turn = f'transform="rotate(-20 {x:.1f} {top + high + 20})"'
        parts.append(f'<text x="{x:.1f}" y="{top + high + 20}" text-anchor="middle" {turn}>{FINE[k]}</text>')
    return "\n".join([*parts, "</svg>"]) + "\n"


def main(folder: str = "") -> None:
    """Write the page and the pictures."""
    head = PAGE.read_text(encoding="utf-8").split(MARK)[0]
    PAGE.write_text(f"{head}{MARK}\n\n{page()}", encoding="utf-8")
    if result("tint_photos"):
        PLOT.write_text(plot(), encoding="utf-8")
    if folder:
        from benchmarks.tint_sheets import sheets

        sheets(Path(folder), [r["index"] for r, _ in failures(result("tint_photos")["photographs"])])


if __name__ == "__main__":
    main(*sys.argv[1:2])
