"""Each rule of the record's protocol bent once: a run of faults that does not notice is no evidence."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from typing import Any
from unittest.mock import patch

from brightroot.model.event import Event

# rules that the simulated tablets, or the server's side of one sending, bend themselves
IN_THE_RUN = (
    "forgotten once sent",
    "a timeout counts as sent",
    "the rest is dropped after a failure",
    "a new id at every try",
    "ids start anew after a reload",
    "outbox lives in memory",
    "tablet forgets what is acknowledged",
    "tablet ignores the epoch",
    "answer given to the first in line",
    "any answer counts as recorded",
    "answered before it is saved",
    "the server does not know ids",
    "a conflict is answered with yes",
    "a commit is not on disk",
)


def _order(name: str, made: Any) -> Any:
    return patch(f"brightroot.records.order.{name}", made)


def _intake(name: str, made: Any) -> Any:
    return patch(f"brightroot.store.intake.{name}", made)


def _logs(name: str, made: Any) -> Any:
    return patch(f"brightroot.store.logs.{name}", made)


def _by_time(events: Any) -> tuple[Event, ...]:
    return tuple(sorted({(e.joint, e.id): e for e in events}.values(), key=lambda e: (e.at_utc, e.id)))


def _as_they_came(events: Any) -> tuple[Event, ...]:
    return tuple(events)


def _by_number(events: Any) -> tuple[Event, ...]:
    return tuple({e.seq: e for e in sorted(events, key=lambda e: (e.seq, e.device))}.values())


def _by_number_and_epoch(events: Any) -> tuple[Event, ...]:
    return tuple({(e.epoch, e.seq): e for e in sorted(events, key=lambda e: (e.seq, e.device))}.values())


def _backwards(events: Any) -> tuple[Event, ...]:
    return tuple(reversed(_REAL["in_order"](events)))


def _one_per_time(event: Event, said: dict[Any, str]) -> str:
    """Two entries of one minute taken for one."""
    return (
        "order.sent_again"
        if said.setdefault((event.joint, event.kind, event.at_utc[:16]), event.id) != event.id
        else ""
    )


def _one_per_kind(event: Event, said: dict[Any, str]) -> str:
    return (
        "order.sent_again"
        if said.setdefault((event.joint, event.device, event.kind), event.epoch) != event.epoch
        else ""
    )


def _never_again(event: Event, said: dict[Any, str]) -> str:
    return ""


def _placed(change: Callable[..., Any]) -> Any:
    real = _REAL["placed"]

    def bent(connection: Any, event: Event, stored: bytes, found: Any) -> str:
        return str(change(real, connection, event, stored, found))

    return _intake("_placed", bent)


def _skips(real: Any, connection: Any, event: Event, stored: bytes, found: Any) -> str:
    """A gap is passed over instead of waited for."""
    what = real(connection, event, stored, found)
    if what == "waits":
        _insert(connection, event, stored, found)
        return "added"
    return str(what)


def _drops_waiting(real: Any, connection: Any, event: Event, stored: bytes, found: Any) -> str:
    what = real(connection, event, stored, found)
    return "known" if what == "waits" else str(what)


def _drops_forks(real: Any, connection: Any, event: Event, stored: bytes, found: Any) -> str:
    return str(real(connection, event, stored, replace_fork(found)))


def _drops_unchained(real: Any, connection: Any, event: Event, stored: bytes, found: Any) -> str:
    what = real(connection, event, stored, found)
    return "known" if what == "unchained" else str(what)


def _takes_unchained(real: Any, connection: Any, event: Event, stored: bytes, found: Any) -> str:
    what = real(connection, event, stored, found)
    if what == "unchained":
        _insert(connection, event, stored, found)
        return "added"
    return str(what)


def _renumbers(real: Any, connection: Any, event: Event, stored: bytes, found: Any) -> str:
    """The other branch of a fork is put at the end under a new number."""
    what = real(connection, event, stored, found)
    if what == "forked":
        _insert(connection, replace(event, seq=event.seq + 1000), stored, found)
    return str(what)


def _drops_all_but_first(real: Any, connection: Any, event: Event, stored: bytes, found: Any) -> str:
    return "known" if event.seq > 1 else str(real(connection, event, stored, found))


def _refuses_first(real: Any, connection: Any, event: Event, stored: bytes, found: Any) -> str:
    return "waits" if event.seq == 1 else str(real(connection, event, stored, found))


def _takes_known_again(real: Any, connection: Any, event: Event, stored: bytes, found: Any) -> str:
    what = real(connection, event, stored, found)
    if what == "known":
        _insert(connection, replace(event, epoch=event.epoch + "x"), stored, found)
    return str(what)


def replace_fork(found: Any) -> Any:
    """What the store lends, without keeping forks."""
    return replace(found, fork=lambda *args, **kwargs: None)


def _insert(connection: Any, event: Event, stored: bytes, found: Any) -> None:
    from sqlalchemy import insert

    from brightroot.store.engine import EVENTS

    connection.execute(insert(EVENTS), found.row(event, stored, seq=event.seq, client_id=None))


def _append(change: Callable[[Event], Event]) -> Any:
    real = _REAL["bytes_of"]

    def bent(event: Event, *, seq: int = 0, prev: str = "") -> bytes:
        made = change(replace(event, seq=seq, prev=prev))
        return bytes(real(made, seq=made.seq, prev=made.prev))

    return _logs("_bytes_of", bent)


def _keeps_epoch() -> Any:
    real = _REAL["open_store"]

    def bent(path: Any, device: str = "bench", *, new_epoch: bool = False) -> Any:
        return real(path, device)

    return patch("brightroot.store.logs.open_store", bent)


def _receipt(change: Callable[[dict[str, Any]], dict[str, Any]]) -> Any:
    real = _REAL["receipt"]

    def bent(self: Any, connection: Any, event_id: str, digest: str) -> dict[str, Any]:
        return change(real(self, connection, event_id, digest))

    return patch("brightroot.store.receipts.Receipts.receipt", bent)


def _forgets_ids() -> Any:
    """An id that is known is answered with yes, and another entry of it is saved."""
    real = _REAL["append"]
    return _logs("_append", lambda connection, event, client_id, keys, tap: real(connection, event, "", keys, tap))


def _same_id_same_entry() -> Any:
    """A known id is answered with the entry that is there, whatever the new one says."""
    return _logs("_sent_again", lambda connection, event, earlier: _REAL["opened"](earlier.stored))


def _real() -> Mapping[str, Any]:
    from brightroot.records import order
    from brightroot.store import intake, logs, receipts

    return {
        "in_order": order.in_order,
        "placed": intake._placed,
        "bytes_of": logs._bytes_of,
        "open_store": logs.open_store,
        "receipt": receipts.Receipts.receipt,
        "append": logs._append,
        "opened": logs._opened,
    }


_REAL = _real()
MUTANTS: Mapping[str, Callable[[], Any]] = {
    "order: by the clock alone": lambda: _order("in_order", _by_time),
    "order: as they came": lambda: _order("in_order", _as_they_came),
    "order: by number alone": lambda: _order("in_order", _by_number),
    "order: by number and epoch": lambda: _order("in_order", _by_number_and_epoch),
    "order: backwards": lambda: _order("in_order", _backwards),
    "order: what is sent again counts again": lambda: _order("_sent_again", _never_again),
    "order: one entry a minute": lambda: _order("_sent_again", _one_per_time),
    "order: one entry a kind and device": lambda: _order("_sent_again", _one_per_kind),
    "intake: a gap is passed over": lambda: _placed(_skips),
    "intake: what waits is dropped": lambda: _placed(_drops_waiting),
    "intake: a fork is dropped": lambda: _placed(_drops_forks),
    "intake: what does not follow is dropped": lambda: _placed(_drops_unchained),
    "intake: what does not follow is taken": lambda: _placed(_takes_unchained),
    "intake: a fork is renumbered": lambda: _placed(_renumbers),
    "intake: only beginnings are taken": lambda: _placed(_drops_all_but_first),
    "intake: a beginning waits": lambda: _placed(_refuses_first),
    "intake: what is known is taken again": lambda: _placed(_takes_known_again),
    "seal: no hash of the one before": lambda: _append(lambda e: replace(e, prev="")),
    "seal: the hash of another": lambda: _append(lambda e: replace(e, prev="f" * 64 if e.prev else "")),
    "seal: every number is one more": lambda: _append(lambda e: replace(e, seq=e.seq + (e.seq > 3))),
    "restore: the old epoch goes on": _keeps_epoch,
    "receipt: the root of a larger log": lambda: _receipt(lambda r: {**r, "size": r["size"] + 1}),
    "receipt: another entry's name": lambda: _receipt(lambda r: {**r, "event": r["event"] + "0"}),
    "server: ids are forgotten": _forgets_ids,
    "server: one id, whatever it says": _same_id_same_entry,
}
ALL = (*IN_THE_RUN, *MUTANTS)


@contextmanager
def bend(name: str) -> Iterator[None]:
    """The rule of that name bent while it lasts; nothing is bent without a name."""
    if name in MUTANTS:
        with MUTANTS[name]():
            yield
    else:
        yield


def survivors(seeds: int = 40) -> dict[str, int]:
    """How many seeds it took to notice each bent rule; 0 where none did."""
    from benchmarks.record_faults import run_seed

    found: dict[str, int] = {}
    for name in ALL:
        found[name] = 0
        for n in range(seeds):
            if _noticed(run_seed, 100_000 + n, name):
                found[name] = n + 1
                break
    return found


def _noticed(run: Callable[..., Any], seed: int, name: str) -> bool:
    try:
        return bool(run(seed, bent=name)["broken"])
    except Exception:  # a bent rule may as well stop the work: that is noticed
        return True
