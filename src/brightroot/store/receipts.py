"""What a server hands out for what it has saved: the event's digest and the signed root of its whole log by then.

Whoever keeps a receipt can show later that the log once held the event, whatever became of the log.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from hashlib import sha256
from threading import Lock
from typing import Any

from sqlalchemy import Connection, select

from brightroot.base.tree import Frontier, paths
from brightroot.model.codec import canonical
from brightroot.model.streams import CREW
from brightroot.store.engine import EVENTS
from brightroot.store.keys import HEAD, KEYS, Keys, public_hex, signatures_of


class Receipts:
    """The root of everything in the order in which it came, kept up with the file."""

    def __init__(self, keys: Keys, epoch: str) -> None:
        self._keys = keys
        self._epoch = epoch
        self._lock = Lock()
        self._tree = Frontier()
        self._last = 0

    def head(self, connection: Connection) -> dict[str, Any]:
        """The signed head: how many events, and the root over them."""
        with self._lock:
            c = EVENTS.c
            for row in connection.execute(select(c.id, c.digest).where(c.id > self._last).order_by(c.id)):
                self._tree.add(bytes.fromhex(row.digest))
                self._last = row.id
            told = {"size": self._tree.size, "root": self._tree.root().hex(), "epoch": self._epoch}
        key = self._keys.of(connection, self._keys.own)
        return {**told, "key": public_hex(key), "signature": key.sign(HEAD + canonical(told)).hex()}

    def receipt(self, connection: Connection, event_id: str, digest: str) -> dict[str, Any]:
        """The receipt of one event."""
        return {"event": event_id, "digest": digest, **self.head(connection)}

    def proof(self, connection: Connection, stored: Sequence[bytes]) -> dict[str, Any]:
        """Signatures of those events, their places in the whole log, and the keys of the devices by the crew's log."""
        digests = [sha256(one).hexdigest() for one in stored]
        c = EVENTS.c
        everything = connection.execute(select(c.id, c.digest).order_by(c.id)).all()
        index = {row.digest: at for at, row in enumerate(everything)}
        here = [digest for digest in digests if digest in index]
        found = paths([bytes.fromhex(row.digest) for row in everything], [index[digest] for digest in here])
        places = {
            digest: {"index": index[digest], "path": [step.hex() for step in path]}
            for digest, path in zip(here, found, strict=True)
        }
        return {
            "head": self.head(connection),
            "places": places,
            "signatures": signatures_of(connection, digests),
            "keys": self._known(connection),
        }

    def _known(self, connection: Connection) -> dict[str, str]:
        """Each device's public key: this machine's own, and those that the crew's log names."""
        found = {row.device: row.public_key for row in connection.execute(select(KEYS.c.device, KEYS.c.public_key))}
        c = EVENTS.c
        for stored in connection.scalars(select(c.stored).where(c.joint == CREW).order_by(c.id)):
            event = json.loads(stored)
            if event["kind"] == "device.enrolled":
                found.setdefault(event["data"]["device"], event["data"]["public_key"])
        return found
