"""The whole API against its own description: whatever is sent, no fault of the server and no answer it does not name."""

import warnings
from dataclasses import replace

import pytest

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import schemathesis
    from fastapi.testclient import TestClient

from hypothesis import HealthCheck, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from brightroot.app.plan_joint import declare
from brightroot.app.ports import Place
from brightroot.cli.demo import SMALL, facts
from brightroot.library.load import load_library
from brightroot.store.logs import memory_store
from brightroot.web.server import build

CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]
PLACE = Place(load_library(), memory_store(), lambda: 1_772_448_120.0)
declare(PLACE, facts("J-05", position="5G", pipe=SMALL), by="W-07")
APP = build(PLACE)
schema = schemathesis.openapi.from_asgi("/api/openapi.json", APP)


@schema.parametrize()
@settings(max_examples=12, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
def test_whatever_is_sent_the_answer_is_one_that_is_named(case):
    if "id" in case.path_parameters and len(str(case.path_parameters["id"])) % 2:
        case.path_parameters["id"] = "J-05"  # half of the time at a joint that is there
    case.call_and_validate(checks=CHECKS)


def test_every_operation_is_described():
    described = {(method, path) for path, of in APP.openapi()["paths"].items() for method in of}
    assert len(described) >= 9
    with TestClient(APP) as client:
        for method, path in sorted(described):
            if method == "get":
                answer = client.get(path.replace("{id}", "nowhere").replace("{name}", "nothing"))
                assert answer.status_code in (200, 404, 422)


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "TRACE"])
def test_a_method_that_is_not_there_is_said_so(method):
    with TestClient(APP, raise_server_exceptions=False) as client:
        answer = client.request(method, "/api/joints")
        assert (answer.status_code, answer.json()["error"]) == (405, "web.error.address")
        assert "GET" in answer.headers["allow"]


def test_the_place_is_left_as_it_was():
    assert replace(PLACE).store.joints()[0] == "J-05"
