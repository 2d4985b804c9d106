"""Every address against every role, enumerated from the application itself: a new route without a rule fails here."""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from argon2 import PasswordHasher

from brightroot.app.access import MAY, ROLES, Act
from brightroot.app.crew import take_on
from brightroot.app.plan_joint import declare
from brightroot.app.ports import Place
from brightroot.base.errors import Refused
from brightroot.cli.demo import SMALL, facts
from brightroot.library.load import load_library
from brightroot.store.doors import Doors
from brightroot.store.logs import memory_store
from brightroot.web.doors import ANYONE, AT_THE_DOOR, RULES, Gate, rule_of
from brightroot.web.server import build

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from fastapi.testclient import TestClient

NOW_S = 1_772_448_120.0
QUICK = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
STAMPS = {
    "welder": "W-07",
    "helper": "H-03",
    "foreman": "F-02",
    "inspector": "E-04",
    "engineer": "N-01",
    "viewer": "V-09",
}
PIN = "horse 4471 battery"
JSON = {"accept": "application/json"}


@dataclass
class Shop:
    """A shop on a network: an enrolled device, and one person signed in for each role."""

    place: Place
    gate: Gate
    app: Any
    device: str
    tokens: dict[str, str]

    def client(self, role: str = "", *, device: bool = True) -> TestClient:
        client = TestClient(self.app, headers=JSON, follow_redirects=False, raise_server_exceptions=False)
        if device:
            client.cookies.set("brightroot_device", self.device)
        if role:
            client.cookies.set("brightroot_session", self.tokens[role])
        return client


@pytest.fixture(scope="module")
def shop() -> Iterator[Shop]:
    store = memory_store()
    place = Place(load_library(), store, lambda: NOW_S)
    gate = Gate(place, Doors(store, place.now_s, hasher=QUICK))
    declare(place, facts("J-05", position="5G", pipe=SMALL), by="W-07")
    declare(place, facts("J-06", position="5G", pipe=SMALL), by="W-08")
    app = build(place, gate=gate)
    client = TestClient(app, headers=JSON)
    code = gate.doors.new_code("device:d-1|F-02|bay 3")
    device = client.post("/enrol", json={"code": code}).cookies["brightroot_device"]
    tokens = {}
    for role, stamp in STAMPS.items():
        take_on(place, stamp, role, by="F-02")
        gate.doors.set_pin(stamp, PIN)
        tokens[role] = gate.doors.sign_in(stamp, PIN, "d-1")
    gate.changed()
    yield Shop(place, gate, app, device, tokens)
    store.close()


def addresses(routes: Any) -> Iterator[str]:
    """Every method and address that the application answers, however deep its routers lie."""
    for route in routes:
        inner = getattr(route, "original_router", None)
        if inner is not None:
            yield from addresses(inner.routes)
        elif getattr(route, "methods", None):
            for method in sorted(set(route.methods) - {"HEAD"}):
                yield f"{method} {route.path}"
        else:
            yield f"GET {route.path}/{{path:path}}"


def test_every_route_has_a_rule_and_every_rule_a_route(shop: Shop) -> None:
    there = set(addresses(shop.app.routes))
    assert len(there) > 35
    assert {"without a rule": there - set(RULES), "without a route": set(RULES) - there} == {
        "without a rule": set(), "without a route": set(),
    }, "add the new address to RULES in web/doors.py, with the act that it asks for"  # fmt: skip


def filled(rule: str) -> tuple[str, str]:
    method, path = rule.split(" ")
    slots = {
        "{id}": "J-05",
        "{name}.js": "new.js",
        "{stamp}": "W-07",
        "{path:path}": "style.css",
        "{act}": "nothing",
        "{name}": "WPS-T14",
    }
    for slot, value in slots.items():
        path = path.replace(slot, value)
    return method, path


@pytest.mark.parametrize("role", ["", *ROLES])
def test_every_route_against_every_role(shop: Shop, role: str) -> None:
    client = shop.client(role)
    wrong = {}
    for rule, act in RULES.items():
        if rule.endswith("/stream") or rule == "POST /sign-out":
            continue  # a stream does not end; signing out is tried by itself
        method, path = filled(rule)
        answer = client.request(method, path, **({"json": {}} if method == "POST" else {}))
        if act in (ANYONE, AT_THE_DOOR):
            right = answer.status_code not in (401, 500)
        elif not role:
            right = answer.status_code == 401
        elif act in MAY[role]:
            right = _let(answer)
        else:
            right = answer.status_code == 403 and answer.json()["error"] == "access.role"
        if not right:
            wrong[rule] = answer.status_code
    assert wrong == {}


def _let(answer: Any) -> bool:
    """Whether the door was passed; what lies behind may still find the body wanting."""
    told = answer.json() if "json" in answer.headers.get("content-type", "") else {}
    return answer.status_code < 500 and answer.status_code != 401 and told.get("error") != "access.role"


@pytest.mark.parametrize("rule", [rule for rule, act in RULES.items() if act != ANYONE])
def test_a_device_that_is_not_enrolled_sees_nothing(shop: Shop, rule: str) -> None:
    method, path = filled(rule)
    answer = shop.client("foreman", device=False).request(method, path, **({"json": {}} if method == "POST" else {}))
    assert (answer.status_code, answer.json()["error"]) == (401, "access.device")
    page = shop.client("foreman", device=False).get("/", headers={"accept": "text/html"})
    assert (page.status_code, page.headers["location"]) == (303, "/enrol")


def test_an_address_outside_the_table_stays_shut() -> None:
    assert rule_of("DELETE", "/joints/J-05") is None
    assert rule_of("GET", "/joints/J-05/nowhere") is None
    assert rule_of("HEAD", "/crew") is Act.CREW


def sent(client: TestClient, kind: str, by: str, joint: str = "J-05", **given: str) -> Any:
    return client.post(f"/joints/{joint}/events", json={"kind": kind, "facts": given, "by": by})


def test_a_hold_point_is_released_by_an_inspector_who_did_not_weld_here(shop: Shop) -> None:
    release = {"hold_point": "fit-up", "stamp": "W-07"}
    refused = sent(shop.client("welder"), "hold_point.released", "W-07", **release)
    assert (refused.status_code, refused.json()["error"]) == (403, "access.role")
    for other in ("helper", "foreman", "engineer"):
        answer = sent(shop.client(other), "hold_point.released", STAMPS[other], **{**release, "stamp": STAMPS[other]})
        assert answer.status_code in (403, 404)
    borrowed = sent(shop.client("inspector"), "hold_point.released", "E-04", **release)
    assert borrowed.json()["error"] == "access.other_hand"
    done = sent(shop.client("inspector"), "hold_point.released", "E-04", **{**release, "stamp": "E-04"})
    assert done.status_code == 200
    assert shop.place.store.events("J-05")[-1].by == "E-04"


def test_an_inspector_who_welded_releases_nothing_there(shop: Shop) -> None:
    take_on(shop.place, "W-07", "welder, inspector", by="F-02")
    shop.gate.changed()
    try:
        sent(
            shop.client("welder"),
            "tack.made",
            "W-07",
            tack="T1",
            at_rad="12",
            purged="yes",
            shape="full",
            tint="silver",
        )
        shop.place.store.append("J-05", "2026-03-02T10:00:00Z", "W-07", "arc.started", {"run_count": 1})
        answer = sent(shop.client("welder"), "hold_point.released", "W-07", hold_point="root", stamp="W-07")
        assert answer.json()["error"] == "access.own_work"
    finally:
        take_on(shop.place, "W-07", "welder", by="F-02")
        shop.gate.changed()


def test_nobody_writes_under_another_stamp(shop: Shop) -> None:
    for path in ("/joints/J-05/events", "/api/joints/J-05/events"):
        answer = shop.client("welder").post(path, json={"kind": "purge.ended", "facts": {}, "by": "W-08"})
        assert (answer.status_code, answer.json()["error"]) == (403, "access.other_hand")
    declared = shop.client("engineer").post(
        "/api/joints", json={"facts": facts("J-9", position="5G", pipe=SMALL), "by": "W-07"}
    )
    assert declared.json()["error"] == "access.other_hand"


def test_a_welder_sees_and_exports_their_own_joints_only(shop: Shop) -> None:
    welder, viewer = shop.client("welder"), shop.client("viewer")
    assert [row["id"] for row in welder.get("/api/joints").json()["joints"]] == ["J-05"]
    assert {row["id"] for row in viewer.get("/api/joints").json()["joints"]} == {"J-05", "J-06"}
    for path in ("", "/now", "/dossier.pdf", "/state"):
        assert welder.get(f"/joints/J-06{path}").status_code == 404
    assert welder.get("/api/joints/J-06/log").status_code == 404
    assert welder.post("/joints/J-06/dossier", json={}).status_code == 404
    assert sent(welder, "purge.ended", "W-07", joint="J-06").status_code == 404
    assert shop.client("helper").get("/api/joints").json()["joints"] == []
    assert sent(shop.client("foreman"), "work.given", "F-02", stamp="H-03").status_code == 200
    assert [row["id"] for row in shop.client("helper").get("/api/joints").json()["joints"]] == ["J-05"]


def test_a_welders_own_record_is_theirs(shop: Shop) -> None:
    for store_client, stamp, seen in (("welder", "W-07", True), ("welder", "W-99", True)):
        assert (
            shop.client(store_client).get(f"/may?stamp={stamp}&joint=J-05", headers={"accept": "text/html"}).status_code
            == 200
        ), seen
    refused = shop.client("welder").post("/people/W-07/uses", json={"date": "2026-03-01", "process": "GTAW"})
    assert refused.json()["error"] == "access.role"


def test_what_was_written_is_chained_under_the_device_it_came_from(shop: Shop) -> None:
    assert sent(shop.client("welder"), "purge.ended", "W-07").status_code == 200
    assert shop.place.store.events("J-05")[-1].device == "d-1"


def test_others_entries_are_not_taken_back(shop: Shop) -> None:
    mine = sent(shop.client("welder"), "draught.felt", "W-07").json()["event"]
    theirs = sent(shop.client("inspector"), "draught.felt", "E-04").json()["event"]

    def withdrawn(role: str, event: str) -> Any:
        body = {"kind": "event.withdrawn", "facts": {"why": "slip"}, "by": STAMPS[role], "corrects": event}
        return shop.client(role).post("/joints/J-05/events", json=body)

    assert withdrawn("welder", theirs).json()["error"] == "access.not_yours"
    assert withdrawn("welder", mine).status_code == 200
    release = sent(shop.client("inspector"), "hold_point.released", "E-04", hold_point="root", stamp="E-04").json()[
        "event"
    ]
    assert withdrawn("engineer", release).json()["error"] == "access.not_yours"


FORM = {"accept": "text/html", "content-type": "application/x-www-form-urlencoded", "origin": "http://testserver"}


def test_a_form_carries_the_token_of_its_session(shop: Shop) -> None:
    client = shop.client("foreman")
    page = client.get("/crew", headers={"accept": "text/html"}).text
    forms = re.findall(r"<form\b[^>]*method=\"post\"[^>]*>(.{0,70})", page, re.S)
    assert len(forms) > 5
    token = re.search(r'name="csrf" value="(\w+)"', page)
    assert token and all('name="csrf"' in form for form in forms)
    good = client.post("/crew/take-on", content=f"stamp=W-11&roles=helper&csrf={token[1]}", headers=FORM)
    assert good.status_code == 200
    assert shop.gate.crew().roles("W-11") == {"helper"}
    for body in ("stamp=W-12&roles=helper", "stamp=W-12&roles=helper&csrf=" + "0" * 32):
        assert client.post("/crew/take-on", content=body, headers=FORM).status_code == 403
    assert not shop.gate.crew().roles("W-12")


@pytest.mark.parametrize("kind", ["text/plain", "multipart/form-data; boundary=x", ""])
def test_what_another_site_can_send_unasked_is_not_taken(shop: Shop, kind: str) -> None:
    body = b'{"kind": "purge.ended", "facts": {}, "by": "W-07"}'
    before = len(shop.place.store.events("J-05"))
    answer = shop.client("welder").post("/joints/J-05/events", content=body, headers={"content-type": kind})
    assert answer.status_code in (403, 422)
    assert len(shop.place.store.events("J-05")) == before
    foreign = {"origin": "http://elsewhere.example", "content-type": "application/json"}
    assert shop.client("welder").post("/joints/J-05/events", content=body, headers=foreign).status_code == 403


def test_cookies_are_kept_from_scripts_and_from_other_sites(shop: Shop) -> None:
    answer = shop.client().post("/sign-in", json={"stamp": "V-09", "pin": PIN})
    line = answer.headers["set-cookie"].lower()
    assert "httponly" in line and "samesite=strict" in line
    assert (
        shop.client("viewer")
        .get("/", headers={"accept": "text/html"})
        .headers["content-security-policy"]
        .startswith("default-src 'self'")
    )


def test_a_session_ends_when_it_is_revoked_and_when_its_person_goes(shop: Shop) -> None:
    take_on(shop.place, "W-20", "welder", by="F-02")
    shop.gate.doors.set_pin("W-20", PIN)
    shop.gate.changed()
    client = shop.client()
    client.cookies.set("brightroot_session", shop.gate.doors.sign_in("W-20", PIN, "d-1"))
    assert client.get("/api/joints").status_code == 200
    assert shop.client("foreman").post("/crew/sign-out", json={"stamp": "W-20"}).status_code == 200
    assert client.get("/api/joints").status_code == 401
    client.cookies.set("brightroot_session", shop.gate.doors.sign_in("W-20", PIN, "d-1"))
    assert shop.client("foreman").post("/crew/release", json={"stamp": "W-20", "why": "left"}).status_code == 200
    assert client.get("/api/joints").status_code == 401
    with pytest.raises(Refused, match="PIN"):
        shop.gate.doors.sign_in("W-20", PIN, "d-1")


def test_a_session_serves_on_its_own_device_only(shop: Shop) -> None:
    cookie, _ = shop.gate.doors.admit("d-2")
    shop.place.store.append(
        "access/shop", "2026-03-02T10:00:00Z", "F-02", "device.enrolled",
        {"device": "d-2", "device_name": "other", "public_key": "0" * 64, "held": "server"},
    )  # fmt: skip
    shop.gate.changed()
    client = shop.client("foreman", device=False)
    client.cookies.set("brightroot_device", cookie)
    assert client.get("/api/joints").status_code == 401
    assert shop.client("foreman").post("/crew/revoke", json={"device": "d-2", "why": "lost"}).status_code == 200
    assert client.get("/sign-in").json()["error"] == "access.device"


def test_the_last_foreman_stays(shop: Shop) -> None:
    answer = shop.client("foreman").post("/crew/release", json={"stamp": "F-02", "why": "left"})
    assert answer.json()["error"] == "access.last_foreman"


def test_too_large_is_refused_whether_its_length_is_told_or_not(shop: Shop) -> None:
    client = shop.client("welder")
    told = client.post("/joints/J-05/events", content=b"x" * 1_000_001, headers={"content-type": "application/json"})
    assert told.status_code == 413

    def pieces() -> Iterator[bytes]:
        for _ in range(30):
            yield b'"' + b"x" * 100_000

    untold = client.post("/joints/J-05/events", content=pieces(), headers={"content-type": "application/json"})
    assert untold.status_code == 413


def test_half_a_letter_is_refused_in_words(shop: Shop) -> None:
    client = shop.client("welder")
    for body in (
        b'{"kind":"pl\\ud800","facts":{},"by":"W-07"}',
        b'{"kind":"purge.ended","facts":{"x\\ud800":"1"},"by":"W-07"}',
    ):
        answer = client.post("/joints/J-05/events", content=body, headers={"content-type": "application/json"})
        assert (answer.status_code, answer.json()["ok"]) == (422, False)
    page = client.post(
        "/joints/J-05/like",
        content=b'{"by":"\\ud800"}',
        headers={**JSON, "content-type": "application/json", "accept": "text/html"},
    )
    assert page.status_code in (403, 422)


def test_on_this_machine_alone_nobody_is_asked_and_no_other_name_leads_here() -> None:
    store = memory_store()
    place = Place(load_library(), store, lambda: NOW_S)
    client = TestClient(build(place, here_only=True), base_url="http://127.0.0.1:8017", headers={"accept": "text/html"})
    assert client.get("/").status_code == 200
    assert client.get("/sign-in").status_code == 200
    assert client.get("/", headers={"host": "localhost:8017"}).status_code == 200
    assert client.get("/", headers={"host": "rebound.example:8017"}).status_code == 403
    store.close()
