"""What is wrong is said beside its field, with what was wanted and what was got; everything else stays as typed."""

import pytest
from playwright.sync_api import expect

from brightroot.cli.demo import LARGE, facts
from brightroot.render.words import words

GOOD = facts("X-1", position="2G", pipe=LARGE)
WRONG = {
    "a number without its unit": ({"dam_span_m": "200"}, "mm, in"),
    "a schedule that nobody makes": ({"pipe": "NPS 6 Sch 37S"}, "10S, 40"),
    "a gap that no rod bridges": ({"gap_m": "4.4 mm"}, "no wider than the largest rod"),
    "a vent of nothing": ({"vent_diameter_m": "0 mm"}, "argon needs a way out"),
}


def typed(page):
    """All that stands in the form, by the names of its fields."""
    return page.locator("form.declare").evaluate("form => Object.fromEntries(new FormData(form))")


def fill(page, told):
    for summary in page.locator("form.declare summary").all():
        summary.click()
    for name, value in told.items():
        field = page.locator(f"form.declare [name='{name}']")
        if field.evaluate("field => field.localName") == "select":
            field.select_option(value)
        else:
            field.fill(value)


def mended(page, told, wanted):
    """The refused field says what it wanted and what it got, and is described by those words; the rest is untouched."""
    before = typed(page)
    page.locator("form.declare button.main-action").click()
    expect(page.get_by_role("alert")).to_be_visible()
    assert page.url.endswith("/joints")
    for name, value in told.items():
        field = page.get_by_label(words("en").field(name)).and_(page.locator(f"[name='{name}']"))
        expect(field).to_have_attribute("aria-invalid", "true")
        error = page.locator(f"#{field.get_attribute('aria-describedby').split()[-1]}")
        expect(error).to_be_visible()
        expect(error).to_contain_text(wanted)
        expect(error).to_contain_text(value)
        below = error.bounding_box()["y"] - field.bounding_box()["y"]
        assert 0 < below < 200, "beside the field"
    assert page.locator("[aria-invalid=true]").count() == len(told)
    assert typed(page) == before


@pytest.mark.parametrize(("told", "wanted"), WRONG.values(), ids=WRONG)
def test_field_says_wanted_and_got_and_nothing_is_lost(opened, shop, told, wanted):
    with opened(f"{shop.url}/joints/new") as page:
        fill(page, GOOD | told)
        mended(page, told, wanted)
    assert "X-1" not in shop.place.store.joints()


def test_several_at_once_are_all_said_and_mended(opened, shop):
    wrong = {"pipe": "NPS 6 Sch 37S", "dam_span_m": "200", "vent_diameter_m": "0 mm"}
    with opened(f"{shop.url}/joints/new") as page:
        fill(page, GOOD | {"id": "X-2"} | wrong)
        mended(page, wrong, "Wanted")
        fill_again = {name: GOOD[name] for name in wrong}
        for name, value in fill_again.items():
            page.locator(f"form.declare [name='{name}']").fill(value)
        page.locator("form.declare button.main-action").click()
        page.wait_for_url("**/joints/X-2")
    assert "X-2" in shop.place.store.joints()


def test_a_refused_reading_keeps_what_was_typed(opened, at_work, say):
    """On Now: a reading without digits is refused beside its form, which keeps it."""
    with opened(f"{at_work.url}/joints/P-4/purge") as page:
        page.get_by_text(say("live.purge.enter"), exact=True).click()
        form = page.locator("form[data-kind='oxygen.read']")
        number = form.get_by_label(say("event_field.oxygen_frac"), exact=True)
        number.fill("twelve or so")
        for choice in form.locator("fieldset:visible").filter(has_not=page.locator("input[data-state]")).all():
            choice.locator("label").first.click()
        before = at_work.count("P-4", "oxygen.read")
        form.get_by_role("button", name=say("live.record"), exact=True).click()
        expect(form.get_by_role("alert")).to_contain_text("twelve or so")
        expect(number).to_have_value("twelve or so")
        assert at_work.count("P-4", "oxygen.read") == before
