"""`brightroot instruments`: which drivers there are, whether they read their own exchanges, and listening to one."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path

import typer

from brightroot.app.ports import Place
from brightroot.app.stream import keep_samples
from brightroot.base.errors import Refused
from brightroot.cli.output import FAIL, put
from brightroot.cli.wiring import place_at
from brightroot.instruments.answers import sample_of
from brightroot.instruments.driver import Driver
from brightroot.instruments.drivers import load_drivers, replay
from brightroot.instruments.made_up import FAULTS, Fault, made_up
from brightroot.instruments.sources import Answer, messages, registers, serial_lines, tail
from brightroot.model.stream import Sample, Stream

WAYS = "serial:PORT, registers:HOST:PORT, messages:HOST:PORT/TOPIC, file:PATH or made-up:FAULT"


def run_list(folder: Path | None, *, as_json: bool) -> None:
    """Every driver, and what its recorded exchanges say of it."""
    drivers = load_drivers(*([folder] if folder else []))
    told = {name: replay(driver) for name, driver in drivers.items()}
    if as_json:
        rows = [
            {"driver": d.id, "title": d.title, "speaks": d.speaks, "measures": d.measures,
             "exchanges_count": len(d.exchanges), "wrong": told[d.id]}
            for d in drivers.values()
        ]  # fmt: skip
        put({"ok": not any(told.values()), "drivers": rows})
    else:
        for driver in drivers.values():
            print(f"{driver.id:18} {driver.title} ({len(driver.exchanges)} exchanges)")
            print(*(f"! {wrong}" for wrong in told[driver.id]), sep="\n", end="\n" if told[driver.id] else "")
    raise typer.Exit(FAIL if any(told.values()) else 0)


def run_listen(
    joint: str,
    *,
    driver: str,
    tag: str,
    at: str,
    facts: list[str],
    every_s: float,
    seconds: float,
    by: str,
    store: Path | None,
    folder: Path | None,
    as_json: bool,
) -> None:
    """Take samples in and keep a block of them every so often, until the time is over or somebody ends it."""
    drivers = load_drivers(*([folder] if folder else []))
    if driver not in drivers:
        raise Refused(field="driver", wanted=f"one of {', '.join(drivers)}", got=driver, reason="refused.choice")
    if not 1 <= every_s <= 60:
        raise Refused(field="every", wanted="1 to 60 s", got=f"{every_s:g} s", reason="refused.range")
    spoken = drivers[driver]
    shared = dict(fact.partition("=")[::2] for fact in facts)
    stream = Stream(tag, spoken.measures, shared)
    place, until_s = place_at(store), time.monotonic() + seconds
    kept_s = time.monotonic()
    waiting: list[Sample] = []

    def stop() -> bool:
        return time.monotonic() >= until_s

    for sample in _samples(spoken, at, stop):
        if isinstance(sample, Refused):
            print(f"! {sample}")
            continue
        waiting.append(sample)
        if time.monotonic() - kept_s >= every_s:
            _keep(place, joint, stream, waiting, by, as_json)
            kept_s, waiting = time.monotonic(), []
    if waiting:
        _keep(place, joint, stream, waiting, by, as_json)


def _samples(driver: Driver, at: str, stop: Callable[[], bool]) -> Iterator[Sample | Refused]:
    way, _, where = at.partition(":")
    if way == "made-up":
        fault = where or "none"
        if fault not in FAULTS:
            raise Refused(field="at", wanted=f"made-up: one of {', '.join(FAULTS)}", got=at, reason="refused.choice")
        began = time.time()
        for sample in made_up(seed=1, minutes=60, fault=Fault(fault, 30.0, 60.0)):
            while time.time() - began < sample.at_s:
                if stop():
                    return
                time.sleep(0.05)
            yield Sample(began + sample.at_s, sample.value, sample.state)
        return
    for at_s, answer in _answers(driver, way, where, at, stop):
        try:
            yield sample_of(driver, answer, at_s=at_s)
        except Refused as refusal:
            yield refusal


def _answers(driver: Driver, way: str, where: str, at: str, stop: Callable[[], bool]) -> Iterator[Answer]:
    if way == "serial":
        return serial_lines(driver, where, stop=stop)
    if way == "registers":
        return registers(driver, where, stop=stop)
    if way == "messages" and "/" in where:
        return messages(driver, *where.split("/", 1), stop=stop)
    if way == "file":
        return tail(Path(where), stop=stop)
    raise Refused(field="at", wanted=WAYS, got=at, reason="refused.choice")


def _keep(place: Place, joint: str, stream: Stream, samples: list[Sample], by: str, as_json: bool) -> None:
    kept = keep_samples(place, joint, stream, samples, by=by)
    doubt = kept.watched.now
    if as_json:
        put({"ok": True, "event": kept.event.id, "samples_count": len(samples),
             "doubtful": doubt.why.value if doubt else "", "reading": kept.reading.id if kept.reading else ""})  # fmt: skip
    else:
        said = f"not believed: {doubt.why.value}" if doubt else kept.reading.id if kept.reading else "no reading"
        print(f"{kept.event.id}  {len(samples)} samples  {said}")
