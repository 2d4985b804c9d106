"""The heat page: its first line is the answer, and it stands without scripts."""

import re
import warnings
from html.parser import HTMLParser

import pytest

from brightroot.app.plan_joint import declare
from brightroot.cli.demo import SMALL, facts
from brightroot.web.server import build

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the test client still speaks through the older of its two HTTP libraries
    from fastapi.testclient import TestClient


@pytest.fixture
def client(place):
    declare(place, facts("J-10", position="5G", pipe=SMALL), by="W-07")
    return TestClient(build(place), headers={"accept": "text/html", "accept-language": "en"})


class Words(HTMLParser):
    def __init__(self):
        super().__init__()
        self.seen = []

    def handle_data(self, data):
        self.seen.append(data)


def text_of(html):
    reader = Words()
    reader.feed(html)
    return re.sub(r"\s+", " ", "".join(reader.seen))


def test_the_first_line_is_the_answer(client, place):
    page = client.get("/joints/J-10/heat?run=5")
    assert page.status_code == 200
    head = text_of(re.search(r"<h1.*?</h1>", page.text, re.S)[0])
    assert re.search(r"Run 5, root: hold \d+ s \(\d+–\d+\).*under 100 °C after", head)


def test_a_run_that_needs_no_wait_says_so(client):
    heads = [text_of(re.search(r"<h1.*?</h1>", client.get(f"/joints/J-10/heat?run={n}").text, re.S)[0]) for n in (1, 2)]
    assert any("no wait" in head for head in heads) and not any("0.0 s" in head for head in heads)


def test_every_moment_stands_in_the_page(client):
    page = client.get("/joints/J-10/heat").text
    seconds = [int(s) for s in re.findall(r'<figure data-seconds="(\d+)"', page)]
    assert seconds[0] == 0 and seconds == sorted(set(seconds)) and 6 <= len(seconds) <= 14
    assert page.count('class="drawing heat-map"') == len(seconds)
    assert "style=" not in page and len(page) < 400_000


def test_numbers_stand_beside_every_curve(client):
    page = client.get("/joints/J-10/heat").text
    assert page.count("<caption>") == 3  # hottest metal, where it is read, the whole joint


@pytest.mark.parametrize(("run", "status"), [("17", 422), ("x", 422), ("16", 200)])
def test_a_run_that_is_not_there_is_refused(client, run, status):
    assert client.get(f"/joints/J-10/heat?run={run}").status_code == status


def test_the_map_shows_the_side_that_is_chosen(client):
    outside, inside = (client.get(f"/joints/J-10/heat?side={side}").text for side in ("outside", "inside"))
    assert "the outside, unrolled" in outside and "the inside, unrolled" in inside and outside != inside
    assert '<option value="inside" selected>' in inside
    assert client.get("/joints/J-10/heat?side=above").status_code == 422


def test_us_and_spanish(client):
    client.cookies.set("brightroot", "language=es&units=us")
    page = client.get("/joints/J-10/heat").text
    assert "Tramo 1" in text_of(page) and "pulgadas" in page and "°F" in page


def test_the_plan_leads_here(client):
    assert 'href="/joints/J-10/heat"' in client.get("/joints/J-10").text
