"""A written procedure and the tests behind it, typed once and kept in a log of its own: forms are made from this table.

What is written are ranges and words that the work must stay within. What was tested are the values of one test piece;
what they qualify is worked out by the rules. None and absent are not told, which is never the same as any.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from brightroot.model.event import Field, Kind

YES_NO = ("backing_strip", "retainer", "filler_added", "insert", "flux", "pulse", "peening", "thermal_cutting")
CHOICES: dict[str, tuple[str, ...]] = {
    "progression": ("up", "down"),
    "polarity": ("DCEN", "DCEP", "AC"),
    "bead_form": ("stringer", "weave", "both"),
    "filler_form": ("solid", "metal cored", "flux cored", "powder"),
    "passes_a_side": ("single", "multiple"),
    "electrodes": ("single", "multiple"),
    "welded_in": ("open air", "chamber"),
    "worked": ("manual", "machine"),
}
# words that the written procedure tells; lists have commas between
WRITTEN_WORDS = (
    "groove_form", "backing_strip", "retainer", "filler", "insert", "flux", "position", "progression", "trail_gas",
    "backing_gas", "pulse", "polarity", "tungsten", "bead_form", "preparation", "back_gouging", "oscillation",
    "passes_a_side", "electrodes", "worked", "peening",
)  # fmt: skip
# stem and unit of what it tells as a range
WRITTEN_RANGES = (
    ("metal_thickness", "m"), ("gap", "m"), ("rod_diameter", "m"), ("torch_flow", "m3_s"), ("trail_flow", "m3_s"),
    ("backing_flow", "m3_s"), ("current", "A"), ("voltage", "V"), ("travel", "m_s"), ("tungsten_diameter", "m"),
    ("cup_bore", "m"), ("electrode_spacing", "m"),
)  # fmt: skip
# one end only
WRITTEN_MOST = ("heat_input_max_J_m",)
TESTED_WORDS = (
    "p_number", "group_number", "f_number", "a_number", "filler", "filler_added", "filler_form", "pwht", "pwht_range",
    "torch_gas", "backing_gas", "trail_gas", "welded_in", "thermal_cutting",
)  # fmt: skip
TESTED_NUMBERS = (
    "metal_thickness_m", "deposit_m", "toughness_thickness_m", "preheat_K", "interpass_K", "heat_input_J_m",
    "trail_flow_m3_s",
)  # fmt: skip


def _word(name: str) -> Field:
    if name in YES_NO:
        return Field(name, "yes_no", required=False)
    if name in CHOICES:
        return Field(name, "choice", CHOICES[name], required=False)
    return Field(name, "text", required=False)


def _ends(stem: str, unit: str) -> tuple[Field, Field]:
    return tuple(Field(f"{stem}_{end}_{unit}", required=False) for end in ("min", "max"))  # type: ignore[return-value]


PROCEDURE_KINDS: dict[str, Kind] = {
    k.name: k
    for k in (
        Kind(
            "procedure.written",
            "plan",
            (
                Field("revision", "text"),
                Field("toughness", "yes_no", required=False),
                *map(_word, WRITTEN_WORDS),
                *(end for stem, unit in WRITTEN_RANGES for end in _ends(stem, unit)),
                *(Field(name, required=False) for name in WRITTEN_MOST),
            ),
        ),
        Kind(
            "procedure.tested",
            "plan",
            (
                Field("test_record", "text"),
                *map(_word, TESTED_WORDS),
                *(Field(name, required=False) for name in TESTED_NUMBERS),
            ),
        ),
        Kind("event.withdrawn", "record", (Field("why", "text"),)),
    )
}


@dataclass(frozen=True, slots=True)
class Tested:
    """One test record: what its test piece was and how it was welded, as typed."""

    __test__ = False  # no test of ours, whatever its name begins with

    test_record: str
    values: Mapping[str, Any] = field(default_factory=dict)
    event: str = ""


@dataclass(frozen=True, slots=True)
class TypedProcedure:
    """A procedure as typed: its newest revision and every test record that supports it."""

    name: str
    revision: str = ""
    written: Mapping[str, Any] = field(default_factory=dict)
    tested: tuple[Tested, ...] = ()
    event: str = ""


@dataclass(frozen=True, slots=True)
class Trip:
    """A change beyond a limit: the variable, its class, where it is written, the limit, what was got, what mends it.

    `state`: open | decided (written down as a departure) | waived (signed). A waiver lets the work go on and is shown;
    it changes no verdict.
    """

    variable: str
    weight: str  # essential | supplementary | nonessential
    code: str
    clause: str
    ref: str
    says: str
    wanted: str
    got: str
    confirmed: bool  # False: the row is from memory and nobody has confirmed it
    mend: str  # id of what mends it: another test, a revision of what is written
    test_record: str = ""  # the test that comes nearest
    from_events: tuple[str, ...] = ()
    state: str = "open"
    answered_by: str = ""  # the waiver or departure


@dataclass(frozen=True, slots=True)
class Proposed:
    """What one more test would allow: what it must be welded with, and the ranges that it would give."""

    values: Mapping[str, str]
    allows: tuple[tuple[str, str], ...]  # variable, what it would then cover
    covers: tuple[str, ...]  # trips that it would settle, by clause
    leaves: tuple[str, ...]  # trips that no test settles: the written procedure has to be revised
    confirmed: bool  # whether every range rests on a row that was seen or confirmed
