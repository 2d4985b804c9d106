"""Laws of the log: the set decides, not the arrival; and any tampering with a chain shows."""

from hypothesis import given, settings
from hypothesis import strategies as st

from brightroot.live.course import course_of
from brightroot.live.phases import live_state
from brightroot.model.entry import entered
from brightroot.model.event import Event
from brightroot.records.order import settled
from brightroot.records.seal import check_chains, digest, log_head, opened, sealed
from brightroot.records.views.joint import fold

FACTS = [
    ("arc.started", {"run_count": "1", "current_A": "80 A"}),
    ("arc.started", {"run_count": "2"}),
    ("arc.stopped", {"run_count": "1"}),
    ("arc.stopped", {"run_count": "2", "at_rad": "6"}),
    ("shield.lifted", {"run_count": "1"}),
    ("bead.looked_at", {"run_count": "1", "tint": "dark blue", "arrangement": "uniform"}),
    ("bead.looked_at", {"run_count": "1", "tint": "silver", "arrangement": "uniform"}),
    ("bead.brushed", {"run_count": "1"}),
    ("oxygen.read", {"state": "reading", "oxygen_frac": "84 ppm", "place": "vent"}),
    ("oxygen.read", {"state": "over range", "place": "vent"}),
    ("purge.started", {"flow_m3_s": "15 L/min"}),
    ("dam.placed", {"end": "a", "dam_kind": "foam"}),
    ("dam.removed", {"end": "a", "how": "pulled"}),
    ("tape.opened", {"arc": "A"}),
    ("surface.prepared", {"work": "degreased"}),
    ("surface.touched", {"by_what": "rain"}),
    ("tack.made", {"tack": "T1", "at_rad": "12", "purged": "no", "shape": "full", "tint": "grey"}),
    ("tack.cut", {"tack": "T1"}),
    ("temperature.read", {"temperature_K": "88 °C", "at_rad": "3", "side": "outside", "method": "contact"}),
    ("event.withdrawn", {"why": "slip"}),
]


@st.composite
def logs(draw, least=1):
    """Two devices, clocks that jump, odd orders, and corrections of anything."""
    stored, heads, counts = [], {}, {}
    for _ in range(draw(st.integers(least, 14))):
        device = draw(st.sampled_from(["bench", "phone"]))
        kind, typed = draw(st.sampled_from(FACTS))
        counts[device] = counts.get(device, 0) + 1
        minute = draw(st.integers(0, 59))
        target = draw(st.sampled_from(["", "", "bench.e1.1", "bench.e1.2", "phone.e1.1", "phone.e1.3"]))
        event = Event("J-05", device, "e1", counts[device], f"2026-03-02T10:{minute:02d}:00Z", "W-07", kind,
                      entered(kind, typed), corrects=target)  # fmt: skip
        stored.append(sealed(event, heads.get(device, "")))
        heads[device] = digest(stored[-1])
    return stored


@settings(max_examples=60, deadline=None)
@given(logs(), st.randoms(use_true_random=False))
def test_arrival_order_and_repeats_do_not_matter(stored, chance):
    events = [opened(one) for one in stored]
    mixed = events + [chance.choice(events) for _ in range(3)]
    chance.shuffle(mixed)
    assert settled(mixed) == settled(events)
    assert fold(mixed) == fold(events)
    assert fold(events).events_count == len(events)
    assert log_head(stored + stored[:1]) == log_head(stored[::-1])


@settings(max_examples=60, deadline=None)
@given(logs())
def test_numbers_rise_within_each_chain(stored):
    every = settled(opened(one) for one in stored).every
    for device in ("bench", "phone"):
        numbers = [e.seq for e in every if e.device == device]
        assert numbers == list(range(1, len(numbers) + 1))


@settings(max_examples=80, deadline=None)
@given(logs(least=3), st.data())
def test_any_changed_byte_shows_in_the_chain_or_in_the_head(stored, data):
    place = data.draw(st.integers(0, len(stored) - 1))
    at = data.draw(st.integers(0, len(stored[place]) - 1))
    flip = data.draw(st.integers(1, 255))
    one = bytearray(stored[place])
    one[at] ^= flip
    bad = [*stored[:place], bytes(one), *stored[place + 1 :]]
    event = opened(stored[place])
    last = not any(opened(s).device == event.device for s in stored[place + 1 :])
    assert check_chains(stored).holds
    # the last record of a chain has nobody after it: only the head tells
    assert not check_chains(bad).holds or (last and log_head(bad) != log_head(stored))


@settings(max_examples=60, deadline=None)
@given(logs(least=3), st.data())
def test_a_dropped_record_shows(stored, data):
    place = data.draw(st.integers(0, len(stored) - 1))
    rest = stored[:place] + stored[place + 1 :]
    event = opened(stored[place])
    last = not any(opened(s).device == event.device for s in stored[place + 1 :])
    found = [(f.device, f.seq, f.what) for f in check_chains(rest).faults]
    assert found == ([] if last else [(event.device, event.seq, "missing")])
    assert log_head(rest) != log_head(stored)


@settings(max_examples=150, deadline=None)
@given(logs(), st.integers(0, 14), st.booleans())
def test_a_log_that_grew_is_as_one_folded_anew(stored, cut, corrected):
    events = [opened(one) for one in stored if corrected or not opened(one).corrects]
    grown = None
    for end in range(min(cut, len(events)), len(events) + 1):
        grown = course_of(events[:end], grown)
        assert grown.state == live_state(events[:end])
    reversed_course = course_of(events, course_of(list(reversed(events))[: len(events) // 2]))
    assert reversed_course.state == live_state(events)


def test_growing_goes_on_top_of_what_was_folded():
    """Not the same time over and over: a plain log of one device is never folded whole twice."""
    events = [
        Event("J-05", "bench", "e1", n, f"2026-03-02T10:{n:02d}:00Z", "W-07", "tape.opened", {"arc": "A"})
        for n in range(1, 40)
    ]
    before = course_of(events[:-1])
    assert before.plain
    after = course_of(events, before)
    assert after.state.record.events_count == len(events)
    assert after.state == live_state(events)
    late = Event("J-05", "phone", "e1", 1, "2026-03-02T10:05:00Z", "W-07", "tape.closed", {"arc": "A"})
    assert course_of([*events, late], after).state == live_state([*events, late])
