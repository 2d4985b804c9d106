"""The shapes of library facts. Files are read by `library/`; everything below takes these values as arguments."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from brightroot.base.source import Datum, Source, Standing
from brightroot.model.optics import Optics
from brightroot.model.owed import Owing


@dataclass(frozen=True, slots=True)
class Curve:
    """A property over temperature, linear between its points, with one source and one relative spread."""

    temperature_K: tuple[float, ...]
    value: tuple[float, ...]
    spread_frac: float
    source: str
    standing: Standing
    note: str = ""


@dataclass(frozen=True, slots=True)
class Alloy:
    """One grade: names people use for it, the family it belongs to, its cells and its filler choice."""

    id: str
    name: str
    family: str
    uns: str
    aliases: tuple[str, ...]
    p_number: str
    cells: Mapping[str, Datum]  # density_kg_m3, melting_K, beta_transus_K, latent_heat_J_kg, emissivity_1 …
    curves: Mapping[str, Curve]  # conductivity_W_mK, specific_heat_J_kgK, density_kg_m3
    fillers: tuple[str, ...]  # first choice first
    filler_note: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Filler:
    """One filler class of a specification: family, composition in words, density for deposit mass."""

    id: str
    specification: str
    edition: str
    family: str
    f_number: str
    cells: Mapping[str, Datum]  # density_kg_m3, oxygen_max … as fractions
    composition: str
    source: str
    standing: Standing


@dataclass(frozen=True, slots=True)
class AmpsRow:
    """Practice currents for walls between two thicknesses."""

    wall_min_m: float
    wall_max_m: float
    root: Datum
    fill: Datum


@dataclass(frozen=True, slots=True)
class Family:
    """How one metal family is welded: the whole set-up changes with it."""

    id: str
    name: str
    cells: Mapping[
        str, Datum
    ]  # interpass_max_K, release_K, start_oxygen_frac, torch_flow_m3_s … (see library/families)
    words: Mapping[str, str]  # tungsten, polarity, tools, solvent … ids of messages in words/
    amps: tuple[AmpsRow, ...]
    rods_m: tuple[Datum, ...]  # rod diameters on the shelf
    cautions: tuple[str, ...]
    backing_required: bool
    trailing_required: bool
    tint_model: bool  # whether growth is predicted for this family


@dataclass(frozen=True, slots=True)
class PipeSize:
    """One row of the pipe tables: nominal size and schedule with outside diameter and wall."""

    nps: str
    schedule: str
    outer_diameter_m: float
    wall_m: float
    source: str
    standing: Standing


@dataclass(frozen=True, slots=True)
class Clause:
    """One rule in our own words. The eight checks live in `rules/judge.py`."""

    id: str
    ref: str
    subject: str
    check: str  # at_most at_least between one_of equals present table_lookup ratio
    fact: str
    says: str
    source: str
    standing: Standing
    limit: object = None
    table: str = ""
    when: Mapping[str, object] = field(default_factory=dict)
    on_fail: str = ""
    asks: str = ""
    weight: str = ""  # of a procedure's variable: essential | supplementary | nonessential


@dataclass(frozen=True, slots=True)
class CodeRow:
    """One row of a code's table with its own name, place and standing, so that it can be cited and confirmed by itself."""

    id: str
    table: str
    ref: str
    says: str
    source: str
    standing: Standing
    cells: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Code:
    """One edition of one code: what it covers, what we left out, its clauses, its tables, and rows cited one by one."""

    id: str
    title: str
    edition: str
    covers: str
    left_out: str
    clauses: tuple[Clause, ...]
    tables: Mapping[str, tuple[Mapping[str, object], ...]]
    rows: tuple[CodeRow, ...] = ()
    judges: str = "joint"  # what it is laid against: a joint, a procedure, a welder, a coupon, a composition


@dataclass(frozen=True, slots=True, eq=False)
class Library:
    """All facts, as loaded from our folders and the user's own, with one digest over every file read.

    A library is itself alone: what was computed from it is kept by it, never by a look through all its facts.
    """

    alloys: Mapping[str, Alloy]
    fillers: Mapping[str, Filler]
    families: Mapping[str, Family]
    pipes: tuple[PipeSize, ...]
    practice: Mapping[str, Datum]  # cells that belong to no metal: arc_voltage_V, efficiency_frac, cylinder_volume_m3 …
    gases: Mapping[str, Mapping[str, Datum]]
    codes: Mapping[str, Code]
    sources: Mapping[str, Source]
    owing: Mapping[str, Owing]  # by what a clause asks: who owes it, from when on
    digest: str
    optics: Optics = field(default_factory=Optics)  # tables that colour is computed from
