"""What one person's entries were found to be, kept between askings: only what came since is looked through again."""

from __future__ import annotations

import json
from collections.abc import Callable

from sqlalchemy import ColumnElement, Connection, func, or_, select

from brightroot.model.event import Event
from brightroot.model.streams import RESERVED
from brightroot.store.engine import EVENTS

Asked = tuple[tuple[str, ...], str]  # kinds, by whom
MOST = 256  # askings that are kept; the oldest goes first


class Remembered:
    """Events by joint for each asking, and up to which number of the file they are known. Nothing is ever rewritten."""

    def __init__(self) -> None:
        self._kept: dict[Asked, tuple[int, dict[str, tuple[Event, ...]]]] = {}

    def events(
        self, connection: Connection, kinds: tuple[str, ...], by: str, opened: Callable[[bytes], Event]
    ) -> tuple[Event, ...]:
        """The events of those kinds in every joint where that person wrote one of the first kind, joint by joint."""
        newest = connection.scalar(select(func.max(EVENTS.c.id))) or 0
        known, found = self._kept.get((kinds, by), (0, {}))
        if newest > known:
            found = {**found, **_since(connection, kinds, by, known, opened)}
            if len(self._kept) >= MOST:
                self._kept.pop(next(iter(self._kept)), None)
            self._kept[kinds, by] = newest, found
        return tuple(event for joint in sorted(found) for event in found[joint])


def _since(
    connection: Connection, kinds: tuple[str, ...], by: str, known: int, opened: Callable[[bytes], Event]
) -> dict[str, tuple[Event, ...]]:
    """Every joint that has grown by such an event, with all of its events of those kinds.

    It looks for the words in the stored bytes, so that of many logs only what may matter is opened.
    """
    c = EVENTS.c
    such = or_(*(_says("kind", kind) for kind in kinds))
    outside = [func.substr(c.joint, 1, len(name)) != name for name in RESERVED]
    grown = select(c.joint).where(c.id > known, such, *outside).distinct()
    theirs = select(c.joint).where(c.joint.in_(grown), _says("by", by), _says("kind", kinds[0])).distinct()
    query = select(c.stored).where(c.joint.in_(theirs), such).order_by(c.joint, c.device, c.epoch, c.seq)
    found: dict[str, list[Event]] = {}
    for event in map(opened, connection.scalars(query)):
        if event.kind in kinds:
            found.setdefault(event.joint, []).append(event)
    return {joint: tuple(events) for joint, events in found.items()}


def _says(name: str, word: str) -> ColumnElement[bool]:
    return func.instr(EVENTS.c.stored, f'"{name}":{json.dumps(word, ensure_ascii=False)}'.encode()) > 0
