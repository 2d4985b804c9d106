"""Ten thousand files and bodies that are nearly right, or not at all: taken, or refused in words, never a fault of ours."""

from __future__ import annotations

import json
import random
import warnings
from collections import Counter
from typing import Any
from unittest.mock import patch

from benchmarks.record_tampering import bundle
from brightroot.base.errors import Refused
from brightroot.model.codec import canonical
from brightroot.store.bundle import bundle_bytes
from brightroot.store.carry import SIGNATURES, bring_in
from brightroot.store.keys import holds
from brightroot.store.logs import memory_store
from brightroot.store.verifier import unpacked

SEED = 20261125
IMPORTS, UPLOADS = 8000, 2400


def fuzz(imports: int = IMPORTS, uploads: int = UPLOADS, *, seed: int = SEED) -> dict[str, Any]:
    """How many were taken and refused, and every one that ended otherwise."""
    draw = random.Random(seed)
    found: Counter[str] = Counter()
    faults: list[str] = []
    _imports(imports, draw, found, faults)
    _uploads(uploads, draw, found, faults)
    return {"seed": seed, "tried": imports + uploads, **dict(sorted(found.items())), "faults": faults[:20]}


def _imports(count: int, draw: random.Random, found: Counter[str], faults: list[str]) -> None:
    whole = bundle()[0]
    files = unpacked(whole)
    store = memory_store("elsewhere")

    def quick(key: bytes, message: bytes, signature: bytes) -> bool:
        return holds(key.hex(), message, signature)

    with patch("brightroot.store.proof.signed", quick):
        for n in range(count):
            data = _bent_file(whole, files, draw)
            before = store.counts()["events"]
            try:
                made = bring_in(store, data)
                found["imports taken"] += 1
                if store.counts()["events"] - before != len(made.events.added):
                    faults.append(f"import {n}: the count is wrong")
            except Refused:
                found["imports refused"] += 1
                if store.counts()["events"] != before:
                    faults.append(f"import {n}: refused, and yet something was taken")
            except Exception as fault:
                faults.append(f"import {n}: {type(fault).__name__} {fault}"[:200])
    store.close()


def _bent_file(whole: bytes, files: dict[str, bytes], draw: random.Random) -> bytes:
    """Bits turned, pieces cut out or doubled; or a bundle packed anew around lines that are no good."""
    way = draw.randrange(6)
    if draw.random() < 0.03:
        return whole  # so that the way in is tried as well
    if way == 0:
        return draw.randbytes(draw.randrange(2000))
    if way == 1:
        return whole[: draw.randrange(len(whole))]
    if way == 2:
        at, size = draw.randrange(len(whole)), draw.randrange(1, 400)
        return whole[:at] + draw.choice((b"", draw.randbytes(size), whole[at : at + size] * 2)) + whole[at + size :]
    lines, proof = files["log.jsonl"].splitlines(), json.loads(files[SIGNATURES])
    at = draw.randrange(len(lines))
    event = json.loads(lines[at])
    name = draw.choice(sorted(event))
    event[name] = draw.choice(
        (None, "", "x" * 70_000, -1, 2**70, 1e300, [], {}, [[[]]], True, "\ud800", "9999-12-31T23:59:59Z")
    )
    if way == 3:
        del event[name]
    try:
        lines[at] = canonical(event)
    except (TypeError, ValueError):
        lines[at] = json.dumps(event).encode()
    if way == 4:
        draw.shuffle(lines)
    proof[draw.choice(sorted(proof))] = draw.choice((None, [], {}, 7, "x", [None], {"bench": 7}, [[["x"]]]))
    signed = {SIGNATURES: json.dumps(proof).encode()} if draw.random() < 0.5 else {}
    try:
        return bundle_bytes(stored=lines, attachments={}, files=signed, about={})[0]
    except (Refused, UnicodeEncodeError):
        return b"PK\3\4" + b"\n".join(lines)


def _uploads(count: int, draw: random.Random, found: Counter[str], faults: list[str]) -> None:
    from brightroot.app.plan_joint import declare
    from brightroot.app.ports import Place
    from brightroot.cli.demo import SMALL, facts
    from brightroot.library.load import load_library
    from brightroot.web.server import build

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from fastapi.testclient import TestClient
    place = Place(load_library(), memory_store(), lambda: 1_772_448_120.0)
    declare(place, facts("J-05", position="5G", pipe=SMALL), by="W-07")
    client = TestClient(build(place), raise_server_exceptions=False, follow_redirects=False)
    for n in range(count):
        path, body, head = _bent_body(draw)
        answer = client.post(path, content=body, headers=head)
        found[f"uploads answered {answer.status_code}"] += 1
        if answer.status_code >= 500:
            faults.append(f"upload {n}: {answer.status_code} {path} {head} {body[:60]!r}")


def _bent_body(draw: random.Random) -> tuple[str, bytes, dict[str, str]]:
    path = draw.choice(
        ("/joints/J-05/photos", "/joints/J-05/events", "/people/W-07/uses", "/people/W-07/qualifications",
         "/api/joints/J-05/events", "/api/plan", "/rules/confirm", "/settings", "/joints/J-05/like")
    )  # fmt: skip
    kind = draw.choice(
        ("application/json", "image/jpeg", "image/png", "text/plain", "multipart/form-data; boundary=x", "multipart/form-data",
         "application/x-www-form-urlencoded", "application/json; charset=utf-16", "image/\x7f", "")
    )  # fmt: skip
    good = {
        "kind": "oxygen.read",
        "facts": {"state": "reading", "oxygen_frac": "84 ppm", "place": "vent"},
        "by": "W-07",
        "date": "2026-03-01",
        "process": "GTAW",
    }
    name = draw.choice(sorted(good))
    value: Any = draw.choice(
        (
            None,
            "",
            "x" * 3000,
            -1,
            2**70,
            1e308,
            [],
            {},
            {"oxygen_frac": {"a": 1}},
            "\x00",
            "\ud800",
            "1e400 ppm",
            "NaN",
        )
    )
    body = json.dumps({**good, name: value}).encode()
    way = draw.randrange(5)
    if way == 0:
        body = draw.randbytes(draw.randrange(600))
    elif way == 1:
        body = body[: draw.randrange(len(body))]
    elif way == 2:
        file = draw.choice(("a.pdf", "../../x", "", "ä"))
        part = f'--x\r\nContent-Disposition: form-data; name="{name}"; filename="{file}"\r\n\r\n'
        body = part.encode() + draw.randbytes(draw.randrange(900)) + draw.choice((b"\r\n--x--", b""))
    elif way == 3:
        body = (
            b"&".join(f"facts.{key}={draw.choice(('', '84', '%ff', '%00', '[]'))}".encode() for key in good)
            + b"&kind=oxygen.read"
        )
    return (
        path,
        body,
        {
            "content-type": kind.encode("latin-1", "replace").decode("latin-1"),
            "accept": draw.choice(("application/json", "text/html")),
        },
    )


if __name__ == "__main__":
    from benchmarks.record_faults import _write

    _write({"fuzz": fuzz()})
