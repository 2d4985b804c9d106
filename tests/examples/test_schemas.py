"""The published schemas fit the cases that stand in the tests, and what the engines answer."""

import copy
import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from brightroot.physics.heat.case import answer_case

ROOT = Path(__file__).parents[2]
SCHEMAS = ROOT / "docs/reference/schemas"
CASES = sorted((ROOT / "tests/cases/heat").glob("[VF]*.json"))


def schema(name):
    found = json.loads((SCHEMAS / f"{name}.json").read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(found)
    return Draft202012Validator(found)


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_heat_cases(path):
    schema("heat-case").validate(json.loads(path.read_text(encoding="utf-8")))


def test_heat_answer():
    case = json.loads(CASES[0].read_text(encoding="utf-8"))
    schema("heat-answer").validate(answer_case(case) | {"elapsed_s": 0.1})


@pytest.mark.parametrize(("path", "value"), [
    (("geometry", "wall_m"), 0), (("schedule",), []), (("points", "x"), {"side": "q", "theta_deg": 0, "z_m": 0}),
    (("schedule", 0, "Q_net_W"), 6000), (("material", "rho"), "4510"),
])  # fmt: skip
def test_what_the_engine_refuses_the_schema_does_too(path, value):
    case = copy.deepcopy(json.loads(CASES[0].read_text(encoding="utf-8")))
    *outer, last = path
    place = case
    for key in outer:
        place = place[key]
    place[last] = value
    assert not schema("heat-case").is_valid(case)
