"""From the list to the first recorded entry with Tab, Enter, Space and the letters alone."""

import re

from playwright.sync_api import expect

from brightroot.cli.demo import SMALL, facts
from brightroot.model.facts import FACTS_BY_NAME

AT = (
    "() => { const at = document.activeElement; return { name: at.getAttribute('name') ?? '', id: at.id,"
    " tag: at.localName, why: 'why' in at.dataset, text: (at.innerText ?? '').trim() } }"
)
MARK = (
    "() => { const how = getComputedStyle(document.activeElement);"
    " return parseFloat(how.outlineWidth) > 0 && how.outlineStyle !== 'none' || how.boxShadow !== 'none' }"
)


def tab_to(page, here, *, most=120):
    """Tab until `here` accepts what has the focus; every stop on the way shows that it has it."""
    for _ in range(most):
        page.keyboard.press("Tab")
        at = page.evaluate(AT)
        assert page.evaluate(MARK), f"no visible focus on {at}"
        if here(at):
            return at
    raise AssertionError("not reached by Tab")


def test_skip_link_comes_first_and_leads_to_the_content(page, shop, say):
    page.goto(f"{shop.url}/joints/new")
    page.keyboard.press("Tab")
    skip = page.get_by_role("link", name=say("web.skip"))
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()
    page.keyboard.press("Enter")
    assert page.evaluate("() => document.activeElement.id") == "main"


def test_first_entry_by_keyboard_alone(page, shop, say):
    told = facts("B-1", position="5G", pipe=SMALL)
    page.goto(shop.url)
    tab_to(page, lambda at: at["text"] == say("web.joints.declare"))
    page.keyboard.press("Enter")
    page.wait_for_url("**/joints/new")

    done = set()

    def mine(at):
        if at["tag"] == "summary" and "settings" not in at["text"].lower():
            page.keyboard.press("Enter")
        name = at["name"]
        if name not in told or name in done:
            return at["text"] == say("web.new.plan")
        done.add(name)
        if FACTS_BY_NAME[name].kind in ("choice", "yes_no"):
            field = page.locator(f"[name='{name}']")
            page.keyboard.press("Home")
            for _ in range(20):
                if field.input_value() == told[name]:
                    break
                page.keyboard.press("ArrowDown")
            assert field.input_value() == told[name]
        else:
            page.keyboard.type(told[name])
            page.keyboard.press("Escape")  # the list of suggestions
        return False

    tab_to(page, mine)
    assert done == set(told)
    page.keyboard.press("Enter")
    page.wait_for_url("**/joints/B-1")

    tab_to(page, lambda at: at["text"].startswith(say("web.joint.go")))
    page.keyboard.press("Enter")
    page.wait_for_url("**/now")
    before = shop.count("B-1", "surface.prepared")
    tab_to(page, lambda at: at["id"] == "main-button")
    page.keyboard.press("Space")
    expect(page.get_by_text(re.compile(r"^Recorded \d\d:\d\d"))).to_be_visible()
    assert shop.count("B-1", "surface.prepared") == before + 1


def test_why_opens_and_closes_by_space_and_keeps_the_focus(page, at_work):
    page.goto(f"{at_work.url}/joints/P-1")
    tab_to(page, lambda at: at["why"])
    figure = page.locator(":focus")
    page.keyboard.press("Space")
    expect(figure).to_have_attribute("aria-expanded", "true")
    page.keyboard.press("Space")
    expect(figure).to_have_attribute("aria-expanded", "false")
    expect(figure).to_be_focused()
