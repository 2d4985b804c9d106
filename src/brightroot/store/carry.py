"""Logs from one machine to another by a file: the same sealed form as a dossier's bundle, merged as a set of events."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from brightroot.base.errors import Refused
from brightroot.model.codec import canonical
from brightroot.store.bundle import ENDINGS, bundle_bytes
from brightroot.store.intake import Received
from brightroot.store.logs import Store
from brightroot.store.verifier import ATTACHMENTS, LOG, examine, unpacked

SIGNATURES = "signatures.json"
TYPES = {ending: media_type for media_type, ending in ENDINGS.items()}


@dataclass(frozen=True, slots=True)
class Brought:
    """What became of a file: whose log it was, its events, and how many attachments were new."""

    log: str
    events: Received
    attachments_count: int


def carried(store: Store, log: str) -> bytes:
    """A log with all that it names, signatures and places included, as one file."""
    stored = store.stored(log)
    if not stored:
        raise Refused(field="joint", wanted="a log with entries", got=log, reason="refused.joint")
    named = {
        str(value)
        for event in store.events(log)
        for name, value in event.data.items()
        if name.endswith("_sha256") and isinstance(value, str)
    }
    attached = {name: block for name in sorted(named) if (block := store.attachment(name)) is not None}
    files = {SIGNATURES: canonical(store.proof(log))}
    return bundle_bytes(stored=stored, attachments=attached, files=files, about={"carried": log})[0]


def bring_in(store: Store, data: bytes) -> Brought:
    """Merge a file's events into the logs here. A file in which anything does not fit is refused whole, with the place.

    Bringing the same file again changes nothing; what contradicts an event here is kept aside beside it.
    """
    found = examine(data)
    if not found["ok"]:
        first = found["faults"][0]
        where = " ".join(str(first[name]) for name in ("file", "record", "says") if first.get(name))
        raise Refused(field="file", wanted="a file that checks", got=where[:300], reason="access.file")
    files = unpacked(data)
    signatures = _signatures(files.get(SIGNATURES, b"{}"))
    new = 0
    for name, content in files.items():
        if name.startswith(ATTACHMENTS):
            digest, _, ending = name.removeprefix(ATTACHMENTS).partition(".")
            new += store.attachment(digest) is None
            store.put_attachment(content, TYPES.get(ending, "application/octet-stream"))
    plan = files.get("plan.json")
    if plan is not None:
        store.put_attachment(plan, "application/json")
    stored = files.get(LOG, b"").splitlines()
    return Brought(str(found["joint"]), store.receive(stored, signatures), new)


def _signatures(content: bytes) -> list[Mapping[str, Any]]:
    told = json.loads(content)
    listed = told.get("signatures", []) if isinstance(told, dict) else []
    return [one for one in listed if isinstance(one, dict)]
