"""From an empty form to a bundle that checks: one joint, typed as a person would."""

import re
from io import BytesIO

from playwright.sync_api import expect
from pypdf import PdfReader

from brightroot.cli.demo import LARGE, facts
from brightroot.model.facts import FACTS_BY_NAME
from brightroot.render.words import words
from brightroot.store.verifier import verify

TOLD = facts("J-05", position="5G", pipe=LARGE)


def fill(page, told):
    """Type facts into the form by their labels, opening what is folded."""
    for summary in page.locator("form.declare summary").all():
        if summary.locator("..").get_attribute("open") is None:
            summary.click()
    for name, value in told.items():
        field = page.get_by_label(words("en").field(name)).and_(page.locator(f"[name='{name}']"))
        if FACTS_BY_NAME[name].kind in ("choice", "yes_no"):
            field.select_option(value)
        else:
            field.fill(value)


def do_main(page, say, kind):
    """The one button; what it asks is answered in its small form."""
    page.get_by_role("button", name=say(f"button.{kind}"), exact=True).click()


def test_from_facts_to_a_bundle_that_checks(opened, shop, say, tmp_path):
    with opened(f"{shop.url}/joints/new", cookie={"stamp": ""}) as page:
        fill(page, TOLD)
        page.get_by_label(say("field.by")).and_(page.locator("main [name='by']")).fill("W-07")
        page.get_by_role("button", name=say("web.new.plan")).click()

        page.wait_for_url("**/joints/J-05")
        first = page.get_by_role("heading", level=1)
        expect(first).to_contain_text(re.compile(r"passes.*runs.*about.*(h|min).*m³.*argon", re.S))
        page.get_by_role("link", name=say("web.joint.go")).click()

        # two preparations at one tap each, then an entry that asks
        for _ in range(2):
            before = shop.count("J-05", "surface.prepared")
            do_main(page, say, "surface.prepared")
            if page.get_by_role("button", name=say("live.record"), exact=True).first.is_visible():
                page.get_by_role("button", name=say("live.record"), exact=True).first.click()
            expect(page.get_by_text(re.compile(r"Recorded \d\d:\d\d:\d\d"))).to_be_visible()
            assert shop.count("J-05", "surface.prepared") == before + 1
            if page.get_by_role("button", name=say("button.surface.prepared"), exact=True).count() == 0:
                break
        events = shop.place.store.events("J-05")
        assert {event.by for event in events} == {"W-07"}

        page.get_by_role("link", name=say("web.nav.evidence"), exact=True).click()
        tally = page.get_by_role("heading", level=1).inner_text()
        assert int(re.search(r"(\d+) unknown", tally)[1]) > 0
        assert "0 fail" in tally

        page.get_by_role("link", name=say("web.nav.print"), exact=True).click()
        head = re.search(r"--head ([0-9a-f]{64})", page.locator("main").inner_text())[1]
        paper = page.get_by_role("link", name=say("live.print.download")).get_attribute("href")
        sheet = page.request.get(shop.url + paper).body()
        assert sheet.startswith(b"%PDF")
        text = re.sub(r"\s", "", "".join(leaf.extract_text() for leaf in PdfReader(BytesIO(sheet)).pages))
        assert "J-05" in text
        assert head in text

        with page.expect_download() as bundle:
            page.get_by_role("button", name=say("live.print.issue")).click()
        kept = tmp_path / "J-05.zip"
        bundle.value.save_as(kept)
        found = verify(kept, head)
        assert found["ok"], found
        assert shop.kinds("J-05")[-1] == "dossier.issued"
        assert not page.complaints
