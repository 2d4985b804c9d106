"""A server that dies, a page that is read again, a finger that taps twice: nothing is lost and nothing is doubled."""

import os
import re
import signal
import subprocess
import sys
import time
import urllib.request
from contextlib import contextmanager
from dataclasses import dataclass

import pytest
from playwright.sync_api import expect

from brightroot.app.plan_joint import declare
from brightroot.app.ports import Place
from brightroot.cli.demo import SMALL, facts
from brightroot.live.phases import Phase
from brightroot.store.logs import open_store

RECORDED = re.compile(r"^Recorded \d\d:\d\d")
SERVER = """
import sys, time
import uvicorn
from brightroot.app.ports import Place
from brightroot.library.load import load_library
from brightroot.store.logs import open_store
from brightroot.web.server import build
uvicorn.run(build(Place(load_library(), open_store(sys.argv[1]), time.time)), port=int(sys.argv[2]), log_level="error")
"""


@dataclass
class Mortal:
    """A server in a process of its own, to be killed like a laptop whose battery is out."""

    path: str
    port: int
    process: subprocess.Popen | None = None

    @property
    def url(self):
        return f"http://127.0.0.1:{self.port}"

    def start(self):
        self.process = subprocess.Popen(
            [sys.executable, "-c", SERVER, self.path, str(self.port)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        for _ in range(200):
            try:
                urllib.request.urlopen(f"{self.url}/static/ring.svg", timeout=1).close()
                return
            except OSError:
                time.sleep(0.1)
        raise AssertionError("the server did not come up")

    def kill(self):
        if self.process:
            os.kill(self.process.pid, signal.SIGKILL)
            self.process.wait()
            self.process = None


@contextmanager
def reading(path):
    store = open_store(path)
    try:
        yield store
    finally:
        store.close()


@pytest.fixture
def mortal(library, tmp_path, free_port):
    path = str(tmp_path / "log.sqlite3")
    with reading(path) as store:
        declare(Place(library, store, time.time), facts("K-1", position="5G", pipe=SMALL), by="W-07")
    server = Mortal(path, free_port())
    server.start()
    yield server
    server.kill()


def test_a_tap_outlives_the_server(opened, mortal, say):
    with opened(url=mortal.url) as page:
        page.goto(f"{mortal.url}/joints/K-1/now")
        mortal.kill()
        page.locator("#main-button").click()
        kept = page.get_by_role("status").filter(has_text=say("live.kept"))
        expect(kept).to_be_visible()
        expect(page.get_by_text(RECORDED)).to_have_count(0)  # never said before the server has said so
        mortal.start()
        page.reload()
        expect(page.get_by_text(say("web.outbox.waiting", count="1"))).to_have_count(0)
        page.wait_for_timeout(500)
        page.reload()
        page.wait_for_timeout(500)
    mortal.kill()
    with reading(mortal.path) as store:
        kinds = [event.kind for event in store.events("K-1")]
    assert kinds.count("surface.prepared") == 1


def test_a_hold_counts_on_from_the_same_instant(opened, shop, say):
    address = shop.joint("H-1", until=lambda now: now.state.phase is Phase.ARC_ON)
    with opened(f"{address}/now") as page:
        count, digits = page.locator("[data-until]"), page.locator("[data-until] .digits")
        page.get_by_role("button", name=say("button.arc.stopped")).click()
        expect(page.locator("#live")).to_have_attribute("data-phase", "holding")
        until = count.get_attribute("data-until")
        likely_s = float(until.split()[1])
        for _ in range(2):
            page.wait_for_timeout(1500)
            page.reload()
            assert count.get_attribute("data-until") == until
            expect(digits).to_have_text(re.compile(r"^(\d+:)?\d+$"))
            assert abs(_seconds(digits.inner_text()) - (likely_s - time.time())) < 2


def _seconds(digits):
    minutes, _, seconds = digits.rpartition(":")
    return int(minutes or 0) * 60 + int(seconds)


def test_two_quick_taps_are_one_event(opened, shop):
    address = shop.joint("D-1")
    with opened(f"{address}/now") as page:
        button = page.locator("#main-button").bounding_box()
        spot = (button["x"] + button["width"] / 2, button["y"] + button["height"] / 2)
        before = len(shop.kinds("D-1"))
        page.mouse.dblclick(*spot)
        page.wait_for_timeout(200)
        page.mouse.click(*spot)
        page.wait_for_timeout(1200)
        assert len(shop.kinds("D-1")) == before + 1


def test_sent_again_is_the_same_event(page, shop):
    shop.joint("D-2")
    told = {"kind": "surface.prepared", "facts": {"work": "degreased"}, "by": "W-07", "client_id": "one-tap"}
    answers = [page.request.post(f"{shop.url}/joints/D-2/events", data=told).json() for _ in range(2)]
    assert answers[0]["ok"], answers
    assert answers[0] == answers[1]
    assert shop.count("D-2", "surface.prepared") == 1


def test_a_second_tab_hears_of_it_and_neither_doubles(opened, shop):
    address = shop.joint("T-1")
    with opened(f"{address}/now") as first:
        second = first.context.new_page()
        second.goto(f"{address}/now")
        verb = second.get_by_role("heading", level=1).inner_text()
        before = len(shop.kinds("T-1"))
        first.locator("#main-button").click()
        expect(first.get_by_text(RECORDED)).to_be_visible()
        expect(second.get_by_role("heading", level=1)).not_to_have_text(verb)
        first.wait_for_timeout(800)
        assert len(shop.kinds("T-1")) == before + 1


def test_a_slip_is_taken_back_by_one_tap_for_ten_seconds(opened, shop, say):
    address = shop.joint("U-1")
    with opened(f"{address}/now") as page:
        undo = page.get_by_role("button", name=say("live.undo"))
        expect(undo).to_be_hidden()
        page.locator("#main-button").click()
        expect(undo).to_be_visible()
        first = shop.place.store.events("U-1")[-1]
        undo.click()
        expect(undo).to_be_hidden()
        last = shop.place.store.events("U-1")[-1]
        assert (last.kind, last.corrects) == ("event.withdrawn", first.id)
        page.locator("#main-button").click()
        expect(undo).to_be_visible()
        page.wait_for_timeout(10_200)
        expect(undo).to_be_hidden()
        assert shop.kinds("U-1").count("event.withdrawn") == 1


def test_the_screen_is_kept_awake(opened, shop):
    address = shop.joint("U-2")
    with opened() as page:
        page.add_init_script(
            "Object.defineProperty(navigator, 'wakeLock', {value: {request: async (kind) => "
            "{ (window.asked ??= []).push(kind); return {released: false}; }}})"
        )
        page.goto(f"{address}/now")
        page.wait_for_function("() => window.asked?.length === 1")
        assert page.evaluate("() => window.asked") == ["screen"]


def test_from_purge_start_to_strike_in_eight_taps(opened, shop, say):
    """Counted on the one joint: gas on, one reading under the limit by the number pad, the strike."""
    address = shop.joint("U-3", until=lambda now: now.advice[0].event == "purge.started")
    taps = []
    with opened(f"{address}/now") as page:

        def tap(place):
            taps.append(place)
            place.click()

        entry = page.locator("details.entry")
        tap(page.locator("#main-button"))
        tap(entry.get_by_role("button", name=re.compile("As planned")))
        tap(entry.get_by_role("button", name=say("live.record")))
        expect(page.locator("#live")).to_have_attribute("data-phase", "purging")
        page.wait_for_timeout(500)
        tap(entry.locator("summary"))
        keys = entry.locator(".number-keys")
        tap(keys.get_by_role("button", name="8", exact=True))
        tap(entry.get_by_role("button", name=say("live.record")))
        expect(page.locator("#sent")).to_have_attribute("data-state", "recorded")
        assert shop.kinds("U-3")[-2:] == ["purge.started", "oxygen.read"]
    # what is left is the strike itself, and the tack or the tape that the plan puts before it
    assert len(taps) + 1 <= 8
