"""`brightroot export`, `import`, `backup`, `restore`: logs and whole files from one machine to another, checked."""

from __future__ import annotations

from pathlib import Path

from brightroot.base.errors import Refused
from brightroot.cli.output import put
from brightroot.cli.wiring import logs_at, place_at, speech
from brightroot.model.codec import to_data


def run_export(log: str, out: Path, *, store: Path | None, language: str, as_json: bool) -> None:
    """Write a log with its attachments and signatures to a file."""
    from brightroot.store.carry import carried
    from brightroot.store.logs import open_store

    data = carried(open_store(logs_at(store)), log)
    out.write_bytes(data)
    if as_json:
        put({"ok": True, "path": str(out), "bytes": len(data)})
    else:
        print(speech(language, "metric").say("access.cli.exported", log=log, path=out, bytes=len(data)))


def run_import(files: list[Path], *, store: Path | None, language: str, as_json: bool) -> None:
    """Merge files into the logs here; without a file tell what is kept aside."""
    from brightroot.store.carry import bring_in
    from brightroot.store.logs import open_store

    place_at(store)
    into = open_store(logs_at(store))
    say = speech(language, "metric").say
    told = []
    for path in files:
        if not path.is_file():
            raise Refused(field="file", wanted="a file", got=str(path))
        made = bring_in(into, path.read_bytes())
        told.append({"path": str(path), **to_data(made)})
        if not as_json:
            e = made.events
            counts = {"added": len(e.added), "known": len(e.known), "forked": len(e.forked), "waiting": len(e.waiting)}
            print(say("access.cli.imported", log=made.log, path=path, attachments=made.attachments_count, **counts))
    aside = [{"what": one["begins"][:60], "reason": one["reason"]} for one in into.aside()] + [
        {"what": f"{event.joint} {event.id} {event.kind}", "reason": "fork"} for event in into.conflicts()
    ]
    if as_json:
        put({"ok": True, "files": told, "aside": aside})
        return
    for one in aside:
        print(say("access.cli.aside", what=one["what"], why=say(f"access.aside.{one['reason']}")))
    if not files and not aside:
        print(say("access.cli.nothing_aside"))


def run_backup(out: Path, *, store: Path | None, language: str, as_json: bool) -> None:
    """Copy the file while it is in use, and check the copy."""
    from brightroot.store.backup import back_up

    made = back_up(_file(store), out)
    _copied("access.cli.backed_up", made, language, as_json)


def run_restore(backup: Path, *, store: Path | None, language: str, as_json: bool) -> None:
    """Check a copy and put it in the file's place; what was there stays beside it."""
    from brightroot.store.backup import restore

    made = restore(backup, _file(store))
    _copied("access.cli.restored", made, language, as_json)


def _copied(word: str, made: object, language: str, as_json: bool) -> None:
    told = to_data(made)
    if as_json:
        put({"ok": True, **told})
    else:
        print(speech(language, "metric").say(word, **told))


def _file(store: Path | None) -> Path:
    """The file itself; a server is copied with its own tools."""
    where = logs_at(store)
    if isinstance(where, str) and where.startswith("postgresql://"):
        raise Refused(field="store", wanted="a file; a server is copied with pg_dump", got="a PostgreSQL server")
    return Path(where)
