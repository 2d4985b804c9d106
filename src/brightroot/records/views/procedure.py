"""A procedure's own log folded: the newest revision as it is written, and every test record that stands."""

from __future__ import annotations

from collections.abc import Iterable

from brightroot.model.event import Event
from brightroot.model.procedure import Tested, TypedProcedure
from brightroot.records.order import settled


def fold_procedure(name: str, events: Iterable[Event]) -> TypedProcedure:
    """What is written and what was tested. A test record typed again replaces the earlier one of that name."""
    written: Event | None = None
    tested: dict[str, Tested] = {}
    for event in settled(events).events:
        if event.kind == "procedure.written":
            written = event
        elif event.kind == "procedure.tested":
            values = {k: v for k, v in event.data.items() if k != "test_record"}
            tested[str(event.data["test_record"])] = Tested(str(event.data["test_record"]), values, event.id)
    if written is None:
        return TypedProcedure(name, tested=tuple(tested.values()))
    values = {k: v for k, v in written.data.items() if k != "revision"}
    return TypedProcedure(name, str(written.data["revision"]), values, tuple(tested.values()), written.id)
