"""What a declared joint asks of its welder, with the rows that its P- and F-Numbers were looked up in."""

from __future__ import annotations

import re

from brightroot.base.units import Reading
from brightroot.model.find import DN
from brightroot.model.joint import Joint
from brightroot.model.library import CodeRow
from brightroot.model.qualification import JointNeeds
from brightroot.rules.welders.book import Book

_NOMINAL = re.compile(r"^\s*(NPS|DN)\s*([0-9 /-]+?)\s*(?:(?:sch|c[ée]d).*)?$", re.IGNORECASE)


def needs_of(
    book: Book,
    joint: Joint,
    *,
    filler: str = "",
    deposit_m: Reading | None = None,
    backing: bool | None = False,
    insert: bool | None = False,
    filler_used: bool | None = True,
    filler_form: str = "solid",
    current: str = "DCEN",
    progression: str = "",
    planned_on: str = "",
) -> JointNeeds:
    """A girth butt's needs. Hand GTAW from one side with bare rod on DCEN is what is planned here, so it is what is asked.

    Where both ends differ, the larger wall and the smaller diameter are asked. A welder may have to lay the whole wall,
    unless the plan says less. A grade or a rod without a row has no number, and the answer will be unknown.
    """
    ends = (joint.end_a, joint.end_b)
    metals = tuple(dict.fromkeys(end.alloy for end in ends))
    rod = filler or joint.filler
    p_rows = [p_number_of(book, metal) for metal in metals]
    f_row = f_number_of(book, rod)
    smaller = min(ends, key=lambda end: end.outer_diameter_m.value)
    return JointNeeds(
        joint=joint.id,
        position=joint.position,
        deposit_m=deposit_m or max((end.wall_m for end in ends), key=lambda wall: wall.value),
        outer_diameter_m=smaller.outer_diameter_m,
        nps=nps_of(smaller.size),
        p_numbers=tuple(str(row.cells["p_number"]) if row else "" for row in p_rows),
        f_number=str(f_row.cells["f_number"]) if f_row else "",
        backing=backing,
        gas_backing=joint.purge.dam_kind != "none" or joint.purge.backing_flow_m3_s is not None,
        insert=insert,
        filler_used=filler_used,
        filler_form=filler_form,
        current=current,
        progression=progression,
        metals=metals,
        filler=rod,
        rests_on=tuple(row.id for row in (*p_rows, f_row) if row),
        planned_on=planned_on,
    )


def p_number_of(book: Book, metal: str) -> CodeRow | None:
    """The row of a grade's P-Number, by the grade's name in the library; None where nobody knows it."""
    return next((row for row in book.table("p_numbers") if row.cells.get("metal") == metal), None)


def f_number_of(book: Book, filler: str) -> CodeRow | None:
    """The row of a rod's F-Number, by its class; None where nobody knows it."""
    wanted = filler.casefold()
    return next((row for row in book.table("f_numbers") if str(row.cells.get("filler")).casefold() == wanted), None)


def nps_of(size: str) -> str:
    """The nominal size in a pipe's name; empty where the name is no nominal size.

    >>> nps_of("NPS 1-1/2 Sch 10S"), nps_of("DN 65 Sch 40"), nps_of("88.9 x 5.49 mm")
    ('1-1/2', '2-1/2', '')
    """
    found = _NOMINAL.match(size)
    if found is None:
        return ""
    number = "-".join(found[2].replace("-", " ").split())
    return number if found[1].upper() == "NPS" else DN.get(number, "")
