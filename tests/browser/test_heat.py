"""Cooling as it plays: by button and by key, stopped where it is, stepped where motion is not wanted."""

import pytest
from playwright.sync_api import expect


@pytest.fixture
def heat(at_work):
    return f"{at_work.url}/joints/P-4/heat"


def seconds(page):
    return int(page.locator(".heat-maps output").inner_text().split()[0])


def test_it_plays_and_stops_by_key(opened, heat, say):
    with opened(heat) as page:
        play = page.get_by_role("button", name=say("heat.play"))
        play.focus()
        page.keyboard.press("Enter")
        expect(page.locator(".heat-maps output")).not_to_have_text("0 s")
        page.keyboard.press("Enter")
        stood = seconds(page)
        page.wait_for_timeout(400)
        assert seconds(page) == stood and not page.complaints


def test_the_slider_goes_to_any_second(opened, heat, say):
    with opened(heat) as page:
        slider = page.get_by_role("slider", name=say("heat.slider"))
        slider.focus()
        page.keyboard.press("ArrowRight")
        expect(slider).to_have_attribute("aria-valuetext", say("heat.moment", seconds="1"))
        page.keyboard.press("End")
        assert page.locator("figure[data-seconds]:visible").count() == 1
        last = page.locator("figure[data-seconds]").last
        expect(last).to_be_visible()
        # the upright in the curve stands at the same second
        assert page.locator(".heat-course:visible .moment").first.get_attribute("visibility") == "visible"


def test_without_scripts_the_moments_stand_in_a_row(opened, heat):
    with opened(heat, js=False) as page:
        figures = page.locator("figure[data-seconds]")
        assert figures.count() > 5 and all(figures.nth(n).is_visible() for n in range(figures.count()))
        tops = {round(figures.nth(n).bounding_box()["y"]) for n in range(figures.count())}
        assert len(tops) == 1


def test_where_motion_is_not_wanted_it_steps(opened, heat, say):
    with opened(heat, reduced_motion="reduce") as page:
        page.get_by_role("button", name=say("heat.play")).click()
        page.wait_for_timeout(1500)
        assert seconds(page) == 0
        expect(page.locator(".heat-maps output")).to_have_text("3 s", timeout=4000)


def test_a_phone_scrolls_the_map_and_not_the_page(opened, heat):
    with opened(heat) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        wedge = page.locator("figure[data-seconds]:visible .arc-off").bounding_box()
        assert 0 <= wedge["x"] <= 390
