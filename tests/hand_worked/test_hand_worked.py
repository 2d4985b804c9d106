"""Twelve joints whose arithmetic stands, line by line, in the comments of its file. The plan must agree within 5 %."""

import tomllib
from pathlib import Path

import pytest

from brightroot.app.plan_joint import plan_facts
from brightroot.app.ports import Place
from brightroot.store.logs import memory_store

FILES = sorted(Path(__file__).parent.glob("*.toml"))
# hand number -> the plan's figure, factor from SI to the hand's unit
FIGURES = {
    "groove_mm2": ("groove.area_m2", 1e6),
    "swept_mm3": ("groove.metal_m3", 1e9),
    "bare_g": ("groove.bare_deposit_kg", 1e3),
    "deposit_g": ("groove.deposit_kg", 1e3),
    "root_rod_length_mm": ("passes.1.rod_length_m", 1e3),
    "purge_L": ("purge.volume_m3", 1e3),
    "mixed_volumes": ("purge.mixed_volumes_1", 1.0),
    "mixed_s": ("purge.mixed_time_s", 1.0),
}


def test_there_are_twelve_of_them():
    assert len(FILES) == 12


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_plan_agrees_with_the_hand(library, file):
    worked = tomllib.loads(file.read_text(encoding="utf-8"))
    plan = plan_facts(Place(library, memory_store(), lambda: 0.0), worked["facts"])
    assert plan.passes[0].rod_diameter_m * 1e3 == pytest.approx(worked["hand"].pop("root_rod_mm"))
    found = {name: plan.figures[key].value * factor for name, (key, factor) in FIGURES.items()}
    assert set(worked["hand"]) == set(found), "every hand number is held against a figure"
    for name, by_hand in worked["hand"].items():
        assert found[name] == pytest.approx(by_hand, rel=0.05), name
