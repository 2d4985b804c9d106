"""The live pages say everything in both languages, ask only what is not known, and record only what stands."""

from __future__ import annotations

import asyncio
import re
import warnings
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest

import brightroot
from brightroot.app.plan_joint import declare
from brightroot.app.ports import Place
from brightroot.app.work_live import look, record
from brightroot.library.load import load_library
from brightroot.live.phases import Phase
from brightroot.model.clause import Outcome
from brightroot.model.event import KINDS, Event
from brightroot.render.words import slots_of, words
from brightroot.rules.checks import CHECKS
from brightroot.store.logs import memory_store
from brightroot.web.pages.now.form import entry, typed
from brightroot.web.server import build
from brightroot.web.stream import grown

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the test client still speaks through the older of its two HTTP libraries
    from fastapi.testclient import TestClient

ROOT = Path(brightroot.__file__).parent
EN, ES = words("en").sentences, words("es").sentences
LANGUAGES = pytest.mark.parametrize("said", [EN, ES], ids=["en", "es"])
JOINT = "J-T1"
FACTS = {
    "id": JOINT,
    "metal": "Gr 2",
    "pipe": "88.9 x 3.05 mm",
    "position": "5G",
    "included_angle_rad": "60°",
    "land_m": "0.5 mm",
    "gap_m": "2.4 mm",
    "dam_kind": "foam",
    "dam_span_m": "400 mm",
    "vent_diameter_m": "8 mm",
}
PAGES = ("now", "purge", "evidence", "print")
NEVER = ("certified", "compliant", "safe to enter", "validated", "certificad", "validad")


def ids_in_code() -> set[str]:
    """Every message id that the code of live, planner and rules, or a clause, says by its own name."""
    found: set[str] = set()
    for folder in ("live", "planner", "rules"):
        for file in (ROOT / folder).rglob("*.py"):
            found |= set(re.findall(r'"((?:say|gate|because|stop|step|verdict|ask)\.[a-z_.]*[a-z])"', file.read_text()))
    for file in (ROOT / "library" / "codes").rglob("*.toml"):
        found |= set(re.findall(r'"(ask\.[a-z_]+)"', file.read_text()))
    return found


def ids_made() -> set[str]:
    """Those that the code puts together from parts."""
    steps = set(re.findall(r'_step\(\s*"([a-z_.]+)"', (ROOT / "planner" / "steps.py").read_text()))
    choices = {c for kind in KINDS.values() for f in kind.fields for c in f.choices} | {"yes", "no"}
    return {
        *(f"say.{s}" for s in steps),
        *(f"step.{s}" for s in steps),
        *(f"button.{s}" for s in steps | {"plan.departed_from"}),
        *(f"say.gate.{gate}" for gate in ("tack.shut", "bead.unknown", "bead.shut")),
        *(f"verdict.{check}.{o}" for check in CHECKS for o in ("pass", "fail")),
        *(f"phase.{p.value.replace(' ', '_')}" for p in Phase),
        *(f"outcome.{o.value.replace(' ', '_')}" for o in Outcome),
        *(f"oxygen_state.{s}" for s in ("never_read", "over_range", "measured", "ageing", "not_measured")),
        *(f"kind.{name}" for name in KINDS),
        *(f"event_field.{f.name}" for kind in KINDS.values() for f in kind.fields),
        *(f"choice.{c.replace(' ', '_')}" for c in choices),
    }


@LANGUAGES
def test_every_id_that_the_code_says_has_words(said: dict[str, str]) -> None:
    assert len(ids_in_code()) > 60
    assert sorted((ids_in_code() | ids_made()) - set(said)) == []


OURS = ("say", "button", "because", "gate", "stop", "step", "kind", "event_field", "choice", "verdict", "ask", "live")


@pytest.mark.parametrize("table", OURS)
def test_both_languages_have_the_same_ids_and_slots(table: str) -> None:
    mine = {i: slots_of(s) for i, s in EN.items() if i.startswith(f"{table}.")}
    assert mine
    assert mine == {i: slots_of(s) for i, s in ES.items() if i.startswith(f"{table}.")}


@LANGUAGES
def test_no_words_promise_what_a_program_cannot(said: dict[str, str]) -> None:
    ours = " ".join(s.lower() for i, s in said.items() if i.split(".")[0] in OURS)
    assert [word for word in NEVER if word in ours] == []


@pytest.mark.parametrize("name", PAGES)
def test_every_id_in_a_template_has_words(name: str) -> None:
    for file in (ROOT / "web" / "pages" / name).glob("*.html"):
        for found in re.findall(r"say\(['\"]([a-z_.0-9]+[a-z0-9])['\"][,)]", file.read_text()):
            assert found in EN and found in ES, (file.name, found)


def an_event(kind: str, data: dict[str, object]) -> Event:
    return Event(JOINT, "bench", "1", 1, "2026-03-02T10:42:00Z", "W-07", kind, data)


def test_a_known_fact_is_not_asked_and_one_tap_is_enough() -> None:
    assert entry("arc.started", {"run_count": "3"}).bare
    assert [f.name for f in entry("arc.started", {}).asked] == ["run_count"]


def test_a_reading_is_never_offered_again_but_its_circumstances_are() -> None:
    data = {"temperature_K": {"as_entered": "61 °C"}, "at_rad": 0.0, "side": "outside", "method": "contact"}
    made = entry("temperature.read", {}, events=(an_event("temperature.read", data),))
    last = {f.name: f.last for f in made.asked}
    assert last["temperature_K"] == "" and last["method"] == "contact" and made.as_last


@pytest.mark.parametrize(("system", "first"), [("metric", "L/min"), ("us", "cfh")])
def test_the_person_s_unit_stands_first(system: str, first: str) -> None:
    assert entry("purge.started", {}, system=system).asked[0].units[0] == first


def test_an_entry_is_typed_again_as_it_was_typed() -> None:
    assert typed({"gap_m": {"as_entered": "3/32 in"}, "purged": False, "at_rad": 0.0}) == {
        "gap_m": "3/32 in",
        "purged": "no",
        "at_rad": "12:00",
    }


@pytest.fixture(scope="module")
def place() -> Iterator[Place]:
    ticks = count(1_772_448_120)
    made = Place(load_library(), memory_store("bench"), lambda: float(next(ticks)))
    declare(made, FACTS, by="W-07")
    yield made
    made.store.close()


@pytest.fixture(scope="module")
def browser(place: Place) -> TestClient:
    return TestClient(build(place, by="W-07"), headers={"accept": "text/html"})


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("name", PAGES)
def test_each_page_opens_and_says_nothing_unnamed(browser: TestClient, name: str, language: str) -> None:
    answer = browser.get(f"/joints/{JOINT}/{name}", headers={"cookie": f"brightroot=language={language}"})
    assert answer.status_code == 200
    assert re.findall(r"«[a-z_]+(?:\.[a-z_.]+)?»", answer.text) == []
    assert f'<html lang="{language}"' in answer.text


def test_no_page_styles_or_scripts_in_line(browser: TestClient) -> None:
    for name in ("now", "purge", "evidence"):
        text = browser.get(f"/joints/{JOINT}/{name}").text
        assert " style=" not in text and not re.search(r"<script(?![^>]*src=)", text), name


def test_while_the_arc_burns_there_is_one_form_and_no_question(place: Place, browser: TestClient) -> None:
    declare(place, {**FACTS, "id": "J-T2"}, by="W-07")
    record(place, "J-T2", "arc.started", {"run_count": "1"}, by="W-07")
    live = browser.get("/joints/J-T2/now").text.split('id="live"')[1]
    assert live.count("<form") == 1 and 'value="arc.stopped"' in live
    assert re.findall(r'<input(?! type="hidden")', live) == []


def test_a_dip_stops_the_joint_until_somebody_says_what_was_done(place: Place, browser: TestClient) -> None:
    declare(place, {**FACTS, "id": "J-T3"}, by="W-07")
    for kind in ("arc.started", "tungsten.dipped", "arc.stopped", "shield.lifted"):
        record(place, "J-T3", kind, {"run_count": "1"}, by="W-07")
    stopped = browser.get("/joints/J-T3/now").text
    assert EN["stop.dipped"] in stopped and EN["stop.safe_way_out"] in stopped
    assert 'value="plan.departed_from"' in stopped
    record(place, "J-T3", "plan.departed_from", {"what": "ground and cut out", "why": "dip"}, by="W-07")
    assert EN["stop.dipped"] not in browser.get("/joints/J-T3/now").text


def test_a_mended_entry_stays_to_be_read(place: Place, browser: TestClient) -> None:
    event = record(place, JOINT, "heat_lot.recorded", {"end": "a", "heat": "H-WRONG"}, by="W-07")
    assert 'name="corrects"' in browser.get(f"/joints/{JOINT}/now?correct={event.id}").text
    right = record(place, JOINT, "heat_lot.recorded", {"end": "a", "heat": "H-RIGHT"}, by="W-07", corrects=event.id)
    log = browser.get(f"/joints/{JOINT}/evidence").text
    assert "<s>" in log and "H-WRONG" in log and "H-RIGHT" in log
    assert words("en").say("live.evidence.corrected", event=right.id) in log


def test_unread_oxygen_is_said_to_be_unread(browser: TestClient) -> None:
    assert EN["live.purge.never_read"] in browser.get(f"/joints/{JOINT}/purge").text


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("what", ["dossier", "traveller"])
def test_paper_comes_as_pdf(browser: TestClient, what: str, paper: str) -> None:
    answer = browser.get(f"/joints/{JOINT}/{what}.pdf?paper={paper}&language=es")
    assert answer.content[:5] == b"%PDF-" and answer.headers["content-type"] == "application/pdf"


def test_the_bundle_is_issued_under_a_stamp_and_on_the_log(place: Place) -> None:
    nobody = TestClient(build(place), headers={"accept": "application/json"})
    assert nobody.post(f"/joints/{JOINT}/dossier", json={}).json()["field"] == "by"
    before = len(place.store.events(JOINT))
    answer = nobody.post(f"/joints/{JOINT}/dossier", json={"by": "I-02"})
    assert answer.content[:2] == b"PK"
    assert [e.kind for e in place.store.events(JOINT)[before:]] == ["dossier.issued"]


def test_a_photo_is_kept_by_its_hash_and_only_a_photo(place: Place, browser: TestClient) -> None:
    made = browser.post(f"/joints/{JOINT}/photos", content=b"abc", headers={"content-type": "image/png"})
    assert place.store.attachment(made.json()["photo_sha256"]) == (b"abc", "image/png")
    other = {"content-type": "text/plain", "accept": "application/json"}
    assert browser.post(f"/joints/{JOINT}/photos", content=b"abc", headers=other).status_code == 422


def test_the_stream_tells_once_and_again_when_the_log_has_grown(place: Place) -> None:
    async def listen() -> list[str]:
        told = []
        async for word in grown(place, JOINT, look_s=0.01, longest_s=0.2):
            told += [word] if word.startswith("event: state") else []
            if len(told) == 1:
                record(place, JOINT, "purge.ended", {}, by="W-07")
        return told

    told = asyncio.run(listen())
    counts = [int(re.findall(r'events_count": (\d+)', word)[0]) for word in told]
    assert counts[-1] == len(place.store.stored(JOINT)) and counts == sorted(set(counts)) and len(counts) >= 2


def test_the_first_advice_of_a_fresh_joint_is_a_button(place: Place) -> None:
    assert look(place, JOINT).advice[0].event in KINDS
