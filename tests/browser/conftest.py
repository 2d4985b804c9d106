"""One shop with its server for all browser tests, one browser, and pages that must not complain."""

import socket
import threading
import time
from contextlib import contextmanager
from dataclasses import dataclass
from urllib.parse import urlencode

import pytest

pytest.importorskip("playwright.sync_api")
import uvicorn
from playwright.sync_api import Browser, Error, Page, sync_playwright

from brightroot.app.plan_joint import declare
from brightroot.app.ports import Place
from brightroot.app.stand_in import work
from brightroot.cli.demo import SMALL, facts
from brightroot.live.phases import Phase
from brightroot.render.words import words
from brightroot.store.logs import open_store
from brightroot.web.server import build
from brightroot.web.settings import COOKIE

CHROMIUM = "/usr/bin/chromium"
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PHONE = (390, 844)


def pytest_collection_modifyitems(items):
    for item in items:
        if "browser" in item.path.parts:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def say():
    """What a page should say, in the words it takes them from."""
    return words("en").say


def _free_port():
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        return door.getsockname()[1]


@pytest.fixture
def free_port():
    return _free_port


@dataclass(frozen=True)
class Shop:
    """A place with its server: `url` for the browser, `place` for looking into the log behind it."""

    place: Place
    url: str

    def kinds(self, joint):
        return [event.kind for event in self.place.store.events(joint)]

    def count(self, joint, kind):
        return self.kinds(joint).count(kind)

    def joint(self, name, *, until=None, ago_s=2400.0):
        """A joint declared and worked up to the moment that `until` accepts; as it stands where it is there already."""
        if name not in self.place.store.joints():
            declare(self.place, facts(name, position="5G", pipe=SMALL), by="W-07")
            if until:
                work(self.place, name, start_s=time.time() - ago_s, by="W-07", until=until)
        return f"{self.url}/joints/{name}"


@pytest.fixture(scope="session")
def shop(library, tmp_path_factory):
    store = open_store(tmp_path_factory.mktemp("shop") / "log.sqlite3")
    place, port = Place(library, store, time.time), _free_port()
    server = uvicorn.Server(uvicorn.Config(build(place), port=port, log_level="warning", timeout_graceful_shutdown=1))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield Shop(place, f"http://127.0.0.1:{port}")
    server.should_exit = True
    thread.join(10)
    store.close()


def burning(now):
    return now.state.phase is Phase.ARC_ON


def holding(now):
    return now.state.phase is Phase.HOLDING


def purging(now):
    return now.state.phase is Phase.PURGING


@pytest.fixture(scope="session")
def at_work(shop):
    """Joints at moments that every page has to be right in: planned, purging, arc on, shield still on."""
    shop.joint("P-1")
    shop.joint("P-2", until=purging)
    shop.joint("P-3", until=burning)
    shop.joint("P-4", until=holding)
    return shop


@pytest.fixture(scope="session")
def browser():
    with sync_playwright() as play:
        try:
            chromium = play.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        except Error:
            pytest.skip("no browser here")
        yield chromium
        chromium.close()


def settings_cookie(url, **chosen):
    told = {"theme": "hall", "units": "metric", "language": "en", "hand": "right", "stamp": "W-07", **chosen}
    return {"name": COOKIE, "value": urlencode(told), "url": url}


@pytest.fixture(scope="session")
def opened(browser, shop):
    """Pages on demand: `with opened(address) as page`."""

    def open_it(address="", *, url=shop.url, **how):
        return _opened(browser, url, address, **how)

    return open_it


@contextmanager
def _opened(browser: Browser, url: str, address: str = "", *, size=PHONE, js=True, cookie=(), settings=True, **more):
    """A page of its own in a browser of its own; `page.complaints` is what its console said."""
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, java_script_enabled=js, locale="en-GB", **more
    )
    context.set_default_timeout(10_000)
    if settings:
        context.add_cookies([settings_cookie(url, **dict(cookie))])
    page = context.new_page()
    listen(page)
    if address:
        page.goto(address)
    try:
        yield page
    finally:
        context.close()


def listen(page: Page):
    page.complaints = []
    page.on("console", lambda said: page.complaints.append(said.text) if said.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: page.complaints.append(str(error)))


@pytest.fixture
def page(opened):
    """A phone in English with a stamp. Whatever its console complains of fails the test."""
    with opened() as one:
        yield one
        assert not one.complaints


# every page of a joint, and the pages without one
PAGES = (
    "", "/clock", "/now", "/purge", "/gas", "/heat", "/tint", "/look", "/evidence", "/print", "/fastest?sure=yes",
    "/compare?a1=gap_m&v1=3+mm", "/why?key=time.total_s",
)  # fmt: skip


@pytest.fixture(scope="session")
def addresses(at_work):
    """Every page, at every moment where it looks different."""
    shop = at_work
    return (
        f"{shop.url}/",
        f"{shop.url}/joints/new",
        f"{shop.url}/may?stamp=W-07&joint=P-4",
        f"{shop.url}/may",
        f"{shop.url}/rules",
        f"{shop.url}/procedures",
        f"{shop.url}/procedures/WPS-T14",
        *(f"{shop.url}/joints/P-4{page}" for page in PAGES),
        *(f"{shop.url}/joints/{name}/now" for name in ("P-1", "P-2", "P-3")),
    )
