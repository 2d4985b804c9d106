"""A shop's own PostgreSQL in place of the file: the same tables, the same rule that nothing is rewritten."""

from __future__ import annotations

from sqlalchemy import Connection, Engine, create_engine, event, text

from brightroot.base.errors import Refused

SCHEME = "postgresql://"
WRITES = 7_110_463  # the lock that whoever writes holds until the commit: numbers then rise in the order of the commits

_FORBIDS = """
CREATE OR REPLACE FUNCTION never_rewritten() RETURNS trigger LANGUAGE plpgsql AS
$$ BEGIN RAISE EXCEPTION '% are never rewritten', TG_TABLE_NAME; END $$"""
_FORBID = """CREATE OR REPLACE TRIGGER {table}_never BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}
FOR EACH STATEMENT EXECUTE FUNCTION never_rewritten()"""
# the file's database has this by itself; so one query serves both
_INSTR = """CREATE OR REPLACE FUNCTION instr(bytea, bytea) RETURNS integer LANGUAGE sql IMMUTABLE AS
$$ SELECT position($2 IN $1) $$"""


def open_server(url: str) -> Engine:
    """An engine on that database. Raises Refused where the library for it is missing."""
    try:
        engine = create_engine(url.replace(SCHEME, "postgresql+psycopg://", 1), pool_pre_ping=True)
    except ModuleNotFoundError:
        raise Refused(field="store", wanted="pip install brightroot[postgres]", got="no psycopg") from None
    event.listen(engine, "begin", _begun)
    return engine


def forbid_rewriting(connection: Connection, tables: tuple[str, ...]) -> None:
    """The triggers, and the one function that the queries need."""
    connection.execute(text(_FORBIDS))
    for table in tables:
        connection.execute(text(_FORBID.format(table=table)))
    connection.execute(text(_INSTR))


def _begun(connection: Connection) -> None:
    if connection.get_execution_options().get("writes"):
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({WRITES})")
