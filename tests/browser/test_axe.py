"""Every page in every theme, on the smallest phone and on a desk, against the accessibility rules of axe."""

import pytest
from axe_playwright_python.sync_playwright import Axe

# axe is put into the page, which our own policy rightly forbids
FOR_AXE = {"bypass_csp": True}
RULES = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
}


def said(found):
    """The violations, short enough to read in a failure."""
    return [
        f"{broken['id']}: {broken['help']} | {node['html'][:160]} | {(node.get('any') or [{}])[0].get('message', '')}"
        for broken in found.response["violations"]
        for node in broken["nodes"][:3]
    ]


@pytest.mark.parametrize(("theme", "size"), [("hall", (360, 740)), ("hood", (360, 740)), ("sun", (1280, 900))])
def test_no_violations(opened, addresses, theme, size):
    wrong = {}
    with opened(size=size, cookie={"theme": theme}, reduced_motion="reduce", **FOR_AXE) as page:
        for address in addresses:
            page.goto(address)
            if page.locator("#heard").is_visible():
                page.locator("#heard").click()
            # the printed sheet looks the same in every theme and is long, so it is looked through once
            context = None if theme == "hall" else {"exclude": [[".sheet"]]}
            if broken := said(Axe().run(page, context=context, options=RULES)):
                wrong[address.partition("/joints")[2]] = broken
    assert wrong == {}


def test_open_things_have_no_violations_either(opened, at_work):
    """What is folded away is looked at too: forms, settings, whys."""
    with opened(size=(360, 740), **FOR_AXE) as page:
        for path in ("/now", "/purge", "/evidence", "", "/clock"):
            page.goto(f"{at_work.url}/joints/P-2{path}")
            page.evaluate("() => document.querySelectorAll('details').forEach(one => one.open = true)")
            why = page.locator("main a[data-why]")
            if why.count():
                why.last.click()
                page.locator("main [data-close]").wait_for()
            assert said(Axe().run(page, options=RULES)) == [], path
