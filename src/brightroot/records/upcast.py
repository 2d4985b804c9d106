"""Old shapes of events brought to the newest, one version at a time. Stored bytes never change."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any

from brightroot.base.errors import Broken
from brightroot.model.event import Event

Upcaster = Callable[[Mapping[str, Any]], Mapping[str, Any]]

# (kind, version) -> the data of that version as data of the next
UPCASTERS: dict[tuple[str, int], Upcaster] = {}
# kind -> its newest version; a kind that is not named here is still at its first
NEWEST: dict[str, int] = {}


def upcast(
    event: Event, *, table: Mapping[tuple[str, int], Upcaster] = UPCASTERS, newest: Mapping[str, int] = NEWEST
) -> Event:
    """The event in the newest shape of its kind. Raises Broken where a step is missing or the version is unknown."""
    goal = newest.get(event.kind, 1)
    while event.version != goal:
        step = table.get((event.kind, event.version))
        if step is None or event.version > goal:
            raise Broken(where=event.id, wanted=f"{event.kind} version {goal}", got=f"version {event.version}")
        event = replace(event, version=event.version + 1, data=step(event.data))
    return event


def check_versions(
    stored: Iterable[tuple[str, int]],
    *,
    table: Mapping[tuple[str, int], Upcaster] = UPCASTERS,
    newest: Mapping[str, int] = NEWEST,
) -> None:
    """At start-up: every (kind, version) that is stored reaches the newest, or Broken names the one that does not."""
    for kind, version in sorted(set(stored)):
        goal = newest.get(kind, 1)
        reached = version
        while (kind, reached) in table and reached < goal:
            reached += 1
        if reached != goal:
            raise Broken(where=f"{kind} version {version}", wanted=f"a way to version {goal}", got=f"ends at {reached}")
