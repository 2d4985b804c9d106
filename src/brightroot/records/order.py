"""One order for a set of events, and the corrections put in their places.

Events of several devices arrive in any order and more than once; the order must come from the events alone. Within a
chain `seq` decides. Across chains it is the latest time the chain has reached, so a clock set back cannot move an
event before one that its own device wrote earlier.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import groupby

from brightroot.base.instant import seconds_of
from brightroot.model.codec import canonical, to_data
from brightroot.model.event import Event

WITHDRAWN = "event.withdrawn"


@dataclass(frozen=True, slots=True)
class OrderFault:
    """An event that could not take effect, and why (a message id)."""

    event: Event
    says: str


@dataclass(frozen=True, slots=True)
class Settled:
    """`events` count, in order, with corrected data in the old places; `every` is all of them as written."""

    events: tuple[Event, ...]
    every: tuple[Event, ...]
    corrected: tuple[tuple[str, str], ...]  # (old event, the event that corrects or withdraws it)
    withdrawn: tuple[str, ...]
    faults: tuple[OrderFault, ...]


def in_order(events: Iterable[Event]) -> tuple[Event, ...]:
    """The distinct events in the one order that their set has."""
    same_key: dict[tuple[str, str], list[Event]] = {}
    for event in events:
        same_key.setdefault((event.joint, event.id), []).append(event)
    distinct = sorted((one for twins in same_key.values() for one in _distinct(twins)), key=_within)
    chains = groupby(distinct, key=_chain)
    placed = [(reached, event) for _, chain in chains for reached, event in _reached(list(chain))]
    placed.sort(key=lambda pair: (pair[0], pair[1].device, pair[1].epoch, pair[1].seq))
    return tuple(event for _, event in placed)


def _chain(event: Event) -> tuple[str, str, str]:
    return event.device, event.epoch, event.joint


def _within(event: Event) -> tuple[str, str, str, int]:
    return (*_chain(event), event.seq)


def _distinct(twins: list[Event]) -> list[Event]:
    """Events of one key without repeats, in the order of their own words; of one alone no words need be made."""
    if len(twins) == 1:
        return twins
    written = {canonical(to_data(event)): event for event in twins}
    return [written[words] for words in sorted(written)]


def _reached(chain: list[Event]) -> list[tuple[float, Event]]:
    """Each event with the latest time that its chain has reached by then."""
    latest, out = float("-inf"), []
    for event in chain:
        latest = max(latest, seconds_of(event.at_utc))
        out.append((latest, event))
    return out


def settled(events: Iterable[Event]) -> Settled:
    """Order the events, withdraw what was withdrawn and put corrected data in the places of the old."""
    every = in_order(events)
    first: dict[str, Event] = {}
    faults: list[OrderFault] = []
    pairs: dict[str, str] = {}  # a correcting event -> the older event it is about
    said: dict[tuple[str, ...], list[Event]] = {}  # what a device said in one instant
    for event in every:
        fault = _fault(event, first) or _sent_again(event, said)
        if fault:
            faults.append(OrderFault(event, fault))
            continue
        first[event.id] = event
        if event.corrects:
            pairs[event.id] = event.corrects
    withdrawn = _withdrawn(first, pairs)
    newest = _newest(first, pairs, withdrawn)
    counts = tuple(
        replace(event, data=newest[event.id].data, version=newest[event.id].version) if event.id in newest else event
        for event in first.values()
        if event.id not in withdrawn and not event.corrects
    )
    corrected = tuple((old, new) for new, old in pairs.items())
    return Settled(counts, every, corrected, tuple(i for i in first if i in withdrawn), tuple(faults))


def _fault(event: Event, older: Mapping[str, Event]) -> str:
    """Why an event cannot take effect, or ''."""
    if event.id in older:
        return "order.doubled"
    if not event.corrects:
        return "order.withdraws_nothing" if event.kind == WITHDRAWN else ""
    target = older.get(event.corrects)
    if target is None:
        return "order.corrects_unknown"
    return "" if event.kind in (WITHDRAWN, target.kind) else "order.corrects_other_kind"


def _sent_again(event: Event, said: dict[tuple[str, ...], list[Event]]) -> str:
    """One entry twice: a server brought back from a backup was sent anew what another copy of its log still held.

    To the millisecond the same words of one device under another epoch are one entry; under one epoch they are two.
    """
    before = said.setdefault((event.joint, event.device, event.at_utc, event.by, event.kind, event.corrects), [])
    again = any(one.epoch != event.epoch and _facts(one) == _facts(event) for one in before)
    before.append(event)
    return "order.sent_again" if again else ""


def _facts(event: Event) -> bytes:
    return canonical(to_data(event.data))


def _withdrawn(first: Mapping[str, Event], pairs: Mapping[str, str]) -> set[str]:
    """Newest first, so that a withdrawal that was itself withdrawn takes nothing away."""
    gone: set[str] = set()
    for event in reversed(list(first.values())):
        if event.kind == WITHDRAWN and event.id not in gone:
            gone.add(pairs[event.id])
    return gone


def _newest(first: Mapping[str, Event], pairs: Mapping[str, str], withdrawn: set[str]) -> dict[str, Event]:
    """The root event of each correction -> the last event that corrects it. A correction of a correction counts too."""
    root: dict[str, str] = {}
    newest: dict[str, Event] = {}
    for new, old in pairs.items():
        event = first[new]
        if event.kind == WITHDRAWN or new in withdrawn or old in withdrawn:
            continue
        root[new] = root.get(old, old)
        newest[root[new]] = event
    return newest
