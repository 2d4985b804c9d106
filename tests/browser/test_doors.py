"""On a network, in a browser: a device is let in by its code, a person chooses a PIN, and the device signs by itself."""

import threading
import time

import pytest
import uvicorn
from argon2 import PasswordHasher
from axe_playwright_python.sync_playwright import Axe

from brightroot.app.crew import take_on
from brightroot.app.plan_joint import declare
from brightroot.app.ports import Place
from brightroot.cli.demo import SMALL, facts
from brightroot.store.carry import carried
from brightroot.store.doors import Doors
from brightroot.store.logs import open_store
from brightroot.store.verifier import examine
from brightroot.web.doors import Gate
from brightroot.web.server import build

RULES = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
}
PIN = "horse battery 7"


@pytest.fixture(scope="module")
def guarded(library, tmp_path_factory):
    """A shop with doors and its server: gate, address."""
    store = open_store(tmp_path_factory.mktemp("doors") / "log.sqlite3")
    place = Place(library, store, time.time)
    gate = Gate(place, Doors(store, time.time, hasher=PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)))
    declare(place, facts("J-05", position="5G", pipe=SMALL), by="F-02")
    take_on(place, "F-02", "foreman", by="F-02")
    server = uvicorn.Server(
        uvicorn.Config(build(place, gate=gate), port=0, log_level="warning", timeout_graceful_shutdown=1)
    )
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    port = server.servers[0].sockets[0].getsockname()[1]
    yield gate, f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(10)
    store.close()


def broken(page, theme):
    page.evaluate(f"() => document.documentElement.dataset.theme = '{theme}'")
    page.evaluate("() => document.querySelectorAll('details').forEach(one => one.open = true)")
    found = Axe().run(page, options=RULES).response["violations"]
    return [f"{one['id']}: {node['html'][:120]}" for one in found for node in one["nodes"][:3]]


def test_from_the_code_to_a_signed_entry(opened, guarded):
    gate, url = guarded
    with opened(settings=False, url=url, bypass_csp=True) as page:
        page.goto(f"{url}/joints/J-05/now")
        assert page.url == f"{url}/enrol"
        wrong = {f"enrol {theme}": broken(page, theme) for theme in ("hall", "hood", "sun")}
        page.goto("about:blank")
        page.goto(f"{url}/enrol#{gate.doors.new_code('device:d-9|F-02|bay 3')}")
        page.locator("main button").click()
        page.wait_for_url("**/sign-in")
        assert "#" not in page.url and gate.crew().devices["d-9"].held == "device"
        wrong |= {f"sign {theme}": broken(page, theme) for theme in ("hall", "hood", "sun")}
        page.fill("#first-stamp", "F-02")
        page.fill("#code", gate.doors.new_code("person:F-02"))
        page.fill("#new-pin", PIN)
        page.fill("#again", PIN)
        page.locator("details.first button").click()
        page.wait_for_url(f"{url}/")
        page.goto(f"{url}/crew")
        page.fill("#device-name", "phone at bay 4")
        page.locator("form[action='/crew/enrol'] button").click()
        page.locator(".big-code").wait_for()
        wrong |= {f"crew {theme}": broken(page, theme) for theme in ("hall", "hood", "sun")}
        page.goto(f"{url}/joints/J-05/now")
        told = page.evaluate(
            "async () => (await import('/static/outbox.js')).record('J-05', 'plan.departed_from', {what: 'x', why: 'y'})"
        )
        assert told["event"].startswith("d-9.")
        assert {name: found for name, found in wrong.items() if found} == {}
        assert not page.complaints
    forms = [one["form"] for one in gate.place.store.proof("J-05")["signatures"]]
    assert "tap" in forms
    assert examine(carried(gate.place.store, "J-05"))["ok"]


def test_targets_are_large_enough_for_a_glove(opened, guarded):
    _, url = guarded
    with opened(f"{url}/enrol", settings=False, url=url) as page:
        heights = page.locator("main input:visible, main button").evaluate_all(
            "all => all.map(one => one.getBoundingClientRect().height)"
        )
        assert heights and min(heights) >= 56


def test_what_a_restored_server_lost_is_sent_again(opened, library, tmp_path):
    """Recorded, then an old backup is put in place: with the next entry the browser brings back what is missing."""
    from brightroot.store.backup import back_up, restore

    path = tmp_path / "log.sqlite3"
    store = open_store(path)
    declare(Place(library, store, time.time), facts("J-05", position="5G", pipe=SMALL), by="W-07")
    back_up(path, tmp_path / "copy.sqlite3")
    store.close()

    def served(port):
        here = open_store(path)
        app = build(Place(library, here, time.time))
        server = uvicorn.Server(uvicorn.Config(app, port=port, log_level="warning", timeout_graceful_shutdown=1))
        thread = threading.Thread(target=server.run, daemon=True)
        thread.start()
        while not server.started:
            time.sleep(0.02)
        return here, server, thread, server.servers[0].sockets[0].getsockname()[1]

    def stopped(here, server, thread):
        server.should_exit = True
        thread.join(10)
        here.close()

    tap = "async (what) => (await import('/static/outbox.js')).record('J-05', 'plan.departed_from', {what, why: 'y'}, {by: 'W-07'})"
    here, server, thread, port = served(0)
    url = f"http://127.0.0.1:{port}"
    with opened(f"{url}/joints/J-05", url=url) as page:
        page.evaluate(tap, "before")
        stopped(here, server, thread)
        restore(tmp_path / "copy.sqlite3", path)
        here, server, thread, _ = served(port)
        assert "before" not in [event.data.get("what") for event in here.events("J-05")]
        page.evaluate(tap, "after")
        deadline = time.time() + 8
        while time.time() < deadline and len([e for e in here.events("J-05") if "what" in e.data]) < 2:
            page.wait_for_timeout(100)
        assert sorted(e.data["what"] for e in here.events("J-05") if "what" in e.data) == ["after", "before"]
    stopped(here, server, thread)
