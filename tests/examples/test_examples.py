"""The examples run, and say what they are for."""

import importlib.util
from pathlib import Path

import pytest

from brightroot.app.judge_joint import verdicts
from brightroot.app.plan_joint import declare
from brightroot.app.ports import Place
from brightroot.library.load import load_library
from brightroot.model.codec import canonical, to_data
from brightroot.store.bundle import write_bundle
from brightroot.store.logs import memory_store

FOLDER = Path(__file__).parents[2] / "examples"


def example(name):
    spec = importlib.util.spec_from_file_location(f"example_{name}", FOLDER / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_every_example_is_run_here():
    assert {p.stem for p in FOLDER.glob("*.py")} == {"plan_from_facts", "walk_in_memory", "read_a_bundle"}


def test_plan_from_facts(capsys):
    example("plan_from_facts").main()
    said = capsys.readouterr().out
    assert "3 passes, 24 runs" in said and "by hand: 10.3" in said


def test_walk_in_memory(capsys):
    example("walk_in_memory").main()
    said = capsys.readouterr().out
    assert said.count("recorded surface.prepared") == 3 and "phase: preparing" in said and "«" not in said


@pytest.fixture
def bundle(tmp_path):
    place = Place(load_library(), memory_store(), lambda: 1_800_000_000.0)
    declare(place, example("plan_from_facts").FACTS, by="W-07")
    path = tmp_path / "t-01.zip"
    block = place.store.attachment(place.store.events("T-01")[-1].data["plan_sha256"])
    write_bundle(
        path,
        stored=place.store.stored("T-01"),
        attachments={},
        files={
            "plan.json": block[0],
            "verdicts.json": canonical([to_data(v) for v in verdicts(place, "T-01")]),
        },
        about={"joint": "T-01"},
    )
    return path


def test_read_a_bundle(bundle, capsys):
    example("read_a_bundle").main(bundle)
    said = capsys.readouterr().out
    assert said.startswith("holds") and "clauses unknown" in said and "2 events, the last plan.made" in said


def test_a_changed_bundle_does_not_hold(bundle, capsys):
    bundle.write_bytes(bundle.read_bytes().replace(b"NPS 2 Sch 80", b"NPS 2 Sch 40", 1))
    example("read_a_bundle").main(bundle)
    assert capsys.readouterr().out.startswith("does not hold")
