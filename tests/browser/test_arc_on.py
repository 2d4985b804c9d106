"""Between arc on and arc off nothing is asked: one button, no field, no way to get lost."""

import pytest
from playwright.sync_api import expect

FIELDS = "input:visible, select:visible, textarea:visible, [contenteditable]:visible"


@pytest.mark.parametrize("theme", ["hall", "hood", "sun"])
def test_one_button_and_nothing_to_fill_in(opened, at_work, say, theme):
    with opened(f"{at_work.url}/joints/P-3/now", cookie={"theme": theme}) as page:
        buttons = page.get_by_role("button")
        expect(buttons).to_have_count(1)
        expect(buttons).to_have_text(say("button.arc.stopped"))
        assert page.locator(FIELDS).count() == 0
        assert page.locator("summary:visible, main a:visible").count() == 0


def test_one_button_without_scripts(opened, at_work, say):
    with opened(f"{at_work.url}/joints/P-3/now", js=False) as page:
        expect(page.get_by_role("button")).to_have_count(1)
        expect(page.get_by_role("button")).to_have_text(say("button.arc.stopped"))
        assert page.locator(FIELDS).count() == 0


def test_the_button_ends_the_arc_and_the_shield_stays(opened, shop, say):
    address = shop.joint("A-1", until=lambda now: now.state.record.arc_on_run > 0)
    with opened(f"{address}/now") as page:
        page.wait_for_timeout(1200)
        assert page.locator("[data-up]").inner_text() != "0"  # the arc's time runs
        page.get_by_role("button").click()
        expect(page.get_by_role("heading", level=1)).not_to_have_text(say("say.weld"))
        expect(page.locator("#live")).to_have_attribute("data-phase", "holding")
    assert shop.count("A-1", "arc.stopped") == shop.count("A-1", "arc.started")
