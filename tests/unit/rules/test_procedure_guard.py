"""The procedure guard: what trips, in whose units, what one more test would allow, and what a waiver changes."""

import csv
from pathlib import Path

import pytest

from brightroot.base.units import read
from brightroot.library.load import load_library
from brightroot.model.entry import entered
from brightroot.model.procedure import PROCEDURE_KINDS, Tested, TypedProcedure
from brightroot.rules.procedure.guard import guard, guard_written
from brightroot.rules.procedure.more import one_more_test
from brightroot.rules.procedure.thickness import qualified_thickness
from brightroot.rules.procedure.typed import as_fact, metal_facts

CODE = load_library().codes["asme-ix-procedure/2017"]
ROOT = Path(__file__).parents[2]


def typed(written=None, *tests):
    w = entered("procedure.written", {"revision": "2", **(written or {})}, PROCEDURE_KINDS)
    t = tuple(Tested(f"PQR-{n}", _test(one)) for n, one in enumerate(tests, 1))
    return TypedProcedure("WPS-T14", "2", {k: v for k, v in w.items() if k != "revision"}, t)


def _test(values):
    data = entered("procedure.tested", {"test_record": "x", **values}, PROCEDURE_KINDS)
    return {k: v for k, v in data.items() if k != "test_record"}


def change(**values):
    return {n: as_fact(n, read(v, field=n) if n[-2:] in ("_A", "_V", "_m", "_s") else v) for n, v in values.items()}


PQR = {
    "p_number": "51", "f_number": "51", "metal_thickness_m": "5.54 mm", "deposit_m": "5.54 mm",
    "backing_gas": "argon", "trail_gas": "argon", "torch_gas": "argon", "trail_flow_m3_s": "20 L/min",
}  # fmt: skip


def trips(procedure, made, metal="51", **more):
    return {t.clause: t for t in guard(CODE, procedure, made, metal=metal_facts(metal), **more).trips}


# each: test piece, weld metal laid, asker's unit, then base least, base most, weld metal most in mm; why
THICKNESS = [
    ("1.2 mm", "1.2 mm", "mm", 1.2, 2.4, 2.4, "under 1.5 mm: the test piece itself to twice it"),
    ("1.5 mm", "1.5 mm", "mm", 1.5, 3.0, 3.0, "1.5 mm is in the second row, which begins at it"),
    ("1/16 in", "1/16 in", "in", 1.5875, 3.175, 3.175, "the same edge in inches"),
    ("5.54 mm", "5.54 mm", "mm", 1.5, 11.08, 11.08, "second row: 1.5 mm to 2T, 2t"),
    ("10 mm", "10 mm", "mm", 1.5, 20.0, 20.0, "10 mm is still in it, as its end is included"),
    ("3/8 in", "3/8 in", "in", 1.5875, 19.05, 19.05, "so is 3/8 in, although it is 9.525 mm"),
    ("10.1 mm", "10 mm", "mm", 5.0, 20.2, 20.0, "over 10 mm: the least is 5 mm"),
    ("9.7 mm", "9.7 mm", "mm", 1.5, 19.4, 19.4, "over 3/8 in, but this record is kept in millimetres"),
    ("0.4 in", "0.4 in", "in", 4.7625, 20.32, 20.32, "over 3/8 in in a record kept in inches: 3/16 in"),
    ("0.4 in", "0.4 in", "mm", 5.0, 20.32, 20.32, "the same, told to one who asks in millimetres"),
    ("19 mm", "12 mm", "mm", 5.0, 38.0, 24.0, "19 mm begins the fourth row; under 19 mm laid counts twice"),
    ("25 mm", "19 mm", "mm", 5.0, 50.0, 50.0, "19 mm laid and more: weld metal up to 2T"),
    ("3/4 in", "3/4 in", "in", 4.7625, 38.1, 38.1, "the same edge in inches"),
    ("38 mm", "30 mm", "mm", 5.0, 203.2, 203.2, "from 38 mm: 8 in for base and weld metal"),
    ("160 mm", "10 mm", "mm", 5.0, 212.8, 20.0, "over 150 mm: 1.33 T"),
]  # fmt: skip


@pytest.mark.parametrize(("piece", "laid", "unit", "least", "most", "deposit", "why"), THICKNESS)
def test_what_a_test_piece_qualifies(piece, laid, unit, least, most, deposit, why):
    found = qualified_thickness(
        CODE.tables["thickness"],
        test_piece=read(piece, field="x_m"), deposit=read(laid, field="x_m"), unit=unit,
    )  # fmt: skip
    got = [round(r.value * 1000, 4) for r in (found.base_min, found.base_max, found.deposit_max)]
    assert got == [least, most, deposit], why


def test_every_variable_has_its_class():
    """Typed apart from the library: paragraph and class of every row of the table of variables."""
    lines = (ROOT / "cases/procedure_variables.csv").read_text().splitlines()
    wanted = {row["paragraph"]: row["class"] for row in csv.DictReader(lines)}
    found = {c.ref: c.weight for c in CODE.clauses if c.ref.startswith("QW")}
    assert len(wanted) == 48
    assert found == wanted


# the change, what trips, and why
TRIPS = [
    ({"current_A": "120 A"}, {"qw-409-8"}, "over the written 110 A"),
    ({"current_A": "110 A"}, set(), "the end of the written range"),
    ({"current_A": "64.9 A"}, {"qw-409-8"}, "under the written 65 A"),
    ({"travel_m_s": "150 mm/min"}, {"travel"}, "faster than written"),
    ({"metal_thickness_m": "3.40 mm"}, set(), "between 1.5 mm and 2T"),
    ({"metal_thickness_m": "0.436 in"}, set(), "0.436 in is 11.07 mm, within 2T"),
    ({"metal_thickness_m": "1/16 in"}, set(), "the printed least in inches"),
    ({"metal_thickness_m": "12.7 mm"}, {"qw-403-8"}, "over twice the test piece"),
    ({"deposit_m": "12.7 mm"}, {"qw-404-30"}, "over twice what was laid"),
    ({"f_number": "52"}, {"qw-404-4"}, "another F-Number"),
    ({"filler": "ERTi-1"}, {"qw-404-33"}, "another class within F-51: a revision, no test"),
    ({"position": "6G"}, {"qw-405-1"}, "not written; for the procedure it is nonessential"),
    ({"position": "2G"}, set(), "in the written list"),
    ({"backing_gas": "none"}, {"qw-408-9"}, "P-51 without backing gas"),
    ({"backing_gas": "nitrogen"}, {"qw-408-9"}, "another composition"),
    ({"trail_gas": "none"}, {"qw-408-10"}, "P-51 without trailing gas"),
    ({"trail_flow_m3_s": "18 L/min"}, {"qw-408-10-flow"}, "cut by a tenth of the tested 20"),
    ({"trail_flow_m3_s": "18.2 L/min"}, set(), "cut by less"),
    ({"torch_gas": "argon 75 helium 25"}, {"qw-408-2"}, "a mixture"),
    ({"p_number": "52"}, {"qw-403-11"}, "grade 3 under a test on grade 2"),
]
WRITTEN = {"current_min_A": "65 A", "current_max_A": "110 A", "travel_min_m_s": "60 mm/min",
           "travel_max_m_s": "120 mm/min", "filler": "ERTi-2", "position": "5G, 2G"}  # fmt: skip


@pytest.mark.parametrize(("made", "wanted", "why"), TRIPS)
def test_a_change_beyond_a_limit_trips(made, wanted, why):
    assert set(trips(typed(WRITTEN, PQR), change(**made))) == wanted, why


def test_stainless_without_backing_trips_nothing_that_is_essential():
    """QW-408.9 does not name P-8: there the written procedure alone speaks."""
    stainless = typed({"backing_gas": "argon"}, {**PQR, "p_number": "8"})
    found = trips(stainless, change(backing_gas="none"), metal="8")
    assert {t.weight for t in found.values()} == {"nonessential"}


def test_a_doubtful_p_number_decides_nothing():
    found = guard(CODE, typed(WRITTEN, PQR), change(backing_gas="none"), metal=metal_facts("53?"))
    assert found.trips == () and {v.because for v in found.silent} == {"verdict.unknown.when"}


def test_what_nobody_tells_is_told_and_trips_nothing():
    found = guard(CODE, typed(), change(current_A="400 A", f_number="52"), metal=metal_facts("51"))
    assert found.trips == ()
    assert {v.clause for v in found.silent} == {"qw-409-8", "qw-404-4"}


def test_a_trip_says_variable_class_clause_limit_and_what_was_got():
    (trip,) = trips(typed(WRITTEN, PQR), change(trail_flow_m3_s="16 L/min")).values()
    assert (trip.variable, trip.weight, trip.ref, trip.got) == ("trail_flow_m3_s", "essential", "QW-408.10", "16 L/min")
    assert trip.wanted.startswith("> 18") and "0.9 × 20 L/min" in trip.wanted
    assert (trip.mend, trip.test_record, trip.confirmed) == ("mend.another_test", "PQR-1", False)


def test_a_row_somebody_confirmed_is_confirmed():
    rows = {("asme-ix-procedure/2017", "qw-408-10-flow")}
    (trip,) = trips(typed(WRITTEN, PQR), change(trail_flow_m3_s="16 L/min"), confirmed=rows).values()
    assert trip.confirmed


def test_one_test_record_must_cover_all_essential_variables_together():
    """Thickness from one test and F-Number from another do not add up to a procedure."""
    thin = {**PQR, "metal_thickness_m": "3 mm", "deposit_m": "3 mm"}
    thick = {**PQR, "metal_thickness_m": "12 mm", "deposit_m": "12 mm", "f_number": "52"}
    both = typed(WRITTEN, thin, thick)
    assert not trips(both, change(metal_thickness_m="5 mm", f_number="51"))
    assert not trips(both, change(metal_thickness_m="20 mm", f_number="52"))
    assert len(trips(both, change(metal_thickness_m="20 mm", f_number="51"))) == 1


def test_one_more_test_is_welded_as_the_work_is_and_covers_it():
    made = change(metal_thickness_m="12.7 mm", deposit_m="12.7 mm", f_number="52", current_A="120 A")
    procedure, metal = typed(WRITTEN, PQR), metal_facts("51")
    found = guard(CODE, procedure, made, metal=metal)
    more = one_more_test(CODE, procedure, made, found.trips, metal=metal)
    assert set(more.covers) == {"qw-403-8", "qw-404-30", "qw-404-4"}
    assert more.leaves == ("qw-409-8",)
    assert (more.values["metal_thickness_m"], more.values["f_number"]) == ("12.7 mm", "52")
    assert dict(more.allows)["metal_thickness_m"] == "5 mm – 25.40 mm (2 × 12.7 mm)"
    assert more.confirmed  # every row behind it was read


def test_no_test_is_proposed_for_what_is_only_written():
    made = change(current_A="120 A")
    found = guard(CODE, typed(WRITTEN, PQR), made)
    assert one_more_test(CODE, typed(WRITTEN, PQR), made, found.trips) is None


def test_a_written_range_beyond_its_tests_is_told():
    wide = typed({"metal_thickness_min_m": "1.5 mm", "metal_thickness_max_m": "12 mm"}, PQR)
    (trip,) = guard_written(CODE, wide)
    assert (trip.clause, trip.got) == ("qw-403-8", "12 mm")
    assert guard_written(CODE, typed({"metal_thickness_max_m": "11 mm"}, PQR)) == ()
