"""The store of logs: append, read, attach. Nothing in it is ever changed, and what it says is saved is on disk."""

from __future__ import annotations

import json
import re
import secrets
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, Connection, Engine, Row, and_, func, insert, or_, select
from sqlalchemy.exc import DatabaseError

from brightroot.base.errors import Broken, Refused
from brightroot.base.instant import seconds_of
from brightroot.model.codec import canonical, from_data, to_data
from brightroot.model.event import Event
from brightroot.model.streams import RESERVED
from brightroot.store.engine import (
    ATTACHMENTS,
    CONFLICTS,
    EVENTS,
    SETTINGS,
    SHAPE,
    keep_last,
    keep_new,
    open_engine,
    writing,
)
from brightroot.store.intake import ASIDE, Found, kept_aside, take_in
from brightroot.store.intake import Received as Received
from brightroot.store.keys import Keys, Tap
from brightroot.store.lengths import Lengths
from brightroot.store.receipts import Receipts
from brightroot.store.remembered import Remembered
from brightroot.store.server_engine import SCHEME
from brightroot.store.writer import Writer

T = TypeVar("T")
Held = tuple[int, tuple[bytes, ...], tuple[Event, ...]]  # up to which number, as stored, opened
HELD_MOST = 1000  # so many logs are held; then all are read anew when asked


class Store:
    """One file of logs and attachments, written by one thread, safe to share between threads."""

    def __init__(self, engine: Engine, *, device: str, epoch: str, in_memory: bool) -> None:
        self.device = device
        self.epoch = epoch
        self._engine = engine
        self._in_memory = in_memory
        self._writer = Writer(engine)
        self._remembered = Remembered()
        self._keys = Keys(device)
        self._receipts = Receipts(self._keys, epoch)
        self._lengths = Lengths(self._counted)
        self._logs: dict[str, Held] = {}

    def append(
        self,
        joint: str,
        at_utc: str,
        by: str,
        kind: str,
        data: Mapping[str, Any],
        corrects: str = "",
        client_id: str = "",
        version: int = 1,
        device: str = "",
        tap: Tap | None = None,
    ) -> Event:
        """Seal, sign and save one event; it returns once the event is on disk.

        The same `client_id` sent again answers with the event already saved. With other facts it is Refused and kept
        aside among the conflicts. `device`: an enrolled device that it is chained under; this machine without it.
        """
        seconds_of(at_utc)
        for field, value in (("joint", joint), ("kind", kind)):
            if not value.strip():
                raise Refused(field=field, wanted="some words", got="nothing", reason="refused.missing")
        event = Event(joint, device or self.device, self.epoch, 0, at_utc, by, kind, to_data(data), version, corrects)
        event = _opened(_bytes_of(event))  # what cannot be stored is refused before anything is written
        saved = self._writer.run(lambda connection: _append(connection, event, client_id, self._keys, tap))
        self._lengths.written(joint)
        if isinstance(saved, Refused):
            raise saved
        return saved

    def receive(self, stored: Sequence[bytes], signatures: Sequence[Mapping[str, Any]] = ()) -> Received:
        """Take in events sealed elsewhere. The same again is harmless; other bytes under a known key are kept aside,
        and so is whatever is unreadable, forged or too early; a gap in a chain is waited for."""
        now = datetime.now(UTC)
        found = Found(_opened, _row, _set_aside, self.device, now.timestamp(), now.isoformat(timespec="milliseconds"))
        taken = self._writer.run(lambda connection: take_in(connection, stored, signatures, found))
        self._lengths.forget()
        return taken

    def aside(self) -> list[dict[str, str]]:
        """What is kept aside and why, and what waits for the event before it."""
        return self._read(kept_aside)

    def aside_stored(self) -> tuple[bytes, ...]:
        """The stored bytes of what is kept aside or waits, as they came."""
        return self._read(lambda connection: tuple(connection.scalars(select(ASIDE.c.stored).order_by(ASIDE.c.id))))

    def receipt(self, event: Event) -> dict[str, Any]:
        """What shows later that this event was in the log: its digest, and the signed root of the log by now."""
        c = EVENTS.c
        key = (c.joint == event.joint, c.device == event.device, c.epoch == event.epoch, c.seq == event.seq)
        query = select(c.digest).where(*key)
        return self._read(
            lambda connection: self._receipts.receipt(connection, event.id, str(connection.scalar(query)))
        )

    def proof(self, joint: str) -> dict[str, Any]:
        """Signatures, places in the whole log and keys, for a bundle."""
        stored = self.stored(joint)
        return self._read(lambda connection: self._receipts.proof(connection, stored))

    def watch(self, joint: str) -> Callable[[], int]:
        """A look at how long that log is, cheap enough for many times a second."""
        return lambda: self._lengths.of(joint)

    def _counted(self, joint: str) -> int:
        query = select(func.count()).select_from(EVENTS).where(EVENTS.c.joint == joint)
        return self._read(lambda connection: int(connection.scalar(query) or 0))

    def events(self, joint: str) -> tuple[Event, ...]:
        """The events of a joint, chain by chain."""
        return self._held(joint)[2]

    def stored(self, joint: str) -> tuple[bytes, ...]:
        """The stored bytes of a joint's events, chain by chain, by number."""
        return self._held(joint)[1]

    def _held(self, joint: str) -> Held:
        """A log as it stands, kept from the last asking: nothing is rewritten, so the same last number is the same log."""
        c = EVENTS.c
        last = select(func.max(c.id)).where(c.joint == joint)
        whole = select(c.stored).where(c.joint == joint).order_by(c.device, c.epoch, c.seq)

        def look(connection: Connection) -> Held:
            newest = int(connection.scalar(last) or 0)
            held = self._logs.get(joint)
            if held is not None and held[0] == newest:
                return held
            stored = tuple(connection.scalars(whole))
            return newest, stored, tuple(map(_opened, stored))

        held = self._read(look)
        if len(self._logs) >= HELD_MOST:
            self._logs.clear()
        self._logs[joint] = held
        return held

    def joints(self) -> tuple[str, ...]:
        """The joints that have a log, in the order in which they came."""
        return self.logs(but=RESERVED)

    def joints_of(self, stamp: str) -> tuple[str, ...]:
        """The joints that a person declared, was given or wrote in, by name."""
        c = EVENTS.c
        word = json.dumps(stamp, ensure_ascii=False)

        def says(*words: str) -> ColumnElement[bool]:
            return and_(*(func.instr(c.stored, one.encode()) > 0 for one in words))

        theirs = or_(says(f'"by":{word}'), says('"kind":"work.given"', f'"stamp":{word}'))
        query = select(c.joint).where(theirs, *(~_begins(other) for other in RESERVED)).distinct().order_by(c.joint)
        return self._read(lambda connection: tuple(connection.scalars(query)))

    def logs(self, under: str = "", *, but: Sequence[str] = ()) -> tuple[str, ...]:
        """The logs whose names begin with `under` and with none of `but`, in the order in which they came."""
        c = EVENTS.c
        wanted = [_begins(under), *(~_begins(other) for other in but)]
        query = select(c.joint).where(*wanted).group_by(c.joint).order_by(func.min(c.id))
        return self._read(lambda connection: tuple(connection.scalars(query)))

    def events_of(self, kinds: Sequence[str], *, by: str) -> tuple[Event, ...]:
        """The events of those kinds, whoever wrote them, in every joint where that person wrote one of the first kind.

        What was found is kept: since nothing is rewritten, the next asking looks only through what came since.
        """
        return self._read(lambda connection: self._remembered.events(connection, tuple(kinds), by, _opened))

    def conflicts(self) -> tuple[Event, ...]:
        """What was kept aside because it contradicts an event already saved."""
        query = select(CONFLICTS.c.stored).order_by(CONFLICTS.c.id)
        return self._read(lambda connection: tuple(_opened(one) for one in connection.scalars(query)))

    def put_attachment(self, content: bytes, media_type: str) -> str:
        """Save a photo or another file; its SHA-256 is its name. Saving it again is harmless."""
        name = sha256(content).hexdigest()
        row = {"sha256": name, "media_type": media_type, "bytes": content}
        self._writer.run(lambda connection: keep_new(connection, ATTACHMENTS, [row]))
        return name

    def attachment(self, name: str) -> tuple[bytes, str] | None:
        """The bytes and media type saved under that SHA-256, or None."""
        query = select(ATTACHMENTS.c.bytes, ATTACHMENTS.c.media_type).where(ATTACHMENTS.c.sha256 == name)
        row = self._read(lambda connection: connection.execute(query).first())
        return None if row is None else (row.bytes, row.media_type)

    def counts(self) -> dict[str, int]:
        """How much is in the file."""

        def count(connection: Connection) -> dict[str, int]:
            tables = {"events": EVENTS, "attachments": ATTACHMENTS, "conflicts": CONFLICTS}
            found = {name: connection.scalar(select(func.count()).select_from(t)) for name, t in tables.items()}
            ours = select(func.count(EVENTS.c.joint.distinct())).where(*(~_begins(other) for other in RESERVED))
            found["joints"] = connection.scalar(ours)
            return {name: number or 0 for name, number in found.items()}

        return self._read(count)

    def locked(self, work: Callable[[Connection], T]) -> T:
        """Do a piece of work on the file, whole or not at all; for what is kept beside the logs."""
        return self._writer.run(work)

    def glance(self, look: Callable[[Connection], T]) -> T:
        """Look without waiting for what is being written."""
        return self._read(look)

    def close(self) -> None:
        """Finish what is being written and let the file go."""
        self._writer.close()
        self._engine.dispose()

    def _read(self, look: Callable[[Connection], T]) -> T:
        if self._in_memory:  # one connection: the reader waits its turn
            return self._writer.run(look)
        with self._engine.connect() as connection:
            return look(connection)


def open_store(path: Path | str, device: str = "bench", *, new_epoch: bool = False) -> Store:
    """The store in that file, or on the server of a `postgresql://` address; made where there is none.

    `new_epoch`: the file was restored from a backup or carried to another machine. Numbers then start anew, so that
    they cannot collide with those that were written elsewhere under the old epoch.
    """
    server = isinstance(path, str) and path.startswith(SCHEME)
    if not server:
        path = Path(path)
        path.parent.mkdir(parents=True, exist_ok=True)
    try:
        return _opened_store(open_engine(path), device, new_epoch=new_epoch, in_memory=False)
    except DatabaseError as fault:
        if isinstance(path, Path):
            raise Broken(where=path.name, wanted="a file of logs", got=str(fault.orig)) from fault
        wanted = "a PostgreSQL that answers and lets tables be made"
        raise Refused(field="store", wanted=wanted, got=f"{_without_password(path)}: {fault.orig}") from fault


def _without_password(url: str) -> str:
    return re.sub(r"(//[^:/@]*):[^@]*@", r"\1@", url)


def memory_store(device: str = "bench") -> Store:
    """A store that lives only as long as the program, for trying things out and for tests."""
    return _opened_store(open_engine(None), device, new_epoch=False, in_memory=True)


MemoryStore = memory_store


def _opened_store(engine: Engine, device: str, *, new_epoch: bool, in_memory: bool) -> Store:
    if not re.fullmatch(r"[A-Za-z0-9_-]+", device):
        raise Refused(field="device", wanted="letters, digits, - and _", got=device)
    try:
        with writing(engine).begin() as connection:
            epoch = _epoch(connection, new=new_epoch)
    except Broken:
        engine.dispose()
        raise
    return Store(engine, device=device, epoch=epoch, in_memory=in_memory)


def _epoch(connection: Connection, *, new: bool) -> str:
    settings: dict[str, str] = {row.name: row.value for row in connection.execute(select(SETTINGS))}
    shape = settings.setdefault("shape", SHAPE)
    if not shape.isdigit() or int(shape) > int(SHAPE):
        raise Broken(where="settings.shape", wanted=f"{SHAPE} or older", got=shape)
    settings["shape"] = SHAPE
    if new or "epoch" not in settings:
        settings["epoch"] = secrets.token_hex(4)
    rows = [{"name": name, "value": value} for name, value in settings.items()]
    keep_last(connection, SETTINGS, rows, key="name")
    return settings["epoch"]


def _begins(under: str) -> ColumnElement[bool]:
    """Whether a log's name begins so, to the letter: LIKE would take a capital for its small letter."""
    return func.substr(EVENTS.c.joint, 1, len(under)) == under


def _append(connection: Connection, event: Event, client_id: str, keys: Keys, tap: Tap | None) -> Event | Refused:
    c = EVENTS.c
    if client_id:
        earlier = connection.execute(select(EVENTS).where(c.joint == event.joint, c.client_id == client_id)).first()
        if earlier is not None:
            return _sent_again(connection, event, earlier)
    query = select(c.seq, c.stored).where(c.joint == event.joint, c.device == event.device, c.epoch == event.epoch)
    last = connection.execute(query.order_by(c.seq.desc()).limit(1)).first()
    seq, prev = (1, "") if last is None else (last.seq + 1, sha256(last.stored).hexdigest())
    stored = _bytes_of(event, seq=seq, prev=prev)
    connection.execute(insert(EVENTS), _row(event, stored, seq=seq, client_id=client_id or None))
    keys.sign_event(connection, event.device, sha256(stored).hexdigest(), tap)
    return _opened(stored)


def _sent_again(connection: Connection, event: Event, earlier: Row[Any]) -> Event | Refused:
    saved = _opened(earlier.stored)
    if (saved.by, saved.kind, saved.corrects, saved.data) == (event.by, event.kind, event.corrects, event.data):
        return saved
    _set_aside(connection, event, _bytes_of(event, seq=saved.seq, prev=saved.prev), earlier.id, seq=saved.seq)
    return Refused(field="client_id", wanted=f"the facts of {saved.id}", got="other facts", reason="refused.conflict")


def _set_aside(connection: Connection, event: Event, stored: bytes, against: int, *, seq: int) -> None:
    row = {**_row(event, stored, seq=seq, client_id=None), "against": against}
    del row["client_id"]
    keep_new(connection, CONFLICTS, [row])


def _row(event: Event, stored: bytes, *, seq: int, client_id: str | None) -> dict[str, Any]:
    return {
        "joint": event.joint,
        "device": event.device,
        "epoch": event.epoch,
        "seq": seq,
        "stored": stored,
        "digest": sha256(stored).hexdigest(),
        "received": datetime.now(UTC).isoformat(timespec="milliseconds"),
        "client_id": client_id,
    }


def _bytes_of(event: Event, *, seq: int = 0, prev: str = "") -> bytes:
    """As records/seal.py seals; a test holds the two together, since the store may not reach into the records."""
    try:
        return canonical({**to_data(event), "seq": seq, "prev": prev})
    except (TypeError, ValueError) as fault:
        raise Refused(field="data", wanted="words, finite numbers, lists and tables", got=str(fault)) from None


@lru_cache(maxsize=16384)
def _opened(stored: bytes) -> Event:
    try:
        return from_data(json.loads(stored), Event)
    except Exception as fault:  # JSON, UTF-8 and cattrs each have their own
        raise Broken(where=repr(stored[:60]), wanted="a stored event", got=type(fault).__name__) from fault
