import xml.etree.ElementTree as ElementTree

import pytest

from brightroot.app.notebook import HEADLINES, plan_html
from brightroot.app.plan_joint import plan_facts
from brightroot.app.ports import Place
from brightroot.cli.demo import SMALL, facts
from brightroot.library.load import load_library
from brightroot.store.logs import memory_store


@pytest.fixture(scope="module")
def plan():
    place = Place(load_library(), memory_store(), lambda: 0.0)
    return plan_facts(place, facts("<J&5>", position="5G", pipe=SMALL))


def test_every_headline_with_its_range(plan):
    rows = ElementTree.fromstring(plan_html(plan)).findall("tbody/tr")
    assert [row.find("th").text for row in rows] == list(HEADLINES)
    assert all(row.find("th").get("title") and row.find("td").text for row in rows)


def test_what_people_typed_stays_text(plan):
    assert ElementTree.fromstring(plan_html(plan)).find("caption").text.startswith("<J&5>")


def test_a_key_that_is_not_there_is_left_out(plan):
    assert ElementTree.fromstring(plan_html(plan, keys=("no.such_m",))).findall("tbody/tr") == []
