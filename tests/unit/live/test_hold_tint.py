"""The colour while the shield is held, and the forecast of each run against what was seen of it."""

from dataclasses import replace

import pytest

from brightroot.app.plan_joint import iron_of
from brightroot.app.tint import joint_tint
from brightroot.app.work_live import look, record
from brightroot.library.load import load_library
from brightroot.live.estimators.tint import hold_tint, root_gas
from brightroot.model.record import OxygenRead


@pytest.fixture
def holding(upto):
    """J-10 just after its first arc went out, the shield still on."""
    place, at_s = upto(lambda e: e.kind == "shield.lifted")
    return place, at_s


def reasons(place, at_s):
    return {b.says: dict(b.params) for b in look(place, "J-10", at_s=at_s).advice[0].because}


def test_the_hold_says_what_it_is_held_for(holding):
    place, at_s = holding
    stopped = next(r.stopped_s for r in look(place, "J-10", at_s=at_s).state.record.runs)
    at_once, later = reasons(place, stopped + 1), reasons(place, stopped + 3)
    assert at_once["because.tint_kept"]["tint"] == "silver"
    assert float(at_once["because.tint_lifted"]["film_m"]) > 20e-9
    # the dose grows while the metal is hot, the colour of lifting now gets milder, what the whole hold gives stays
    dose = [float(r["because.tint_kept"]["so_far_dose_frac_s"]) for r in (at_once, later)]
    assert 0 < dose[0] < dose[1] <= float(later["because.tint_kept"]["dose_frac_s"])
    films = [float(r["because.tint_lifted"]["film_m"]) for r in (at_once, later)]
    assert films[1] < films[0]


def test_once_cool_nothing_is_said_of_lifting(holding):
    place, at_s = holding
    stopped = look(place, "J-10", at_s=at_s).state.record.runs[0].stopped_s
    assert "because.tint_lifted" not in reasons(place, stopped + 600)


def test_ten_times_the_oxygen_is_ten_times_the_dose(holding):
    place, at_s = holding
    now = look(place, "J-10", at_s=at_s)
    iron, record_ = iron_of(place, now.plan), now.state.record
    trail = now.cells["trail_oxygen_frac"]
    bad = {**now.cells, "trail_oxygen_frac": replace(trail, value=trail.value * 10, high=trail.high * 10)}
    plain, ten = (hold_tint(iron, now.plan, record_, cells=c, now_s=at_s) for c in (now.cells, bad))
    assert ten.dose.value == pytest.approx(10 * plain.dose.value)
    assert ten.kept.value > plain.kept.value


def row_of(place, run=1, side="face"):
    return next(row for row in joint_tint(place, "J-10").rows if (row.run, row.side) == (run, side))


def told(place, at_s, tint):
    """Run 1 lifted and looked at."""
    later = replace(place, now_s=lambda: at_s + 100)
    record(later, "J-10", "shield.lifted", {"run_count": 1}, by="W-07")
    record(later, "J-10", "bead.looked_at", {"run_count": 1, "tint": tint, "arrangement": "uniform"}, by="W-07")
    return later


def test_silver_after_a_small_dose_agrees(holding):
    row = row_of(told(*holding, "silver"))
    assert (row.agreement, row.because) == ("agrees", ())
    assert row.names.value == "silver" and row.dose.value * 1e6 < 700


def test_blue_after_a_small_dose_is_a_leak(holding):
    row = row_of(told(*holding, "dark blue"))
    assert row.agreement == "darker"
    assert [b.says for b in row.because] == ["tint.darker", "tint.look_for_a_leak"]


def test_a_shield_lifted_early_explains_blue(holding):
    place, _ = holding
    stopped = look(place, "J-10").state.record.runs[0].stopped_s
    row = row_of(told(place, stopped + 1 - 100, "dark blue"))
    assert [b.says for b in row.because] == ["tint.darker", "tint.lifted_early"]


def test_a_run_not_made_is_as_planned_and_not_judged(holding):
    row = row_of(holding[0], run=2)
    assert (row.made, row.seen, row.agreement) == (False, "", "not judged")
    assert row.film is not None


def test_own_rows_tighten_what_a_colour_says(holding, tmp_path):
    folder = tmp_path / "codes" / "our-colours" / "1"
    (folder / "rows").mkdir(parents=True)
    (folder / "about.toml").write_text('title = "Ours"\nedition = "1"\ncovers = "colour"\nleft_out = "the rest"\n')
    (folder / "clauses.toml").write_text("clauses = []\n")
    (folder / "rows" / "colour.toml").write_text(
        '[[row]]\nid = "ours.silver-only"\nref = "sheet 3"\nsays = "Silver only."\ncolours = ["light straw"]\n'
        'zone = "anywhere"\nverdict = "refused"\nsource = "practice/common"\nstanding = "practice"\n'
    )
    place, at_s = holding
    ours = replace(place, library=load_library(tmp_path))
    assert row_of(told(ours, at_s, "light straw")).said.verdict == "refused"


def test_without_a_criterion_a_colour_says_nothing(holding):
    row = row_of(told(*holding, "silver"))
    assert (row.said is None) == (joint_tint(holding[0], "J-10").criterion == "")


@pytest.mark.parametrize(
    ("state", "oxygen_frac"),
    [("over range", None), ("no digits", None), ("reading", 0.0)],
    ids=["over", "none", "zero"],
)
def test_a_display_without_a_number_leaves_no_older_one_standing(holding, state, oxygen_frac):
    place, at_s = holding
    record_ = look(place, "J-10", at_s=at_s).state.record
    run = record_.runs[0]
    assert root_gas(record_, run).value > 0
    last = OxygenRead("x.1.1", run.started_s - 1, state, oxygen_frac, "vent", None)
    assert root_gas(replace(record_, oxygen=(*record_.oxygen, last)), run) is None
