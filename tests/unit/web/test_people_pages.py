"""The page that says who may weld, and the page of rules: one answer in words, standing on every row, nothing looser."""

import re
import warnings
from dataclasses import replace

import pytest

from brightroot.app.may import may_weld
from brightroot.app.people import qualifications_of, record_qualification, uses_of
from brightroot.app.plan_joint import declare
from brightroot.app.rules_read import confirm_row, confirmed_rows, own_codes, rule_rows
from brightroot.base.instant import seconds_of
from brightroot.base.source import Standing
from brightroot.cli.demo import LARGE, facts
from brightroot.model.clause import Outcome
from brightroot.render.words import words
from brightroot.web.server import build
from brightroot.web.settings import COOKIE

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the test client still speaks through the older of its two HTTP libraries
    from fastapi.testclient import TestClient

CODE = "asme-ix/2023"
B31 = "asme-b31.3/2018"
COUPON = {
    "code": CODE, "welded_on": "2026-01-12", "position": "6G", "pipe": "60.3 x 3.91 mm", "deposit_m": "3.91 mm",
    "layers_count": "3", "metal": "Gr 2", "filler": "ERTi-2", "filler_form": "solid", "backing": "no",
    "gas_backing": "yes", "insert": "no", "current": "DCEN", "progression": "up", "visual_test": "passed",
    "bend_test": "passed",
}  # fmt: skip
ASK = "/may?stamp=W-07&joint=J-05"
PAGE = {"accept": "text/html"}


@pytest.fixture
def shop(place):
    declare(place, facts("J-05", position="5G", pipe=LARGE), by="W-07")
    record_qualification(place, "W-07", COUPON, by="E-01")
    return place


@pytest.fixture
def client(shop):
    return TestClient(build(shop, by="W-07"))


def rows_of(html):
    """Each row of a page, from its mark to the next."""
    return re.split(r"<li [^>]*data-row", html)[1:]


def confirm_all(place):
    for name in may_weld(place, "W-07", "J-05").mend.rows:
        confirm_row(place, CODE, name, edition="2023", ref="own copy", by="E-01")


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("address", [ASK, "/rules?show=every", f"/rules?code={CODE}", "/rules"])
def test_every_row_shows_its_standing(client, language, address):
    client.cookies.set(COOKIE, f"language={language}&stamp=W-07")
    html = client.get(address, headers=PAGE).text
    rows = rows_of(html)
    said = {words(language).say(f"standing.{standing}") for standing in Standing}
    assert len(rows) >= 14
    for row in rows:
        found = re.search(r'class="standing">([^<]+)<', row)
        assert found and found[1].replace("&#39;", "'") in said, row[:200]
    assert "«" not in re.sub(r"<[^>]+>", "", html) or language == "es"


def test_every_rule_is_on_the_page(client, shop):
    assert len(rows_of(client.get("/rules?show=every").text)) == len(rule_rows(shop))


def test_no_yes_on_the_screen_rests_on_memory(client, shop):
    """Whatever a row shows as a pass is known from more than memory, or somebody confirmed it."""
    html = client.get(ASK).text
    assert 'class="answer not-known"' in html and 'class="answer yes"' not in html
    memory = words("en").say("standing.memory")
    assert [row for row in rows_of(html) if 'verdict pass"' in row.split(">")[0] and memory in row] == []
    confirm_all(shop)
    html = client.get(ASK).text
    assert 'class="answer yes"' in html and ">Yes.<" in html
    told = may_weld(shop, "W-07", "J-05")
    confirmed = {row for _, row in confirmed_rows(shop)}
    rests = {row for a in told.answers if a.outcome is Outcome.PASS for row in a.rows}
    memory_rows = {r.row.id for r in rule_rows(shop) if r.code.id == CODE and r.row.standing is Standing.MEMORY}
    assert rests & memory_rows and rests & memory_rows <= confirmed


def test_what_was_confirmed_is_no_longer_called_unconfirmed(client, shop):
    confirm_all(shop)
    here = words("en").say("rules.standing_confirmed")
    passed = [row for row in rows_of(client.get(ASK).text) if here in row]
    assert len(passed) > 3 and words("en").say("standing.memory") not in client.get(ASK).text
    assert here in client.get(f"/rules?code={CODE}&rows=qw-408.8").text


def test_the_answer_names_the_one_variable_and_the_least_mend(client, shop):
    confirm_all(shop)
    html = client.get(f"{ASK}&on=2026-12-24").text
    assert "No: time since the last use." in html and "brings it back" in html
    first = rows_of(html)[0]
    assert "verdict fail" in f"<li {first}"[:60] or 'verdict fail"' in html.split("data-row")[0][-60:]


def test_nothing_recorded_is_not_known(client):
    html = client.get("/may?stamp=W-99&joint=J-05").text
    assert "nothing is recorded of W-99" in html and "Weld a test coupon" in html


def test_there_is_no_matrix_of_welders_and_joints(client, shop):
    record_qualification(shop, "W-11", COUPON, by="E-01")
    html = client.get(ASK).text
    assert "W-11" not in html and "<table" not in html


def test_without_a_joint_it_asks(client):
    html = client.get("/may").text
    assert 'name="stamp"' in html and 'name="joint"' in html and 'class="answer' not in html


@pytest.mark.parametrize("query", ["stamp=W%2007&joint=J-05", "stamp=W-07&joint=J-99", "stamp=W-07&joint=J-05&on=soon"])
def test_wrong_questions_are_answered_in_words(client, query):
    answer = client.get(f"/may?{query}", headers=PAGE)
    assert answer.status_code in (404, 422) and 'role="alert"' in answer.text


def test_a_qualification_is_recorded_from_the_form_with_its_paper(client, shop):
    sent = {**COUPON, "welded_on": "2026-02-02", "by": "E-01", "joint": "J-05"}
    paper = {"paper": ("record.pdf", b"%PDF-1.7", "application/pdf")}
    answer = client.post("/people/W-07/qualifications", data=sent, files=paper, headers=PAGE, follow_redirects=False)
    assert answer.status_code == 303 and answer.headers["location"].startswith("/may?stamp=W-07&joint=J-05")
    held = qualifications_of(shop, "W-07")
    assert [q.id for q in held] == ["Q-1", "Q-2"] and shop.store.attachment(held[1].evidence[0])[0] == b"%PDF-1.7"


def test_what_was_typed_stays_and_is_said_what_to_mend(client, shop):
    sent = {**COUPON, "welded_on": "", "deposit_m": "9 mm", "report": "LAB-1", "by": "E-01", "joint": "J-05"}
    answer = client.post("/people/W-07/qualifications", data=sent, headers=PAGE)
    assert answer.status_code == 422 and 'value="LAB-1"' in answer.text and 'href="#f-welded_on"' in answer.text
    assert len(qualifications_of(shop, "W-07")) == 1
    assert client.post("/people/W-07/qualifications", json=sent).status_code == 422


def test_a_use_is_recorded(client, shop):
    for date, status in (("2026-03-01", 303), ("2026-02-30", 422)):
        sent = {"date": date, "weld": "S-3", "by": "W-07"}
        got = client.post("/people/W-07/uses", data=sent, headers=PAGE, follow_redirects=False)
        assert got.status_code == status
    assert [u.weld for u in uses_of(shop, "W-07")] == ["S-3"]


def test_a_row_is_confirmed_with_who_and_edition_and_taken_back(client, shop):
    sent = {"code": CODE, "row": "qw-408.8", "edition": "2023", "ref": "QW-408.8, p. 123", "by": "E-01"}
    got = client.post("/rules/confirm", data={**sent, "ref": ""}, headers=PAGE)
    assert got.status_code == 422 and confirmed_rows(shop) == frozenset()
    assert client.post("/rules/confirm", data=sent, headers=PAGE, follow_redirects=False).status_code == 303
    assert confirmed_rows(shop) == {(CODE, "qw-408.8")}
    html = client.get(f"/rules?code={CODE}&rows=qw-408.8").text
    assert "Confirmed by E-01" in html and "edition 2023" in html and "p. 123" in html
    event = re.search(r'name="event" value="([^"]+)"', html)[1]
    back = {"event": event, "why": "wrong page", "by": "E-01"}
    assert client.post("/rules/take-back", data=back, headers=PAGE, follow_redirects=False).status_code == 303
    assert confirmed_rows(shop) == frozenset()


def test_only_tighter_is_taken(client, shop):
    clause = next(r.clause for r in rule_rows(shop) if r.code.id == B31 and r.clause and r.clause.check == "at_most"
                  and isinstance(r.clause.limit, str))  # fmt: skip
    sent = {"code": B31, "row": clause.id, "why": "the owner asks for it", "by": "E-01"}
    looser = client.post("/rules/tighten", data={**sent, "limit": "90 mm"}, headers=PAGE)
    told = re.search(r'role="alert"[^>]*>([^<]+)<', looser.text)[1]
    assert looser.status_code == 422 and "looser than the code" in told and own_codes(shop) == ()
    assert client.post("/rules/tighten", data={**sent, "limit": "0.1 mm"}, headers=PAGE).status_code == 200
    assert own_codes(shop)[0].clauses[0].limit == "0.1 mm"
    assert "Own limit 0.1 mm" in client.get(f"/rules?code={B31}").text


def test_who_may_weld_is_linked_from_the_joint_and_the_list(client):
    assert 'href="/may?joint=J-05"' in client.get("/joints/J-05").text
    assert 'href="/may"' in client.get("/").text and 'href="/rules"' in client.get("/").text


def test_the_record_prints_with_a_clause_for_each_field(client, shop):
    answer = client.get("/people/W-07/Q-1/record.pdf")
    assert answer.status_code == 200 and answer.content.startswith(b"%PDF-")
    assert client.get("/people/record.pdf").content.startswith(b"%PDF-")
    assert client.get("/people/W-07/Q-9/record.pdf").status_code == 422


def test_a_late_day_is_answered_at_once(client, shop):
    late = replace(shop, now_s=lambda: seconds_of("2026-07-20T08:00:00Z"))
    confirm_all(shop)
    assert "No: time since the last use." in TestClient(build(late)).get(ASK).text


def test_before_the_first_arc_the_live_page_minds_who_welds_and_stops_nobody(client, shop):
    html = client.get("/joints/J-05/now", headers=PAGE).text
    assert 'class="who-note note"' in html and 'href="/may?joint=J-05"' in html and 'class="live stopped' not in html
    confirm_all(shop)
    assert "who-note" not in client.get("/joints/J-05/now", headers=PAGE).text
