"""Random tampering with a signed bundle, by somebody who may rewrite everything but has none of the keys."""

from __future__ import annotations

import json
import random
from collections import Counter
from collections.abc import Callable
from typing import Any
from unittest.mock import patch

from brightroot.model.codec import canonical
from brightroot.model.entry import entered
from brightroot.model.event import Event
from brightroot.records.seal import digest, log_head, sealed
from brightroot.store.bundle import bundle_bytes
from brightroot.store.carry import SIGNATURES
from brightroot.store.keys import holds
from brightroot.store.logs import memory_store
from brightroot.store.verifier import examine, unpacked

SEED = 20261125
COUNT = 5000
AT = "2026-03-02T10:{:02d}:00Z"
Parts = tuple[list[bytes], dict[str, Any]]


def bundle() -> tuple[bytes, str, list[str]]:
    """A bundle of twelve entries of two devices with a photo; the head on its paper; the entries' names in order."""
    store = memory_store()
    name = store.put_attachment(bytes(range(256)), "image/jpeg")
    for n in range(11):
        data = entered("oxygen.read", {"state": "reading", "oxygen_frac": f"{90 - n} ppm", "place": "vent"})
        store.append("J-05", AT.format(n), "W-07", "oxygen.read", data, device="" if n % 3 else "d-1")
    store.append(
        "J-05", AT.format(11), "W-07", "photo.taken", {"subject": "root", "brushed": False, "photo_sha256": name}
    )
    stored = store.stored("J-05")
    names = [f"{e.device}.{e.epoch}.{e.seq}" for e in store.events("J-05")]
    made = _packed(list(stored), store.proof("J-05"), {name: (bytes(range(256)), "image/jpeg")})
    store.close()
    return made, log_head(stored), names


def _packed(stored: list[bytes], proof: dict[str, Any], attached: Any) -> bytes:
    files = {SIGNATURES: canonical(proof)}
    return bundle_bytes(stored=stored, attachments=attached, files=files, about={"room": "hall 3"})[0]


def _reworded(stored: bytes, draw: random.Random) -> bytes:
    event = json.loads(stored)
    event[draw.choice(("by", "at_utc"))] = draw.choice(("W-99", "2026-03-01T09:00:00Z", "E-04"))
    return canonical(event)


def _rechained(stored: list[bytes], at: int, draw: random.Random) -> list[bytes]:
    """An entry reworded, and every entry after it in its chain made to follow it."""
    lines = [json.loads(one) for one in stored]
    lines[at]["by"] = f"W-{draw.randint(10, 99)}"
    prev: dict[str, str] = {}
    out = []
    for line in lines:
        chain = f"{line['device']} {line['epoch']}"
        out.append(sealed(Event(**line), prev.get(chain, "")))
        prev[chain] = digest(out[-1])
    return out


def ways() -> dict[str, Callable[[Parts, random.Random], tuple[Parts, int]]]:
    """What is done to the log and its signatures; the place (from 0) at which it must be found, or −1 for the end."""

    def word(parts: Parts, draw: random.Random) -> tuple[Parts, int]:
        stored, proof = parts
        at = draw.randrange(len(stored))
        return ([*stored[:at], _reworded(stored[at], draw), *stored[at + 1 :]], proof), at

    def chain(parts: Parts, draw: random.Random) -> tuple[Parts, int]:
        stored, proof = parts
        at = draw.randrange(len(stored))
        return (_rechained(stored, at, draw), proof), at

    def gone(parts: Parts, draw: random.Random) -> tuple[Parts, int]:
        stored, proof = parts
        at = draw.randrange(1, len(stored))
        return ([*stored[:at], *stored[at + 1 :]], proof), -1

    def cut(parts: Parts, draw: random.Random) -> tuple[Parts, int]:
        stored, proof = parts
        return (stored[: draw.randrange(1, len(stored))], proof), -1

    def more(parts: Parts, draw: random.Random) -> tuple[Parts, int]:
        stored, proof = parts
        last = json.loads(stored[-1])
        made = sealed(Event(**{**last, "seq": last["seq"] + 1, "by": f"W-{draw.randint(10, 99)}"}), digest(stored[-1]))
        return ([*stored, made], proof), len(stored)

    def signature(parts: Parts, draw: random.Random) -> tuple[Parts, int]:
        stored, proof = parts
        at, other = draw.sample(range(len(stored)), 2)
        told = {one["digest"]: one for one in proof["signatures"]}
        mine = {**told[digest(stored[at])], "signature": told[digest(stored[other])]["signature"]}
        return (
            stored,
            {**proof, "signatures": [mine if o["digest"] == mine["digest"] else o for o in proof["signatures"]]},
        ), at

    def place(parts: Parts, draw: random.Random) -> tuple[Parts, int]:
        stored, proof = parts
        at = draw.randrange(len(stored))
        one = proof["places"][digest(stored[at])]
        moved = {**one, "index": one["index"] + draw.choice((-1, 1))}
        return (stored, {**proof, "places": {**proof["places"], digest(stored[at]): moved}}), at

    def head(parts: Parts, draw: random.Random) -> tuple[Parts, int]:
        stored, proof = parts
        change = draw.choice(
            ({"size": draw.randint(13, 99)}, {"root": f"{draw.getrandbits(256):064x}"}, {"epoch": "x"})
        )
        return (stored, {**proof, "head": {**proof["head"], **change}}), -2

    return {f.__name__: f for f in (word, chain, gone, cut, more, signature, place, head)}


def tamper(count: int = COUNT, *, seed: int = SEED) -> dict[str, Any]:
    """So many tamperings, how many were found, and how many in the right place; half of them are flipped bytes."""
    draw = random.Random(seed)
    whole, paper, names = bundle()
    files = unpacked(whole)
    stored, proof = files["log.jsonl"].splitlines(), json.loads(files[SIGNATURES])
    attached = {
        n.split("/")[1].split(".")[0]: (c, "image/jpeg") for n, c in files.items() if n.startswith("attachments/")
    }
    found: Counter[str] = Counter()
    misses: list[str] = []

    def quick(key: bytes, message: bytes, signature: bytes) -> bool:
        return holds(key.hex(), message, signature)

    with patch("brightroot.store.proof.signed", quick):  # that both say the same has a test of its own
        assert examine(whole, paper)["ok"]
        for n in range(count):
            if n % 2:
                name, report, right = _flipped(whole, paper, draw)
            else:
                name = draw.choice(sorted(ways()))
                (log, proofs), at = ways()[name]((list(stored), proof), draw)
                report = examine(_packed(log, proofs, attached), paper)
                right = _located(report, at, names)
            found[f"{name} made"] += 1
            found[f"{name} found"] += not report["ok"]
            found[f"{name} located"] += right and not report["ok"]
            if report["ok"] or not right:
                misses.append(f"{n} {name}")
    told = {word: sum(v for k, v in found.items() if k.endswith(word)) for word in ("made", "found", "located")}
    return {"seed": seed, **told, "by_way": dict(sorted(found.items())), "misses": misses[:20]}


def _flipped(whole: bytes, paper: str, draw: random.Random) -> tuple[str, dict[str, Any], bool]:
    """One bit of the file turned: the file that it lies in must be named, or the container."""
    at = draw.randrange(len(whole))
    other = bytearray(whole)
    other[at] ^= 1 << draw.randrange(8)
    report = examine(bytes(other), paper)
    located = any(fault["file"] or fault["offset"] is not None for fault in report["faults"])
    return "bit", report, located


def _located(report: dict[str, Any], at: int, names: list[str]) -> bool:
    """Whether a fault names the entry; the end and the head have no entry, and are named as such."""
    faults = report["faults"]
    if at == -2:
        return any(fault["file"] == SIGNATURES for fault in faults)
    if at == -1 or at >= len(names):
        return any(fault["file"] in ("log.jsonl", "manifest.json") for fault in faults)
    return any(fault["record"] == names[at] for fault in faults)
