"""The composition that a grade or a rod class may have, as clauses: judged, confirmed and tightened as any others are."""

from __future__ import annotations

import re
from collections.abc import Mapping

from brightroot.base.show import stem_of
from brightroot.base.source import Datum
from brightroot.model.library import Clause, Code
from brightroot.rules.fact import Fact

ELEMENTS = (
    "oxygen", "nitrogen", "carbon", "hydrogen", "iron", "chromium", "iron_chromium", "hafnium", "zirconium_hafnium",
    "aluminium", "vanadium", "palladium", "ruthenium", "molybdenum", "nickel", "tin", "niobium", "niobium_tantalum",
)  # fmt: skip
# editions of a rod specification that share one table
SAME_TABLE = {"AWS A5.16": ("2007", "2013")}
# what hot metal takes from the gas on top of what was melted: mixing tells the least there can be, never the most
PICKED_UP = ("oxygen", "nitrogen", "hydrogen")
_LIMIT = re.compile(rf"({'|'.join(sorted(ELEMENTS, key=len, reverse=True))})(_max|_min|)_frac")


def composition_code(*, id: str, title: str, edition: str, cells: Mapping[str, Datum]) -> Code:
    """One clause for each element that the cells limit: `_max_frac`, `_min_frac`, or a range in a bare `_frac`."""
    found = [(match, cell) for name, cell in cells.items() if (match := _LIMIT.fullmatch(name))]
    clauses = tuple(_clause(match[1], match[2], cell) for match, cell in found)
    return Code(id, title, edition, "Composition by mass.", "Everything but composition.", clauses, {})


def _clause(element: str, end: str, cell: Datum) -> Clause:
    limit: object = percent(cell.value)
    check = {"_max": "at_most", "_min": "at_least", "": "between"}[end]
    if not end:
        limit = {"low": percent(cell.low), "high": percent(cell.high)}
    name = element.replace("_", " and ")
    words = {"_max": "No more {} than this.", "_min": "No less {} than this.", "": "{} within this range."}[end]
    return Clause(
        id=f"{element.replace('_', '-')}{end.replace('_', '-')}",
        ref=cell.where or "composition",
        subject=name.capitalize(),
        check=check,
        fact=f"{element}_frac",
        says=words.format(name if end else name.capitalize()),
        source=cell.source,
        standing=cell.standing,
        limit=limit,
        asks="ask.certificate",
    )


def percent(frac: float) -> str:
    """By mass, as certificates print it.

    >>> percent(0.0025), percent(0.00015)
    ('0.25 %', '0.015 %')
    """
    return f"{round(100 * frac, 9):g} %"


def certificate_facts(content_frac: Mapping[str, float], *, where: str = "") -> dict[str, Fact]:
    """A certificate's figures as facts. What it does not tell is not recorded, never zero."""
    return {f"{element}_frac": _told(element, frac, where) for element, frac in content_frac.items()}


def _told(element: str, frac: float, where: str) -> Fact:
    return Fact(f"{element}_frac", frac, percent(frac), where=where)


def weld_facts(
    mixed_frac: Mapping[str, tuple[float, float, float]], *, sample_frac: Mapping[str, float]
) -> dict[str, Fact]:
    """Weld metal as mixed (low, value, high), or as a sample of it was found. Of gases the mixing is only the least."""
    facts = {f"{e}_frac": _mixed(e, *band) for e, band in mixed_frac.items()}
    return facts | {f"{e}_frac": _told(e, frac, "") for e, frac in sample_frac.items()}


def _mixed(element: str, low: float, value: float, high: float) -> Fact:
    name, text = f"{element}_frac", percent(float(f"{value:.4g}"))
    if element in PICKED_UP:
        return Fact(name, None, f"at least {percent(float(f'{low:.4g}'))}", low=low, asks="ask.weld_sample")
    return Fact(name, value, text, low=low, high=high)


def elements_in(names: Mapping[str, object]) -> tuple[str, ...]:
    """Which of the elements a table of `…_frac` names tells of.

    >>> elements_in({"oxygen_frac": 0.001, "note": ""})
    ('oxygen',)
    """
    return tuple(e for e in ELEMENTS if any(stem_of(name) == e and name.endswith("_frac") for name in names))
