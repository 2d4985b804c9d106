"""Events from elsewhere: each is taken in, known already, kept aside with the reason, or waits for the one before it.

The log is a set of chains: nothing is skipped, nothing overwritten, and the same file brought twice changes nothing.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from sqlalchemy import Column, Connection, Integer, LargeBinary, Table, Text, delete, insert, select

from brightroot.base.errors import Broken, Refused
from brightroot.base.instant import seconds_of
from brightroot.model.event import Event
from brightroot.model.streams import CREW
from brightroot.store.engine import EVENTS, METADATA, keep_last
from brightroot.store.keys import EVENT, KEYS, holds, keep_signatures

LARGEST_EVENT = 262_144
AHEAD_S = 25 * 3600.0  # a clock may be a day off

ASIDE = Table(
    "aside",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("digest", Text, nullable=False, unique=True),
    Column("stored", LargeBinary, nullable=False),
    Column("reason", Text, nullable=False),  # waits | unreadable | oversized | clock | forged | unchained
    Column("received", Text, nullable=False),
)


@dataclass(frozen=True, slots=True)
class Received:
    """What became of sealed events from elsewhere. `aside`: (which, why), for a person to look at."""

    added: tuple[str, ...]
    known: tuple[str, ...]
    forked: tuple[str, ...]
    waiting: tuple[str, ...] = ()
    aside: tuple[tuple[str, str], ...] = ()


@dataclass(slots=True)
class Found:
    """What the store lends to the work: how an event is opened, inserted, set aside as a fork."""

    opened: Callable[[bytes], Event]
    row: Callable[..., dict[str, Any]]
    fork: Callable[..., None]
    own: str
    now_s: float
    received: str


def take_in(
    connection: Connection, given: Sequence[bytes], signatures: Sequence[Mapping[str, Any]], found: Found
) -> Received:
    """Take in what fits. What waited for a predecessor that has now come is taken in as well."""
    by_digest: dict[str, list[Mapping[str, Any]]] = {}
    for one in signatures:
        by_digest.setdefault(str(one.get("digest")), []).append(one)
    keys = _keys(connection, found.own)
    readable: dict[str, tuple[Event, bytes]] = {}
    aside: dict[str, tuple[str, bytes, str]] = {}
    for stored in given:
        digest = sha256(stored).hexdigest()
        event, why = _read(stored, by_digest.get(digest, []), keys, found)
        if event is None or why:
            aside[digest] = (event.id if event else digest[:12], stored, why)
        else:
            readable[digest] = (event, stored)
    for row in connection.execute(select(ASIDE).where(ASIDE.c.reason == "waits")):
        readable.setdefault(row.digest, (found.opened(row.stored), row.stored))
    told: dict[str, list[str]] = {"added": [], "known": [], "forked": [], "waits": []}
    for digest, (event, stored) in sorted(readable.items(), key=lambda item: _order(item[1][0], item[0])):
        what = _placed(connection, event, stored, found)
        if what in ("waits", "unchained"):
            aside[digest] = (event.id, stored, what)
            told.setdefault(what, []).append(event.id)
        else:
            told[what].append(event.id)
            connection.execute(delete(ASIDE).where(ASIDE.c.digest == digest))
            keep_signatures(connection, [dict(one) for one in by_digest.get(digest, [])])
    for digest, (_, stored, why) in aside.items():
        kept = {"digest": digest, "stored": stored[:LARGEST_EVENT], "reason": why, "received": found.received}
        keep_last(connection, ASIDE, [kept], key="digest")
    refused = tuple((name, why) for name, _, why in aside.values() if why != "waits")
    added, known, forked, waiting = (tuple(told[what]) for what in ("added", "known", "forked", "waits"))
    return Received(added, known, forked, waiting, refused)


def _order(event: Event, digest: str) -> tuple[str, str, str, int, str]:
    return event.joint, event.device, event.epoch, event.seq, digest


def _read(
    stored: bytes, signatures: Sequence[Mapping[str, Any]], keys: Mapping[str, frozenset[str]], found: Found
) -> tuple[Event | None, str]:
    if len(stored) > LARGEST_EVENT:
        return None, "oversized"
    try:
        event = found.opened(stored)
        ahead_s = seconds_of(event.at_utc) - found.now_s
    except (Broken, Refused, ValueError, OverflowError, RecursionError):
        return None, "unreadable"
    if event.seq < 1 or (event.seq == 1) != (event.prev == ""):
        return event, "unchained"
    if ahead_s > AHEAD_S:
        return event, "clock"
    if not all(_fits(one, event, keys) for one in signatures):
        return event, "forged"
    return event, ""


def _fits(one: Mapping[str, Any], event: Event, keys: Mapping[str, frozenset[str]]) -> bool:
    """A signature of the event fits; where the device is known here, it is by one of the keys that may sign for it."""
    if one.get("form") != "event":
        return one.get("form") == "tap"
    try:
        signature, digest, key = bytes.fromhex(str(one["signature"])), str(one["digest"]), str(one["key"])
    except (KeyError, ValueError):
        return False
    return key in keys.get(event.device, {key}) and holds(key, EVENT + digest.encode(), signature)


def _keys(connection: Connection, own: str) -> dict[str, frozenset[str]]:
    """The keys that may sign for a device, as far as it is known here: its own, or this machine's where it holds none."""
    own_key = connection.scalar(select(KEYS.c.public_key).where(KEYS.c.device == own))
    found = {own: frozenset({own_key})} if own_key else {}
    for stored in connection.scalars(select(EVENTS.c.stored).where(EVENTS.c.joint == CREW)):
        event = json.loads(stored)
        if event["kind"] == "device.enrolled":
            data = event["data"]
            keys = {data["public_key"]} if data["held"] == "server" else {data["public_key"], own_key or ""}
            found.setdefault(data["device"], frozenset(keys))
    return found


def _placed(connection: Connection, event: Event, stored: bytes, found: Found) -> str:
    c = EVENTS.c
    chain = (c.joint == event.joint, c.device == event.device, c.epoch == event.epoch)
    here = connection.execute(select(c.id, c.stored).where(*chain, c.seq == event.seq)).first()
    if here is not None:
        if here.stored == stored:
            return "known"
        found.fork(connection, event, stored, here.id, seq=event.seq)
        return "forked"
    if event.seq > 1:
        before = connection.execute(select(c.stored).where(*chain, c.seq == event.seq - 1)).first()
        if before is None:
            return "waits"
        if sha256(before.stored).hexdigest() != event.prev:
            return "unchained"
    connection.execute(insert(EVENTS), found.row(event, stored, seq=event.seq, client_id=None))
    return "added"


def kept_aside(connection: Connection) -> list[dict[str, str]]:
    """What is kept aside, with its reason, oldest first."""
    rows = connection.execute(select(ASIDE).order_by(ASIDE.c.id)).all()
    return [
        {
            "digest": r.digest,
            "reason": r.reason,
            "received": r.received,
            "begins": r.stored[:120].decode("utf-8", "replace"),
        }
        for r in rows
    ]
