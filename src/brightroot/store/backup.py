"""A copy of the file while it is being written to, and the way back. Both are checked before they are called done."""

from __future__ import annotations

import json
import os
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from brightroot.base.errors import Broken, Refused
from brightroot.store.engine import SHAPE


@dataclass(frozen=True, slots=True)
class Copied:
    """What is in the copy, and one hash over all its events in the order in which they came."""

    path: str
    events_count: int
    attachments_count: int
    digest: str


def back_up(source: Path, target: Path) -> Copied:
    """Copy the file, page by page, while others read and write. The copy appears whole or not at all."""
    if not source.exists():
        raise Refused(field="store", wanted="a file of logs", got=str(source))
    if target.exists():
        raise Refused(field="out", wanted="a file that is not there yet", got=str(target))
    part = target.with_name(target.name + ".part")
    part.unlink(missing_ok=True)
    with closing(sqlite3.connect(source)) as one, closing(sqlite3.connect(part)) as two:
        one.backup(two, pages=256)
        two.execute("PRAGMA journal_mode=DELETE")
    found = check_copy(part)
    with part.open("rb+") as written:
        os.fsync(written.fileno())
    part.replace(target)
    return Copied(str(target), found.events_count, found.attachments_count, found.digest)


def check_copy(path: Path) -> Copied:
    """Read everything in it: the file's own check, every digest, every chain, every attachment by its name."""
    try:
        with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as file:
            return _checked(file, path)
    except sqlite3.DatabaseError as fault:
        raise Broken(where=path.name, wanted="a file of logs", got=str(fault)) from fault


def _checked(file: sqlite3.Connection, path: Path) -> Copied:
    sound = file.execute("PRAGMA integrity_check").fetchone()[0]
    if sound != "ok":
        raise Broken(where=path.name, wanted="a sound file", got=str(sound)[:200])
    shape = file.execute("SELECT value FROM settings WHERE name = 'shape'").fetchone()
    if shape is None or int(shape[0]) > int(SHAPE):
        raise Broken(where=path.name, wanted=f"shape {SHAPE} or older", got=shape[0] if shape else "none")
    whole, count = sha256(), 0
    heads: dict[tuple[str, str, str, int], tuple[str, str]] = {}
    query = "SELECT stored, digest, joint, device, epoch, seq FROM events ORDER BY id"
    for stored, digest, joint, device, epoch, seq in file.execute(query):
        if not isinstance(stored, bytes):
            raise Broken(where=f"{joint} {device}.{epoch}.{seq}", wanted="stored bytes", got=type(stored).__name__)
        told, key = json.loads(stored), (joint, device, epoch, seq)
        if sha256(stored).hexdigest() != digest or (told["joint"], told["device"], told["epoch"], told["seq"]) != key:
            raise Broken(
                where=f"{joint} {device}.{epoch}.{seq}", wanted="the event as it was stored", got="other bytes"
            )
        heads[key] = (digest, told["prev"])
        whole.update(digest.encode())
        count += 1
    for (joint, device, epoch, seq), (_, prev) in heads.items():
        before = heads.get((joint, device, epoch, seq - 1))
        if (seq > 1 and (before is None or before[0] != prev)) or (seq == 1 and prev):
            where = f"{joint} {device}.{epoch}.{seq}"
            raise Broken(where=where, wanted="an unbroken chain", got="a break before it")
    attached = 0
    for name, content in file.execute("SELECT sha256, bytes FROM attachments"):
        if sha256(content).hexdigest() != name:
            raise Broken(where=f"attachment {name[:16]}", wanted="the bytes of its name", got="others")
        attached += 1
    return Copied(str(path), count, attached, whole.hexdigest())


def restore(copy: Path, target: Path) -> Copied:
    """Put a checked copy in the file's place. What was there is kept beside it; numbers start anew in a new epoch."""
    from brightroot.store.logs import open_store

    if not copy.exists():
        raise Refused(field="backup", wanted="a backup file", got=str(copy))
    found = check_copy(copy)
    part = target.with_name(target.name + ".part")
    part.write_bytes(copy.read_bytes())
    with part.open("rb+") as written:
        os.fsync(written.fileno())
    with closing(sqlite3.connect(part)) as file:
        names = {row[0] for row in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        for table in ("sessions", "codes"):  # nobody is signed in by a file of last week
            if table in names:
                file.execute(f"DELETE FROM {table}")
        file.commit()
    if target.exists():
        kept = next(p for n in range(1, 10_000) if not (p := target.with_name(f"{target.name}.before-{n}")).exists())
        for ending in ("", "-wal", "-shm"):
            beside = target.with_name(target.name + ending)
            if beside.exists():
                beside.replace(kept.with_name(kept.name + ending))
    part.replace(target)
    open_store(target, new_epoch=True).close()
    return Copied(str(target), found.events_count, found.attachments_count, found.digest)
