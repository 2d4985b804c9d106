"""A colour laid against rows of colour, zone and width. The shop's own rows stand beside them and only tighten."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from brightroot.model.library import Code, CodeRow

TABLE = "colour"
STRICTER = ("accepted", "conditional", "refused")  # the later wins
SAYS = {"accepted": "tint.no_evidence", "refused": "tint.evidence_of"}
NEAR_AN_EDGE = ("light straw", "dark straw", "bronze", "purple")  # where two pairs of eyes part most often


@dataclass(frozen=True, slots=True)
class ColourSaid:
    """`verdict`: accepted | conditional | refused | not said. `says` is a message; never a word that sounds like a pass."""

    verdict: str
    says: str
    rows: tuple[CodeRow, ...]
    second_signer: bool


def colour_rows(code: Code) -> tuple[CodeRow, ...]:
    """The rows of a code that speak of colour."""
    return tuple(row for row in code.rows if row.table == TABLE)


def judge_colour(
    rows: Iterable[CodeRow], *, colour: str, zone: str = "weld", width_m: float | None = None,
    own: Iterable[CodeRow] = (),
) -> ColourSaid:  # fmt: skip
    """What the named rows say of a colour in a zone; `own` rows may refuse more, and accept nothing that these do not.

    A row with a width accepts a band up to it; of a band whose width nobody measured it says nothing. A colour that no row
    names is "not said": somebody decides.
    """
    named = [row for row in rows if _speaks(row, colour, zone, width_m)]
    verdict = _strictest(str(row.cells["verdict"]) for row in named) or "not said"
    harder = [row for row in own if _speaks(row, colour, zone, width_m)]
    told = _strictest(str(row.cells["verdict"]) for row in harder)
    if told in ("conditional", "refused") and (verdict == "not said" or _rank(told) > _rank(verdict)):
        verdict, named = told, [*named, *harder]
    asks = verdict in ("not said", "conditional") or zone != "weld" or colour in NEAR_AN_EDGE
    return ColourSaid(verdict, SAYS.get(verdict, "tint.undecided"), tuple(named), asks)


def _speaks(row: CodeRow, colour: str, zone: str, width_m: float | None) -> bool:
    colours = row.cells.get("colours")
    if not isinstance(colours, list | tuple) or colour not in colours:
        return False
    if row.cells.get("zone") not in (zone, "anywhere"):
        return False
    widest = row.cells.get("width_max_m")
    if row.cells.get("verdict") != "accepted" or not isinstance(widest, int | float):
        return True
    return width_m is not None and width_m <= widest


def _strictest(verdicts: Iterable[str]) -> str:
    return max((v for v in verdicts if v in STRICTER), key=_rank, default="")


def _rank(verdict: str) -> int:
    return STRICTER.index(verdict)
