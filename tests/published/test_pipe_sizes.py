"""Every row of our pipe tables beside another transcription of the same standards; the differences are listed."""

import tomllib
from fractions import Fraction
from pathlib import Path

import pytest

from brightroot.library.load import load_library
from brightroot.model.find import DN, find_pipe

fluids = pytest.importorskip("fluids.piping")

FACTS = tomllib.loads((Path(__file__).parent / "pipe_sizes.toml").read_text(encoding="utf-8"))
LIBRARY = load_library()


def inches(nps):
    return float(sum(Fraction(piece) for piece in nps.split("-")))


def metric(pipe):
    nominal, _, outer_mm, wall_mm = fluids.schedule_lookup[pipe.schedule][:4]
    place = list(nominal).index(inches(pipe.nps))
    return outer_mm[place] / 1000, wall_mm[place] / 1000


@pytest.mark.parametrize("pipe", LIBRARY.pipes, ids=lambda p: f"{p.nps}-{p.schedule}")
def test_each_row_agrees_with_the_metric_tables(pipe):
    outer_m, wall_m = metric(pipe)
    assert pipe.wall_m == pytest.approx(wall_m, abs=FACTS["wall_within_m"])
    if pipe.nps not in {row["nps"] for row in FACTS["differs"]}:
        assert pipe.outer_diameter_m == pytest.approx(outer_m, abs=FACTS["outer_within_m"])


@pytest.mark.parametrize("row", FACTS["differs"], ids=lambda r: f"NPS {r['nps']}")
def test_the_listed_differences_are_still_there(row):
    """A listed difference that is none any more must leave the list."""
    ours = [p for p in LIBRARY.pipes if p.nps == row["nps"]]
    assert ours
    for pipe in ours:
        assert pipe.outer_diameter_m == pytest.approx(row["outer_diameter_in"] * 0.0254)
        assert metric(pipe)[0] * 1000 == row["printed_mm"]
        assert abs(metric(pipe)[0] - pipe.outer_diameter_m) > FACTS["outer_within_m"]


@pytest.mark.parametrize("row", FACTS["printed"], ids=lambda r: r["text"])
def test_rows_a_welder_knows(row):
    found = find_pipe(LIBRARY, row["text"], field="pipe")
    for value, printed in ((found.outer_diameter_m.value, row["outer_mm"]), (found.wall_m.value, row["wall_mm"])):
        digits = len(printed.partition(".")[2])
        assert value * 1000 == pytest.approx(float(printed), abs=0.5 * 10**-digits + 1e-9)


def test_every_dn_names_a_size_of_the_tables():
    sizes = {p.nps for p in LIBRARY.pipes}
    assert {dn for dn, nps in DN.items() if nps not in sizes} == set()
