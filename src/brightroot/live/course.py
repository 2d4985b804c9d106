"""The live state of a log that grows: what is new goes on top, wherever that gives what folding the whole would give."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import reduce

from brightroot.base.instant import seconds_of
from brightroot.live.phases import LiveState, live_state, next_phase
from brightroot.model.event import Event
from brightroot.records.order import WITHDRAWN
from brightroot.records.upcast import upcast
from brightroot.records.views.joint import step

Key = tuple[float, str, str, int]  # the place of an event in the one order


@dataclass(frozen=True, slots=True)
class Course:
    """A log as it was last seen, with its state. `plain`: nothing in it was corrected, doubled or out of its order."""

    events: tuple[Event, ...]
    state: LiveState
    last: Key
    plain: bool


def course_of(events: Iterable[Event], before: Course | None = None) -> Course:
    """The course of these events. `before` is one of fewer of them, or of others: then everything is folded anew.

    The answer is that of `live_state`, whatever `before` is; only the time differs.
    """
    every = tuple(events)
    if before is None or not before.plain:
        return _whole(every)
    there = set(map(id, before.events))
    new = [event for event in every if id(event) not in there]
    if len(new) + len(before.events) != len(every):
        return _whole(every)
    if not new:
        return replace(before, events=every)
    placed = _after(before, new)
    return _whole(every) if placed is None else _grown(before, every, *placed)


def _whole(events: tuple[Event, ...]) -> Course:
    state = live_state(events)
    chains = {(e.device, e.epoch) for e in events}
    keys = {(e.device, e.epoch, e.seq) for e in events}
    plain = (
        len({device for device, _ in chains}) == len(chains)
        and len(keys) == len(events)
        and not any(e.corrects or e.kind == WITHDRAWN for e in events)
    )
    return Course(events, state, max(_keys(events).values(), default=(float("-inf"), "", "", 0)), plain)


def _keys(events: tuple[Event, ...]) -> dict[int, Key]:
    """The place of each event: the latest time that its chain has reached, then chain and number."""
    reached: dict[tuple[str, str], float] = {}
    found: dict[int, Key] = {}
    for event in sorted(events, key=lambda e: (e.device, e.epoch, e.seq)):
        chain = event.device, event.epoch
        reached[chain] = max(reached.get(chain, float("-inf")), seconds_of(event.at_utc))
        found[id(event)] = (reached[chain], *chain, event.seq)
    return found


def _after(before: Course, new: list[Event]) -> tuple[list[Event], Key] | None:
    """The new events in their order with the last one's key, or None where they do not simply come after what is there."""
    if any(event.corrects or event.kind == WITHDRAWN for event in new):
        return None
    epochs = {event.device: event.epoch for event in before.events}
    highest = {event.device: event.seq for event in before.events}
    for event in before.events:
        highest[event.device] = max(highest[event.device], event.seq)
    for event in new:
        if epochs.setdefault(event.device, event.epoch) != event.epoch or event.seq <= highest.get(event.device, -1):
            return None
    if len({(event.device, event.seq) for event in new}) != len(new):
        return None
    own = tuple(event for event in before.events if event.device in {e.device for e in new})
    keys = _keys((*own, *new))
    placed = sorted(new, key=lambda event: keys[id(event)])
    return (placed, keys[id(placed[-1])]) if keys[id(placed[0])] > before.last else None


def _grown(before: Course, every: tuple[Event, ...], placed: list[Event], last: Key) -> Course:
    newest = [upcast(event) for event in placed]
    times = [seconds_of(event.at_utc) for event in placed]
    old = before.state.record
    opening = replace(
        old,
        joint_id=old.joint_id or placed[0].joint,
        events_count=len(every),
        first_s=min([*times, *([old.first_s] if old.first_s is not None else [])]),
        last_s=max([*times, *([old.last_s] if old.last_s is not None else [])]),
    )
    state = LiveState(reduce(next_phase, newest, before.state.phase), reduce(step, newest, opening))
    return Course(every, state, last, plain=True)
