"""The tables, triggers that forbid rewriting, and how a connection is opened so that a commit is on disk."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    StaticPool,
    Table,
    Text,
    UniqueConstraint,
    create_engine,
    event,
    inspect,
    select,
    text,
)
from sqlalchemy.dialects import postgresql, sqlite

from brightroot.base.errors import Broken
from brightroot.store.server_engine import forbid_rewriting, open_server

SHAPE = "2"  # of these tables; a larger number in a file means that a newer program wrote it
# 1: events, conflicts, attachments, settings. 2: signatures, keys, what is kept aside, the doors; 1 lacks only tables

METADATA = MetaData()
# names sort by their bytes, in a file and on a server alike
NAME = Text().with_variant(postgresql.TEXT(collation="C"), "postgresql")
KEPT = ("events", "conflicts", "attachments", "signatures")  # never rewritten


def _key() -> tuple[Column[Any], ...]:
    return (
        Column("id", Integer, primary_key=True),
        Column("joint", NAME, nullable=False),
        Column("device", NAME, nullable=False),
        Column("epoch", NAME, nullable=False),
        Column("seq", Integer, nullable=False),
        Column("stored", LargeBinary, nullable=False),
        Column("digest", Text, nullable=False),
        Column("received", Text, nullable=False),
    )


EVENTS = Table(
    "events",
    METADATA,
    *_key(),
    Column("client_id", Text),  # None: not from a client that resends
    UniqueConstraint("joint", "device", "epoch", "seq"),
    UniqueConstraint("joint", "client_id"),
)
# what came under the key of an event but with other bytes: kept aside for a person to look at
CONFLICTS = Table(
    "conflicts",
    METADATA,
    *_key(),
    Column("against", Integer, ForeignKey("events.id"), nullable=False),
    UniqueConstraint("against", "digest"),
)
ATTACHMENTS = Table(
    "attachments",
    METADATA,
    Column("sha256", Text, primary_key=True),
    Column("media_type", Text, nullable=False),
    Column("bytes", LargeBinary, nullable=False),
)
SETTINGS = Table("settings", METADATA, Column("name", Text, primary_key=True), Column("value", Text, nullable=False))
Index("events_by_joint", EVENTS.c.joint, EVENTS.c.device, EVENTS.c.epoch, EVENTS.c.seq)

_FORBID = """CREATE TRIGGER IF NOT EXISTS {table}_no_{verb} BEFORE {verb} ON {table}
BEGIN SELECT RAISE(ABORT, '{table} are never rewritten'); END"""
# INSERT OR REPLACE deletes without firing a delete trigger, so it is stopped at the insert
_NO_REPLACE = """CREATE TRIGGER IF NOT EXISTS events_no_replace BEFORE INSERT ON events
WHEN EXISTS (SELECT 1 FROM events WHERE id = NEW.id OR (joint = NEW.joint AND device = NEW.device
  AND epoch = NEW.epoch AND seq = NEW.seq) OR (joint = NEW.joint AND client_id = NEW.client_id))
BEGIN SELECT RAISE(ABORT, 'events are never rewritten'); END"""


def open_engine(path: Path | str | None) -> Engine:
    """An engine on that file or `postgresql://` database, or in memory; the tables are made where they are missing."""
    if isinstance(path, str):
        return _made(open_server(path), on_server=True)
    if path is None:
        engine = create_engine("sqlite://", poolclass=StaticPool, connect_args={"check_same_thread": False})
    else:
        engine = create_engine(f"sqlite:///{path}")
    event.listen(engine, "connect", _connected)
    event.listen(engine, "begin", _begun)
    return _made(engine, on_server=False)


def _made(engine: Engine, *, on_server: bool) -> Engine:
    with writing(engine).begin() as connection:
        if _shape(connection) == SHAPE:
            return engine  # made before, and whole: it was made in one transaction
        METADATA.create_all(connection)
        if on_server:
            forbid_rewriting(connection, KEPT)
            return engine
        for table in KEPT:
            for verb in ("UPDATE", "DELETE"):
                connection.execute(text(_FORBID.format(table=table, verb=verb)))
        connection.execute(text(_NO_REPLACE))
    return engine


def _shape(connection: Connection) -> str | None:
    """The shape that a file tells, before anything is made in it: a file of a newer program is left as it is."""
    if not inspect(connection).has_table("settings"):
        return None
    shape: str | None = connection.scalar(select(SETTINGS.c.value).where(SETTINGS.c.name == "shape"))
    if shape is not None and not (shape.isdigit() and int(shape) <= int(SHAPE)):
        raise Broken(where="settings.shape", wanted=f"{SHAPE} or older", got=shape)
    return shape


def writing(engine: Engine) -> Engine:
    """The same engine, for transactions that write: they take the lock at once and cannot deadlock later."""
    return engine.execution_options(writes=True)


def keep_new(connection: Connection, table: Table, rows: list[dict[str, Any]]) -> None:
    """Insert what is not there yet; what is there already stays as it is."""
    if rows:
        connection.execute(_insert(connection)(table).on_conflict_do_nothing(), rows)


def keep_last(connection: Connection, table: Table, rows: list[dict[str, Any]], *, key: str) -> None:
    """Insert, or write over the row of that key. Only for tables that may be rewritten."""
    made = _insert(connection)(table)
    changed = {name: made.excluded[name] for name in rows[0] if name != key}
    connection.execute(made.on_conflict_do_update(index_elements=[key], set_=changed), rows)


def _insert(connection: Connection) -> Any:
    """Both databases know the same two words, each in a place of its own."""
    return postgresql.insert if connection.dialect.name == "postgresql" else sqlite.insert


def _connected(dbapi_connection: Any, _record: Any) -> None:
    dbapi_connection.isolation_level = None  # BEGIN is ours, see _begun
    for pragma in ("busy_timeout=5000", "journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
        dbapi_connection.execute(f"PRAGMA {pragma}")


def _begun(connection: Connection) -> None:
    writes = connection.get_execution_options().get("writes")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
