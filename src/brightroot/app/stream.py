"""Samples of an instrument onto a joint's log: the dense block, what is doubtful about it, and one reading that counts."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from brightroot.app.plan_joint import plan_of
from brightroot.app.ports import Place
from brightroot.app.state import state_of
from brightroot.app.work_live import cells_of, record
from brightroot.base.errors import Refused
from brightroot.base.instant import seconds_of, utc_of
from brightroot.base.units import dimension_of, read
from brightroot.live.streams import watched
from brightroot.model.event import Event
from brightroot.model.record import JointRecord
from brightroot.model.stream import STATES, Doubted, Sample, Stream, Watched
from brightroot.records.samples import MEDIA_TYPE, block_of, samples_in

LOOK_BACK_S = 180.0  # so much of what came before is looked at again, to tell a frozen stream
MOST = 100_000
KINDS = {"oxygen_frac": "oxygen.read", "room_oxygen_frac": "air.read", "temperature_K": "temperature.read"}


@dataclass(frozen=True, slots=True)
class Kept:
    """The entry that cites the block, what is doubtful, and the reading's entry where one was believed."""

    event: Event
    watched: Watched
    reading: Event | None


def keep_samples(place: Place, joint_id: str, stream: Stream, samples: Sequence[Sample], *, by: str) -> Kept:
    """Keep a block of samples on the joint's log, and the newest believed one as a reading.

    No number counts as a reading while the stream is doubtful. Raises Refused for no tag, nothing to keep, a value that is
    no number, or a sample from another time.
    """
    plan = plan_of(place, joint_id)
    course = _checked(place, stream, samples, by)
    record_now = state_of(place, joint_id).record
    before = _before(place, record_now, stream, course[0].at_s)
    told = watched(
        (*before, *course),
        measures=stream.measures,
        cells=cells_of(place, plan),
        arcs_s=tuple(run.started_s for run in record_now.runs if run.started_s is not None),
    )
    block = place.store.put_attachment(block_of(course), MEDIA_TYPE)
    data = {
        "instrument": stream.tag,
        "measures": stream.measures,
        "samples_count": len(course),
        "from_utc": utc_of(course[0].at_s),
        "until_utc": utc_of(course[-1].at_s),
        "samples_sha256": block,
        **({"doubted": doubted} if (doubted := _words(told.doubted, course[0].at_s)) else {}),
        **({"doubtful": told.now.why.value} if told.now else {}),
    }
    event = place.store.append(joint_id, utc_of(course[-1].at_s), by.strip(), "samples.kept", data)
    return Kept(event, told, _reading(place, joint_id, stream, course, told, by=by))


def sent_samples(sent: Mapping[str, Any]) -> tuple[Stream, tuple[Sample, ...]]:
    """What a program sent: the stream, and its samples from rows of [UTC, text]. Raises Refused naming the row."""
    facts, rows = sent.get("facts") or {}, sent.get("samples") or []
    if not isinstance(facts, Mapping) or not isinstance(rows, list):
        raise Refused(field="samples", wanted="facts as an object and samples as a list", got="something else")
    measures = str(sent.get("measures") or "")
    if measures not in KINDS:
        raise Refused(field="measures", wanted=f"one of {', '.join(KINDS)}", got=measures, reason="refused.choice")
    stream = Stream(str(sent.get("instrument") or ""), measures, {str(name): str(v) for name, v in facts.items()})
    return stream, tuple(_sample(number, row, measures) for number, row in enumerate(rows, 1))


def _sample(number: int, row: Any, measures: str) -> Sample:
    if not isinstance(row, list) or len(row) != 2 or not all(isinstance(cell, str) for cell in row):
        raise Refused(field=f"samples {number}", wanted='["2026-03-02T10:42:00Z", "12 ppm"]', got=str(row)[:60])
    at_utc, told = row
    at_s = seconds_of(at_utc, field=f"samples {number}")
    if told in STATES[1:]:
        return Sample(at_s, None, told)
    dimension = dimension_of(measures)
    return Sample(at_s, read(told, field=f"samples {number}", dimension=dimension).value)


def _checked(place: Place, stream: Stream, samples: Sequence[Sample], by: str) -> tuple[Sample, ...]:
    if not by.strip():
        raise Refused(field="by", wanted="your stamp, like W-07", got="nothing", reason="refused.missing")
    if not stream.tag.strip():
        raise Refused(field="instrument", wanted="its tag, like M-3", got="nothing", reason="refused.missing")
    if stream.measures not in KINDS:
        raise Refused(
            field="measures", wanted=f"one of {', '.join(KINDS)}", got=stream.measures, reason="refused.choice"
        )
    if not samples or len(samples) > MOST:
        got = str(len(samples)) if samples else "nothing"
        raise Refused(field="samples", wanted=f"1 to {MOST} samples", got=got, reason="refused.range")
    for sample in samples:
        number = sample.state == "reading"
        if sample.state not in STATES or number != (sample.value is not None) or not math.isfinite(sample.value or 0.0):
            raise Refused(field="samples", wanted="a number, or what it showed instead", got=str(sample))
        if not abs(sample.at_s - place.now_s()) < 86400:
            raise Refused(field="samples", wanted="samples of today", got=_told(sample.at_s))
    return tuple(sorted(samples, key=lambda sample: sample.at_s))


def _told(at_s: float) -> str:
    """A time as text, whatever it is."""
    try:
        return utc_of(at_s)
    except (OverflowError, ValueError):
        return str(at_s)


def _before(place: Place, record_now: JointRecord, stream: Stream, at_s: float) -> tuple[Sample, ...]:
    """What the same instrument sent just before, from the blocks that the log cites."""
    found: list[Sample] = []
    for seen in record_now.streams:
        if seen.data["instrument"] != stream.tag or seen.data["measures"] != stream.measures:
            continue
        if at_s - LOOK_BACK_S <= seconds_of(str(seen.data["until_utc"])) <= at_s:
            block = place.store.attachment(str(seen.data["samples_sha256"]))
            found += samples_in(block[0]) if block else ()
    return tuple(one for one in found if one.at_s >= at_s - LOOK_BACK_S)


def _words(doubted: tuple[Doubted, ...], from_s: float) -> str:
    """The stretches that touch this block, in words of the log: why, from, until."""
    return "; ".join(
        f"{one.why.value} {utc_of(one.began_s)} {utc_of(one.until_s) if one.until_s is not None else 'on'}"
        for one in doubted
        if one.until_s is None or one.until_s > from_s
    )


def _reading(
    place: Place, joint_id: str, stream: Stream, course: tuple[Sample, ...], told: Watched, *, by: str
) -> Event | None:
    last = course[-1]
    if last.state != "reading":  # even while doubtful: a display without a number must not leave an old number standing
        if stream.measures != "oxygen_frac":
            return None
        facts: Mapping[str, str] = {"state": last.state, **stream.facts}
        return record(place, joint_id, "oxygen.read", facts, by=by, at_utc=utc_of(last.at_s))
    if told.now is not None or last not in told.believed or last.value is None:
        return None
    facts = {stream.measures: _typed(stream.measures, last.value), **stream.facts}
    if stream.measures == "oxygen_frac":
        facts = {"state": "reading", **facts}
    return record(place, joint_id, KINDS[stream.measures], facts, by=by, at_utc=utc_of(last.at_s))


def _typed(measures: str, value: float) -> str:
    if measures == "temperature_K":
        return f"{value - 273.15:.2f} °C"
    return f"{value * 1e6:.6g} ppm" if measures == "oxygen_frac" else f"{value * 100:.6g} %"
