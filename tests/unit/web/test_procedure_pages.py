"""Pages of procedures: typed from a form, nothing lost, both units; and an answer that changes once rows are confirmed."""

import re
import warnings

import pytest

from brightroot.app.judge_joint import verdicts
from brightroot.app.may import may_weld
from brightroot.app.people import record_qualification
from brightroot.app.plan_joint import declare
from brightroot.app.procedures import procedure_of
from brightroot.app.rules_read import confirmed_rows
from brightroot.base.source import Standing
from brightroot.cli.demo import LARGE, facts
from brightroot.model.clause import Outcome
from brightroot.model.procedure_facts import TESTED_FACTS, WRITTEN_FACTS
from brightroot.web.server import build
from brightroot.web.settings import COOKIE

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the test client still speaks through the older of its two HTTP libraries
    from fastapi.testclient import TestClient

PAGE = {"accept": "text/html"}
HOME = "/procedures/WPS-T14"
WRITTEN = {"revision": "3", "current_min_A": "65 A", "heat_input_max_J_m": "0.8 kJ/mm", "position": "5G, 2G",
           "metal_thickness_max_m": "1/2 in", "by": "E-01"}  # fmt: skip
TESTED = {"test_record": "PQR-31", "p_number": "P-51", "f_number": "52", "metal_thickness_m": "5.54 mm",
          "deposit_m": "5.54 mm", "by": "E-01"}  # fmt: skip
CODE = "asme-ix/2023"
COUPON = {
    "code": CODE, "welded_on": "2026-01-12", "position": "6G", "pipe": "60.3 x 3.91 mm", "deposit_m": "3.91 mm",
    "layers_count": "3", "metal": "Gr 2", "filler": "ERTi-2", "filler_form": "solid", "backing": "no",
    "gas_backing": "yes", "insert": "no", "current": "DCEN", "progression": "up", "visual_test": "passed",
    "bend_test": "passed",
}  # fmt: skip


@pytest.fixture
def client(place):
    return TestClient(build(place, by="W-07"))


def sent(client, act, data):
    return client.post(f"{HOME}/{act}", data=data, headers=PAGE, follow_redirects=False)


def test_the_forms_ask_for_every_fact_of_the_model(client):
    html = client.get(HOME, headers=PAGE).text
    for act, asked in (("written", WRITTEN_FACTS), ("tested", TESTED_FACTS)):
        form = html.split(f'action="{HOME}/{act}"')[1].split("</form>")[0]
        for fact in asked:
            assert f'id="{act}-{fact.name}"' in form and f'for="{act}-{fact.name}"' in form
    ids = re.findall(r' id="([^"]+)"', html)
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_label_is_said(client, language):
    client.cookies.set(COOKIE, f"language={language}&stamp=W-07")
    assert "«" not in client.get(HOME, headers=PAGE).text and "«" not in client.get("/procedures", headers=PAGE).text


def test_a_procedure_is_typed_and_shown_in_both_units(client, place):
    declare(place, facts("J-05", position="5G", pipe=LARGE), by="W-07")
    assert sent(client, "written", WRITTEN).status_code == 303
    assert sent(client, "tested", TESTED).status_code == 303
    found = procedure_of(place, "WPS-T14")
    assert found.revision == "3" and found.tested[0].values["p_number"] == "51"
    html = client.get(HOME, headers=PAGE).text
    assert "0.8 kJ/mm (20.3 kJ/in)" in html and "1/2 in (12.7 mm)" in html
    assert "Base metal 1.5 mm – 11.08 mm" in html and "QW-403.8" in html  # 12.7 mm is beyond it
    assert "1 test records, 1 joints" in client.get("/procedures", headers=PAGE).text
    assert "20.3" in html and ">J-05<" in html


def test_nothing_typed_is_lost_and_every_wrong_field_is_told(client, place):
    got = sent(client, "written", {**WRITTEN, "current_min_A": "65 volts", "current_max_A": "110 A", "revision": ""})
    assert got.status_code == 422
    for kept in ("65 volts", "110 A", "0.8 kJ/mm", "5G, 2G", "1/2 in"):
        assert f'value="{kept}"' in got.text
    assert 'href="#written-current_min_A"' in got.text and 'href="#written-revision"' in got.text
    assert procedure_of(place, "WPS-T14").event == ""
    got = sent(client, "tested", {**TESTED, "deposit_m": "thick"})
    assert got.status_code == 422 and 'value="thick"' in got.text and 'href="#tested-deposit_m"' in got.text


def test_json_and_wrong_names(client):
    got = client.post(f"{HOME}/written", json=WRITTEN)
    assert got.status_code == 200 and got.json()["ok"]
    assert client.get("/api/procedures/WPS-T14").json()["procedure"]["revision"] == "3"
    assert client.get("/api/procedures").json()["procedures"][0]["name"] == "WPS-T14"
    assert client.post("/procedures", data={"name": "a/b"}, headers=PAGE).status_code == 422
    assert client.post(f"{HOME}/written", json={"revision": "4", "filer": "x"}).json()["near"]
    assert client.get("/procedures/a%20%C3%A9", headers=PAGE).status_code == 422


def test_a_test_record_is_taken_back_with_a_reason(client, place):
    sent(client, "tested", TESTED)
    event = procedure_of(place, "WPS-T14").tested[0].event
    assert sent(client, "withdrawn", {"event": event, "why": "", "by": "E-01"}).status_code == 422
    assert sent(client, "withdrawn", {"event": event, "why": "wrong piece", "by": "E-01"}).status_code == 303
    assert procedure_of(place, "WPS-T14").tested == ()


def test_the_answer_changes_once_its_rows_are_confirmed_on_the_page(client, place):
    """As a person does it: read what the answer waits for, confirm those rows with edition and place, ask again."""
    declare(place, facts("J-05", position="5G", pipe=LARGE), by="W-07")
    record_qualification(place, "W-07", COUPON, by="E-01")
    ask = "/may?stamp=W-07&joint=J-05"
    assert 'class="answer not-known"' in client.get(ask, headers=PAGE).text
    waits = may_weld(place, "W-07", "J-05").mend.rows
    assert waits
    for n, row in enumerate(waits):
        assert 'class="answer yes"' not in client.get(ask, headers=PAGE).text, n
        page = client.get(f"/rules?code={CODE}&rows={row}", headers=PAGE).text
        assert 'action="/rules/confirm"' in page
        told = {"code": CODE, "row": row, "edition": "2023", "ref": f"own copy, {row}", "by": "E-01"}
        assert client.post("/rules/confirm", data=told, headers=PAGE, follow_redirects=False).status_code == 303
    assert {row for _, row in confirmed_rows(place)} == set(waits)
    assert 'class="answer yes"' in client.get(ask, headers=PAGE).text


def test_no_clause_of_any_code_passes_a_joint_from_memory(gallery):
    """Over every code that judges joints, tint and visual ones too: a finished joint, nobody having confirmed a row."""
    judged = verdicts(gallery, "J-10")
    confirmed = confirmed_rows(gallery)
    memory = [v for v in judged if v.standing is Standing.MEMORY and (v.code, v.clause) not in confirmed]
    assert memory and all(v.outcome not in (Outcome.PASS, Outcome.FAIL) for v in memory)
    assert any(v.outcome is Outcome.UNKNOWN for v in memory)
    assert any(v.outcome is Outcome.PASS for v in judged)
