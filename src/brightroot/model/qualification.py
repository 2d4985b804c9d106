"""Who may weld what: a test coupon, the qualification it earned, when the process was used, what a joint asks.

Lengths are Readings and are compared in the unit system in which they were typed: a coupon in inches with the code's
inch figure, a coupon in millimetres with its millimetre figure. Dates are local dates as typed, `2026-05-25`: the day
at the place where the weld was made. None and "" are not recorded, which is never the same as no.
"""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.base.source import Standing
from brightroot.base.units import Reading
from brightroot.model.clause import Outcome


@dataclass(frozen=True, slots=True)
class TestDone:
    """One test of a coupon: which, how it ended, and the paper that says so."""

    __test__ = False  # no test of ours, whatever its name begins with

    test: str  # visual | bend | volumetric | colour | fracture
    result: str  # passed | failed
    report: str = ""


@dataclass(frozen=True, slots=True)
class Coupon:
    """A test weld as it was made. `position` is the test position as the code names it; two coupons are `2G+5G`."""

    welded_on: str
    position: str
    deposit_m: Reading  # weld metal that this welder laid with this process and F-Number, without reinforcement
    layers_count: int | None = None
    outer_diameter_m: Reading | None = None  # None: a plate
    p_number: str = ""
    f_number: str = ""
    backing: bool | None = None  # metal backing, or welded from both sides
    gas_backing: bool | None = None
    insert: bool | None = None  # consumable insert
    filler_used: bool | None = None
    filler_form: str = ""  # solid | metal cored | flux cored
    current: str = ""  # DCEN | DCEP | AC
    progression: str = ""  # up | down
    process: str = "GTAW"
    nps: str = ""
    metal: str = ""
    filler: str = ""
    wall_m: Reading | None = None
    tests: tuple[TestDone, ...] = ()
    procedure: str = ""  # the written procedure that was followed


@dataclass(frozen=True, slots=True)
class Qualification:
    """What one coupon earned one welder under one edition of one code, and whatever has been done to it since."""

    id: str
    welder: str  # the stamp
    code: str  # asme-ix/2023
    coupon: Coupon
    issued_on: str = ""  # of the certificate, where the code has one
    revoked_on: str = ""
    renewed_on: tuple[str, ...] = ()  # days on which a renewal coupon or weld was made and later passed
    evidence: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LastUse:
    """A day on which the process was used, with what shows it: the weld's or coupon's id, a paper, a photo's hash."""

    date: str
    process: str
    metal: str = ""
    weld: str = ""
    evidence: str = ""


@dataclass(frozen=True, slots=True)
class Confirmation:
    """Who had the text before them and read a row there, when, in which edition, and where in it."""

    code: str
    row: str
    by: str
    at_utc: str
    edition: str
    ref: str = ""

    @property
    def complete(self) -> bool:
        """Whether it says who, when and which edition; without these it lifts nothing."""
        return all(text.strip() for text in (self.code, self.row, self.by, self.at_utc, self.edition))


@dataclass(frozen=True, slots=True)
class JointNeeds:
    """What a joint asks of its welder. `rests_on` are rows that its P- and F-Numbers were looked up in."""

    joint: str
    position: str
    deposit_m: Reading | None  # the most that one welder may have to lay: the wall, where nothing else is planned
    outer_diameter_m: Reading | None  # None: not known, unless it is a plate
    nps: str = ""
    p_numbers: tuple[str, ...] = ()  # of both ends
    f_number: str = ""
    form: str = "groove"  # groove | fillet
    plate: bool = False
    backing: bool | None = None
    gas_backing: bool | None = None
    insert: bool | None = None
    filler_used: bool | None = None
    filler_form: str = ""
    current: str = ""
    progression: str = ""
    process: str = "GTAW"
    metals: tuple[str, ...] = ()
    filler: str = ""
    rests_on: tuple[str, ...] = ()
    planned_on: str = ""


@dataclass(frozen=True, slots=True)
class Answer:
    """One variable laid against what a joint asks: what the qualification has, what is wanted, and which rows say so.

    `standing` is the weakest of the rows; `waits_for` are those of them that nobody has seen or confirmed. While there
    is one the outcome is never PASS, and `asks` says so.
    """

    variable: str
    ref: str
    subject: str
    wanted: str
    got: str
    outcome: Outcome
    standing: Standing
    source: str
    rows: tuple[str, ...]
    because: str = ""
    asks: str = ""
    waits_for: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Mend:
    """The least that would change a no: a coupon to weld, a renewal, or rows to confirm. `changes` names variables."""

    kind: str  # nothing | coupon | renewal | confirm | record
    changes: tuple[str, ...] = ()
    coupon: Coupon | None = None
    rows: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MayWeld:
    """Whether a welder may make a joint on a day: failing answers first, and the least that would mend it."""

    welder: str
    joint: str
    on: str
    outcome: Outcome
    qualification: str  # the one that comes closest; "" for none
    answers: tuple[Answer, ...]
    mend: Mend
    with_qualification: str = ""  # a second one whose deposit thickness counts too
