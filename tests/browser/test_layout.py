"""Sizes a glove can hit, a number read from two metres, nothing cut off, and every word in the reader's language."""

import re

import pytest
from playwright.sync_api import expect

from brightroot.render.words import words

MM = 96 / 25.4
BY_HAND_MM, KEY_NUMBER_MM = 20, 35
WORD_ID = re.compile(r"«[\w.-]+»")


@pytest.mark.parametrize("language", ["en", "es"])
def test_nothing_runs_off_the_smallest_phone(opened, addresses, language):
    wide = {}
    with opened(size=(360, 740), cookie={"language": language}) as page:
        for address in addresses:
            page.goto(address)
            over = page.evaluate("() => document.documentElement.scrollWidth - document.documentElement.clientWidth")
            if over > 0:
                wide[address] = over
        assert not page.complaints
    assert wide == {}


def test_now_is_made_for_gloves(opened, at_work):
    for joint in ("P-1", "P-2", "P-3", "P-4"):
        with opened(f"{at_work.url}/joints/{joint}/now") as page:
            button = page.locator("#main-button").bounding_box()
            assert button["height"] >= BY_HAND_MM * MM
            assert button["width"] >= 2 * BY_HAND_MM * MM
            assert button["y"] + button["height"] <= 844, "on the first screen"


@pytest.mark.parametrize("joint", ["P-2", "P-3", "P-4"])
def test_key_number_is_read_from_two_metres(opened, at_work, joint):
    with opened(f"{at_work.url}/joints/{joint}/now") as page:
        digits = page.locator(".key-number .digits")
        expect(digits).to_be_visible()
        size = digits.evaluate("box => parseFloat(getComputedStyle(box).fontSize)")
        assert size >= KEY_NUMBER_MM * MM
        box = digits.bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= 390


def test_every_page_in_spanish(opened, addresses):
    with opened(cookie={"language": "es"}) as page:
        for address in addresses:
            page.goto(address)
            assert page.locator("html").get_attribute("lang") == "es"
            assert not WORD_ID.search(page.content()), address
            assert not WORD_ID.search(page.title())
        assert not page.complaints


def test_settings_change_language_units_and_theme_and_stay(opened, at_work):
    english, spanish = words("en").say, words("es").say
    with opened(f"{at_work.url}/joints/P-1", size=(1280, 900)) as page:
        metric = page.locator("main").inner_text()
        for label in ("web.settings.units_us", "web.settings.theme_sun", "web.settings.language_es"):
            say = spanish if page.locator("html").get_attribute("lang") == "es" else english
            page.locator("details.settings > summary").click()
            with page.expect_navigation():
                page.get_by_text(say(label), exact=True).click()
        root = page.locator("html")
        expect(root).to_have_attribute("lang", "es")
        expect(root).to_have_attribute("data-theme", "sun")
        figure = page.locator("main a[data-why]", has=page.locator(".other")).first.inner_text()
        assert re.search(r"\b(in|ft|ft³|cfh)\b.*\b(mm|m|L|m³|L/min)\b", figure.replace("\u202f", " ")), figure
        assert metric != page.locator("main").inner_text()
        page.goto(f"{at_work.url}/joints/P-4/now")
        expect(root).to_have_attribute("data-theme", "sun")


def test_why_opens_in_place_and_closes_again(page, at_work, say):
    page.goto(f"{at_work.url}/joints/P-1")
    figure = page.locator("main a[data-why]").first
    figure.click()
    expect(figure).to_have_attribute("aria-expanded", "true")
    box = page.locator(f"#{figure.get_attribute('aria-controls')}")
    expect(box).to_be_visible()
    expect(box).to_contain_text(say("web.why.from"))
    assert page.url.endswith("/joints/P-1")
    inner = box.locator("a[data-why]").first
    inner.click()
    expect(inner).to_have_attribute("aria-expanded", "true")
    figure.click()
    expect(box).to_have_count(0)
    expect(figure).to_have_attribute("aria-expanded", "false")


def test_every_figure_of_a_plan_has_its_why(page, at_work):
    page.goto(f"{at_work.url}/joints/P-1")
    hrefs = page.locator("main a[data-why]").evaluate_all("links => links.map(link => link.href)")
    assert len(hrefs) > 50
    assert [href for href in hrefs[::9] if page.request.get(href).status != 200] == []


def test_without_scripts_why_forms_and_entries_work(opened, shop, say):
    with opened(f"{shop.joint('N-1')}", js=False) as page:
        page.locator("main a[data-why]").first.click()
        expect(page.get_by_text(say("web.why.from"), exact=True)).to_be_visible()
        page.get_by_role("link", name=say("web.why.back")).click()
        page.get_by_role("link", name=say("web.nav.now"), exact=True).click()
        before = shop.count("N-1", "surface.prepared")
        page.locator("#main-button").click()
        page.wait_for_url("**/now")
        assert shop.count("N-1", "surface.prepared") == before + 1
        page.goto(f"{shop.url}/joints/new?like=N-1")
        page.locator("[name='id']").fill("N-2")
        page.locator("form.declare button.main-action").click()
        page.wait_for_url("**/joints/N-2")
    assert "N-2" in shop.place.store.joints()


def test_no_page_complains(opened, addresses):
    with opened(size=(1280, 900), cookie={"theme": "hood", "units": "us"}) as page:
        for address in addresses:
            page.goto(address)
            page.wait_for_timeout(150)
        assert page.complaints == []


def test_on_a_phone_the_name_of_this_page_is_in_sight(opened, at_work):
    for name in ("joint", "evidence", "print"):
        address = f"{at_work.url}/joints/P-4" + ("" if name == "joint" else f"/{name}")
        with opened(address, size=(360, 740)) as page:
            box = page.locator(".head nav [aria-current]").bounding_box()
            assert box["x"] >= 0, name
            assert box["x"] + box["width"] <= 360, name
