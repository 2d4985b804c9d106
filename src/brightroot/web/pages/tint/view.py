"""Colour: what the gas should leave on each run and what was seen, the sequence by thickness, and what decides."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from brightroot.app.ports import Place
from brightroot.app.tint import TintRow, joint_tint, named_code
from brightroot.app.tint_pictures import tint_core
from brightroot.app.work_live import look
from brightroot.model.library import Code
from brightroot.render.drawing import drawing
from brightroot.rules.tint_table import colour_rows
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/joints/{id}/tint"
TITLE = "tint.title"
CANNOT = ("how_much", "brush", "inside", "lines")


@dataclass(frozen=True, slots=True)
class Line:
    """One row as it is told."""

    row: TintRow
    runs: str  # `4`, or `4–8` where nothing is made yet and one plan stands for all
    film: str
    expected: str
    seen: str
    because: tuple[str, ...]
    says: str


def view(place: Place, settings: Settings, *, id: str) -> dict[str, Any]:
    """Everything the page says."""
    now = look(place, id)
    shown = Shown(settings)
    told = joint_tint(place, id)
    named = named_code(place.library, told.criterion)
    return {
        "plan": now.plan,
        "told": told,
        "figures": told.figures(),
        "lines": tuple(_line(rows, shown) for rows in _together(told.rows)),
        "core": drawing(settings.language, palette="page").tint_core(tint_core(place.library.optics, shown.speech)),
        "codes": tuple((code, tuple(_row(row, shown) for row in colour_rows(code))) for code in _codes(place)),
        "named": named.id if named else "",
        "cannot": tuple(shown.say(f"tint.cannot_{name}") for name in CANNOT),
        "asks_second": any(row.said is not None and row.said.second_signer for row in told.rows),
    }


def _together(rows: tuple[TintRow, ...]) -> list[list[TintRow]]:
    """Each made run by itself; of the others all that one figure of the plan stands for."""
    groups: dict[tuple[str, ...], list[TintRow]] = {}
    for row in rows:
        planned = not row.made and row.film is not None
        key = ("plan", row.side, row.film.key if row.film else "") if planned else (str(row.run), row.side)
        groups.setdefault(key, []).append(row)
    return list(groups.values())


def _codes(place: Place) -> tuple[Code, ...]:
    return tuple(code for code in place.library.codes.values() if colour_rows(code))


def _line(rows: list[TintRow], shown: Shown) -> Line:
    row, last = rows[0], rows[-1]
    film = expected = ""
    if row.likely_m is not None and row.names is not None:
        film = f"{row.likely_m.low * 1e9:.0f}–{row.likely_m.high * 1e9:.0f} nm"
        low, high = shown.choice(row.names.low), shown.choice(row.names.high)
        expected = low if low == high else shown.say("tint.expected_range", low=low, high=high)
    seen = shown.choice(row.seen) if row.seen else ""
    if seen and row.arrangement not in ("", "uniform"):
        seen += f", {shown.choice(row.arrangement)}"
    return Line(
        row,
        f"{row.run}" if row is last else f"{row.run}–{last.run}",
        film,
        expected,
        seen,
        tuple(shown.say(b.says, **shown.slots(b.params)) for b in row.because),
        shown.say(row.said.says, tint=seen) if row.said else "",
    )


def _row(row: Any, shown: Shown) -> dict[str, str]:
    width = row.cells.get("width_max_m")
    return {
        "colours": ", ".join(shown.choice(str(colour)) for colour in row.cells["colours"]),
        "zone": shown.say(f"tint.zone_{str(row.cells['zone']).replace(' ', '_')}"),
        "width": shown.number(float(width), "width_max_m") if isinstance(width, int | float) else "–",
        "verdict": shown.say(f"tint.{row.cells['verdict']}"),
        "standing": shown.say(f"standing.{row.standing}"),
        "id": row.id,
    }
