"""What a qualification is recorded from: the coupon as it was made, its tests and its papers. One table, as for joints."""

from __future__ import annotations

from brightroot.model.facts import Fact

TESTS = ("visual", "bend", "volumetric", "colour", "fracture")
# test positions; a slash of two coupons is written with a plus
PIPE_POSITIONS = ("1G", "2G", "5G", "6G", "2G+5G")
PLATE_POSITIONS = ("3G", "4G", "3G+4G", "2G+3G+4G")
_UNKNOWN_NO_YES = ("", "no", "yes")

COUPON_FACTS: tuple[Fact, ...] = (
    Fact("id", "record", "text", example="Q-1"),
    Fact("code", "record", "code", required=True, example="asme-ix/2023"),
    Fact("welded_on", "record", "date", required=True, example="2026-03-02"),
    Fact("issued_on", "record", "date", example="2026-03-10"),
    Fact("procedure", "record", "text", example="WPS-T14"),
    Fact("process", "coupon", "choice", choices=("GTAW",), start="GTAW"),
    Fact("position", "coupon", "choice", required=True, choices=(*PIPE_POSITIONS, *PLATE_POSITIONS), start="6G"),
    Fact("pipe", "coupon", "pipe", example="NPS 2 Sch 40S"),
    Fact("outer_diameter_m", "coupon", example="60.3 mm"),
    Fact("wall_m", "coupon", example="3.91 mm"),
    Fact("deposit_m", "coupon", required=True, example="3.91 mm"),
    Fact("layers_count", "coupon", "count", example="3"),
    Fact("metal", "coupon", "metal", example="Gr 2"),
    Fact("p_number", "coupon", "text", example="51"),
    Fact("filler", "coupon", "filler", example="ERTi-2"),
    Fact("f_number", "coupon", "text", example="51"),
    Fact("filler_used", "variables", "yes_no", choices=_UNKNOWN_NO_YES),
    Fact("filler_form", "variables", "choice", choices=("", "solid", "metal cored", "flux cored")),
    Fact("backing", "variables", "yes_no", choices=_UNKNOWN_NO_YES),
    Fact("gas_backing", "variables", "yes_no", choices=_UNKNOWN_NO_YES),
    Fact("insert", "variables", "yes_no", choices=_UNKNOWN_NO_YES),
    Fact("current", "variables", "choice", choices=("", "DCEN", "DCEP", "AC")),
    Fact("progression", "variables", "choice", choices=("", "up", "down")),
    *(Fact(f"{test}_test", "tests", "choice", choices=("", "passed", "failed")) for test in TESTS),
    Fact("report", "tests", "text", example="LAB-2231"),
)
