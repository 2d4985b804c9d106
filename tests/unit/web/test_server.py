"""The web server over a store in memory: pages, actions, the one envelope and what a form keeps."""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterator
from html import unescape

import pytest

from brightroot.app.plan_joint import declare
from brightroot.app.ports import Place
from brightroot.library.load import load_library
from brightroot.store.logs import memory_store
from brightroot.web.server import build

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the test client still speaks through the older of its two HTTP libraries
    from fastapi.testclient import TestClient

FACTS = {
    "id": "J-05", "metal": "Gr 7", "pipe": "NPS 6 Sch 10S", "position": "5G", "included_angle_rad": "60°",
    "land_m": "0.5 mm", "gap_m": "2.4 mm", "dam_kind": "foam", "dam_span_m": "600 mm", "vent_diameter_m": "8 mm",
}  # fmt: skip
PAGE = {"accept": "text/html"}


@pytest.fixture(scope="module")
def place() -> Iterator[Place]:
    store = memory_store()
    here = Place(load_library(), store, lambda: 1_772_448_120.0)
    declare(here, FACTS, by="W-07")
    yield here
    store.close()


@pytest.fixture
def client(place: Place) -> Iterator[TestClient]:
    with TestClient(build(place), headers=PAGE, follow_redirects=False) as client:
        yield client


def text_of(html: str) -> str:
    """The words of a page as they are read."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("path", ["/", "/joints/new", "/joints/J-05", "/joints/J-05/clock"])
def test_every_page_stands_in_both_languages_and_lacks_no_word(client: TestClient, path: str, language: str) -> None:
    client.cookies.set("brightroot", f"language={language}&units=us")
    answer = client.get(path)
    assert answer.status_code == 200
    assert f'<html lang="{language}"' in answer.text
    assert "«" not in answer.text.replace("«new»", "")


def test_the_joint_says_its_plan_in_the_first_line(client: TestClient) -> None:
    first = text_of(re.search(r"<h1.*?</h1>", client.get("/joints/J-05").text, re.S)[0])
    assert re.fullmatch(r"Two passes, \d+ runs, about \d+ min ?, [\d.]+ m³ argon", first)


def test_nothing_inline_that_the_policy_would_stop(client: TestClient) -> None:
    for path in ("/", "/joints/new", "/joints/J-05", "/joints/J-05/clock", "/joints/J-05/why?key=time.total_s"):
        answer = client.get(path)
        assert "default-src 'self'" in answer.headers["content-security-policy"]
        assert not re.search(r"<[^>]+\s(style|on\w+)=", answer.text)
        assert not re.search(r"<script(?![^>]*\ssrc=)", answer.text)


def test_every_figure_of_the_plan_opens_to_its_why(client: TestClient) -> None:
    keys = set(re.findall(r"/why\?key=([\w.%]+)", client.get("/joints/J-05").text))
    assert len(keys) > 200
    for key in sorted(keys)[::17]:
        answer = client.get(f"/joints/J-05/why?key={key}", headers={"x-fragment": "1"})
        assert answer.status_code == 200
        assert "<html" not in answer.text


def test_why_names_the_input_that_spreads_most_and_the_hand_check(client: TestClient) -> None:
    told = text_of(client.get("/joints/J-05/why?key=passes.1.heat_input_J_m").text)
    assert "Most of the spread comes from Travel" in told
    assert "Check it by hand" in told


def test_a_form_keeps_what_was_typed_and_says_what_is_wrong_beside_it(client: TestClient) -> None:
    typed = {**FACTS, "id": "J-09", "metal": "titanium", "gap_m": "3", "by": ""}
    answer = client.post("/joints", data=typed)
    assert answer.status_code == 422
    for name in ("metal", "gap_m", "by"):
        assert f'id="e-{name}"' in answer.text
    assert 'name="gap_m" value="3"' in answer.text
    assert 'name="pipe" value="NPS 6 Sch 10S"' in answer.text
    assert 'id="e-pipe"' not in answer.text
    assert "3 in = 76.2 mm" in text_of(answer.text)  # a bare number is told both ways


def test_a_joint_is_declared_and_the_stamp_remembered(client: TestClient) -> None:
    answer = client.post("/joints", data={**FACTS, "id": "J 07", "by": "W-11"})
    assert answer.status_code == 303
    assert answer.headers["location"] == "/joints/J%2007"
    assert "stamp=W-11" in answer.headers["set-cookie"]
    assert client.get(answer.headers["location"]).status_code == 200


def test_a_name_with_a_slash_is_refused_since_it_would_have_no_address(client: TestClient) -> None:
    answer = client.post("/joints", data={**FACTS, "id": "12/A", "by": "W-07"})
    assert answer.status_code == 422
    assert 'id="e-id"' in answer.text


def test_more_like_one_in_one_action(client: TestClient) -> None:
    answer = client.post("/joints/J-05/like", data={"names": "L-1, L-2\nL-3", "by": "W-07"})
    assert answer.status_code == 303
    listed = client.get(answer.headers["location"]).text
    assert all(f">{name}</a>" in listed for name in ("L-1", "L-2", "L-3"))


def test_a_taken_name_stays_in_the_box_with_its_fault(client: TestClient) -> None:
    answer = client.post("/joints/J-05/like", data={"names": "J-05, L-9", "by": "W-07"})
    assert answer.status_code == 422
    assert "J-05, L-9</textarea>" in answer.text
    assert 'role="alert"' in answer.text
    assert "L-9" not in client.get("/").text


def test_a_tap_is_recorded_once_however_often_it_is_sent(client: TestClient, place: Place) -> None:
    before = len(place.store.events("J-05"))
    tap = {"kind": "surface.touched", "facts": {"by_what": "hand"}, "by": "W-07", "client_id": "c1",
           "at_utc": "2026-03-02T10:43:00Z"}  # fmt: skip
    answers = [client.post("/joints/J-05/events", json=tap, headers={"accept": "application/json"}) for _ in range(2)]
    assert [a.status_code for a in answers] == [200, 200]
    assert answers[0].json() == answers[1].json()
    assert answers[0].json()["at_utc"].startswith("2026-03-02T10:43:00")
    assert len(place.store.events("J-05")) == before + 1


def test_what_is_refused_comes_in_the_one_envelope(client: TestClient) -> None:
    tap = {"kind": "arc.started", "facts": {"run_count": "999"}, "by": "W-07"}
    answer = client.post("/joints/J-05/events", json=tap, headers={"accept": "application/json"})
    assert answer.status_code == 422
    told = answer.json()
    assert told["ok"] is False
    assert told["field"] == "run_count"
    assert {"error", "wanted", "got", "near", "see", "say"} <= set(told)


def test_nobody_writes_without_a_stamp(client: TestClient) -> None:
    answer = client.post("/joints/J-05/events", json={"kind": "purge.started"}, headers={"accept": "application/json"})
    assert (answer.status_code, answer.json()["field"]) == (422, "by")


def test_unknown_joint_and_unknown_address_are_told_as_a_page_and_as_data(client: TestClient) -> None:
    for path in ("/joints/J-99", "/joints/J-99/clock", "/nowhere"):
        assert client.get(path).status_code == 404
        answer = client.get(path, headers={"accept": "application/json"})
        assert answer.status_code == 404
        assert answer.json()["ok"] is False


def test_another_site_may_not_write_here(client: TestClient) -> None:
    for origin in ("http://elsewhere.example", "null"):
        answer = client.post("/settings", data={"theme": "hood"}, headers={"origin": origin})
        assert answer.status_code == 403
    assert client.post("/settings", data={"theme": "hood"}, headers={"origin": "http://testserver"}).status_code == 303


@pytest.mark.parametrize("back", ["//elsewhere.example", "https://elsewhere.example", "/\\elsewhere.example", "x"])
def test_settings_lead_back_only_to_a_page_of_our_own(client: TestClient, back: str) -> None:
    assert client.post("/settings", data={"back": back}).headers["location"] == "/"


def test_a_typed_name_is_never_read_as_markup(client: TestClient) -> None:
    client.cookies.set("brightroot", "stamp=%22%3E%3Cscript%3E")
    assert "><script>" not in client.get("/joints/new").text.replace("\n", "").replace(" ", "")


def test_the_api_says_the_same_as_the_page(client: TestClient) -> None:
    plan = client.post("/api/plan", json=FACTS).json()["plan"]
    kept = client.get("/api/joints/J-05").json()["plan"]
    assert plan["figures"]["time.total_s"] == kept["figures"]["time.total_s"]
    assert client.get("/api/joints/J-05/verdicts").json()["ok"] is True
    assert any(row["id"] == "J-05" for row in client.get("/api/joints").json()["joints"])
    assert client.get("/joints/J-05/state").json()["joint"] == "J-05"
    assert client.get("/api/openapi.json").status_code == 200
    assert client.get("/docs").status_code == 404
