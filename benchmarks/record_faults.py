"""Faults on the way of a record, simulated by seed: what was acknowledged is there, once, whatever happens between.

Real store, real files, real backup and restore; simulated network, clocks and tablets. `python -m benchmarks.record_faults`
runs it all and writes `results/record_faults.json`; `tests/evidence` runs a seeded 2 % again.
"""

from __future__ import annotations

import json
import random
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from unittest.mock import patch

from sqlalchemy import Connection

from brightroot.base.errors import Refused
from brightroot.base.instant import utc_of
from brightroot.model.event import Event
from brightroot.records.order import settled
from brightroot.records.seal import check_chains
from brightroot.store.backup import back_up, restore
from brightroot.store.logs import Store, open_store
from brightroot.store.proof import check_head
from brightroot.store.writer import Writer, _Job

SEED = 20261125
SEEDS = 1000
TAPS = 170  # of the tablets, in one seed; laptops and clones write about forty more
NOW_S = 1_772_448_120.0
KIND = "plan.departed_from"
JOINTS = ("J-05", "J-06")
DAY_S = 86_400.0
FAST = "/dev/shm" if Path("/dev/shm").is_dir() else None  # that a file is on disk is tried with real kills


@dataclass
class Tap:
    """One entry as a tablet keeps it until it may forget it."""

    client_id: str
    joint: str
    word: str
    at_utc: str
    epoch: str = ""  # of the server that acknowledged it; '' while none has


@dataclass
class Tablet:
    """A tablet with its outbox on disk: what is not acknowledged is sent, what is acknowledged is kept for a while."""

    name: str
    clock_s: float
    outbox: list[Tap] = field(default_factory=list)
    kept: list[Tap] = field(default_factory=list)
    epoch: str = ""

    def hears(self, epoch: str, bent: str) -> None:
        """A server that was brought back speaks under a new epoch: what an older one acknowledged goes out again."""
        if bent == "tablet ignores the epoch" or epoch == self.epoch:
            return
        again = [tap for tap in self.kept if tap.epoch != epoch]
        self.kept = [tap for tap in self.kept if tap.epoch == epoch]
        for tap in again:
            tap.epoch = ""
        self.outbox = [*again, *self.outbox]
        self.epoch = epoch

    def acknowledged(self, tap: Tap, epoch: str, bent: str) -> None:
        """The server has it on disk."""
        target = self.outbox[0] if bent == "answer given to the first in line" and self.outbox else tap
        self.outbox = [one for one in self.outbox if one is not target]
        target.epoch = epoch
        if bent != "tablet forgets what is acknowledged":
            self.kept.append(target)


@dataclass
class World:
    """Everything of one seed: the server's file, tablets, laptops, what was promised, and what went wrong."""

    draw: random.Random
    folder: Path
    bent: str = ""
    store: Store = field(init=False)
    tablets: list[Tablet] = field(default_factory=list)
    made: set[str] = field(default_factory=set)
    promised: set[str] = field(default_factory=set)
    last_id: str = ""
    carried: list[tuple[bytes, ...]] = field(default_factory=list)  # logs that somebody took away in a file
    written: set[str] = field(default_factory=set)
    receipts: list[dict[str, Any]] = field(default_factory=list)
    held: list[tuple[Tablet, Tap]] = field(default_factory=list)  # on the wire, late
    count: Counter[str] = field(default_factory=Counter)
    memory_seq: int = 0

    def __post_init__(self) -> None:
        self.store = open_store(self.path)

    @property
    def path(self) -> Path:
        return self.folder / "server.sqlite3"


def run_seed(seed: int, *, bent: str = "", taps: int = TAPS) -> dict[str, Any]:
    """One world from its seed: its counts, and every promise that was broken (none, unless a rule was bent)."""
    draw = random.Random(SEED * 1_000_003 + seed)
    folder = Path(tempfile.mkdtemp(prefix="faults-", dir=FAST))
    try:
        with ExitStack() as stack:
            from benchmarks.record_mutants import bend

            stack.enter_context(patch.object(Writer, "run", _at_once))
            stack.enter_context(bend(bent))
            world = World(draw, folder, bent)
            world.tablets = [
                Tablet(f"d-{n}", draw.uniform(-DAY_S, DAY_S) if n else 0.0) for n in range(draw.randint(2, 4))
            ]
            _live(world, taps)
            _heal(world)
            broken = [*_promises(world), *_laptops(world)]
            world.store.close()
            return {"seed": seed, "counts": dict(world.count), "broken": broken}
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _at_once(self: Writer, work: Callable[[Connection], Any]) -> Any:
    """The writer's own commit without its thread: one seed is one hand, and a busy machine waits less."""
    job = _Job(work)
    self._commit([job])
    return job.done.result()


def _live(world: World, taps: int) -> None:
    draw = world.draw
    copies: list[Path] = []
    for n in range(taps):
        tablet = draw.choice(world.tablets)
        at_utc = utc_of(NOW_S + n * 1.7 + tablet.clock_s)
        tap = Tap(f"{draw.getrandbits(64):016x}", draw.choice(JOINTS), f"{tablet.name} {n}", at_utc)
        if world.bent == "ids start anew after a reload":
            tap.client_id = f"{len(tablet.outbox)}"
        if n and draw.random() < 0.01:
            tap.client_id = world.last_id  # a bad generator of random numbers
        world.last_id = tap.client_id
        tablet.outbox.append(tap)
        world.made.add(tap.word)
        world.count["taps"] += 1
        if draw.random() < 0.75:
            _flush(world, tablet)
        what = draw.random()
        if what < 0.012:
            _crash(world)
        elif what < 0.024:
            copies.append(world.folder / f"copy-{n}.sqlite3")
            back_up(world.path, copies[-1])
        elif what < 0.034 and copies:
            _roll_back(world, draw.choice(copies))
        elif what < 0.042 and len(world.tablets) < 6:
            _clone(world, draw.choice(world.tablets))
        elif what < 0.062 and world.bent == "outbox lives in memory":
            tablet.outbox = []
        if draw.random() < 0.1 and world.held:
            _late(world)


def _flush(world: World, tablet: Tablet) -> None:
    """Send what waits, oldest first, over a bad network; stop at the first that is not answered."""
    draw, bent = world.draw, world.bent
    for tap in list(tablet.outbox):
        luck = draw.random()
        if bent == "forgotten once sent":
            tablet.outbox.remove(tap)
        if bent == "a new id at every try":
            tap.client_id = f"{draw.getrandbits(64):016x}"
        if luck < 0.10:  # lost on the way there
            world.count["lost on the way"] += 1
            if bent == "a timeout counts as sent" and tap in tablet.outbox:
                tablet.outbox.remove(tap)
            if bent == "the rest is dropped after a failure":
                tablet.outbox = tablet.outbox[:1]
            return
        if luck < 0.17:  # on the wire, comes late and out of order
            world.held.append((tablet, tap))
            world.count["late"] += 1
            if draw.random() < 0.5:
                return
            continue
        answer = _serve(world, tablet, tap)
        if luck < 0.30:  # twice
            world.count["twice"] += 1
            answer = _serve(world, tablet, tap)
        if luck > 0.92:  # the answer is lost
            world.count["answers lost"] += 1
            return
        _answered(world, tablet, tap, answer)


def _answered(world: World, tablet: Tablet, tap: Tap, answer: dict[str, Any]) -> None:
    if not answer.get("ok") and world.bent != "any answer counts as recorded":
        return
    if answer.get("ok"):
        world.promised.add(tap.word)
        world.receipts.append(answer["receipt"])
    epoch = answer.get("receipt", {}).get("epoch", tablet.epoch)
    tablet.hears(epoch, world.bent)
    tablet.acknowledged(tap, epoch, world.bent)


def _serve(world: World, tablet: Tablet, tap: Tap) -> dict[str, Any]:
    """The server's side of one sending; sometimes it dies in the middle."""
    draw, bent = world.draw, world.bent
    if draw.random() < 0.01:
        world.count["refused for a while"] += 1
        return {"ok": False}
    dies = draw.random()
    if bent == "answered before it is saved" and dies < 0.05:
        return {"ok": True, "receipt": world.store.receipt(_any_event(world, tap, tablet))}
    try:
        event = world.store.append(
            tap.joint, tap.at_utc, "W-07", KIND, {"what": tap.word, "why": "simulated"},
            client_id="" if bent == "the server does not know ids" else tap.client_id, device=tablet.name,
        )  # fmt: skip
    except Refused:
        world.count["conflicts"] += 1
        if bent != "a conflict is answered with yes":  # it is shown, and the person enters it again
            tap.client_id = f"{tap.client_id} {tap.word}"  # the same on a copy of the tablet
        return {"ok": bent == "a conflict is answered with yes", "receipt": {"epoch": world.store.epoch}}
    world.written.add(tap.word)
    if dies < 0.004:
        _crash(world)
        world.count["died before the answer"] += 1
        return {"ok": False}
    if draw.random() < 0.8:  # a receipt costs as much as an entry; every fifth is enough to look at
        return {"ok": True, "receipt": {"epoch": world.store.epoch, "event": event.id}}
    return {"ok": True, "receipt": world.store.receipt(event)}


def _any_event(world: World, tap: Tap, tablet: Tablet) -> Event:
    return Event(tap.joint, tablet.name, world.store.epoch, 1, tap.at_utc, "W-07", KIND)


def _late(world: World) -> None:
    """What was on the wire arrives, in no order."""
    world.draw.shuffle(world.held)
    for _ in range(world.draw.randint(1, len(world.held))):
        tablet, tap = world.held.pop()
        answer = _serve(world, tablet, tap)
        if world.draw.random() < 0.5 and any(one is tap for one in tablet.outbox):
            _answered(world, tablet, tap, answer)


def _crash(world: World) -> None:
    """The power goes: the file as it is on disk, its journal torn behind the last commit, opened again."""
    world.count["crashes"] += 1
    after = world.folder / f"after-{world.count['crashes']}.sqlite3"
    shutil.copy(world.path, after)
    journal = world.path.with_name(world.path.name + "-wal")
    if journal.exists():
        torn = journal.read_bytes()
        if world.bent == "a commit is not on disk":
            torn = torn[: len(torn) // 2]
        frame = torn[32 : 32 + 24 + 4096]
        torn += frame[: world.draw.randint(0, len(frame))] + world.draw.randbytes(world.draw.randint(0, 300))
        after.with_name(after.name + "-wal").write_bytes(torn)
    world.store.close()
    for ending in ("", "-wal", "-shm"):
        world.path.with_name(world.path.name + ending).unlink(missing_ok=True)
        beside = after.with_name(after.name + ending)
        if beside.exists():
            beside.replace(world.path.with_name(world.path.name + ending))
    world.store = open_store(world.path)


def _roll_back(world: World, copy: Path) -> None:
    """Somebody puts an old backup in place."""
    world.count["restored"] += 1
    if world.draw.random() < 0.5:
        world.carried += [world.store.stored(joint) for joint in JOINTS]
    world.store.close()
    restore(copy, world.path)
    world.store = open_store(world.path)


def _clone(world: World, tablet: Tablet) -> None:
    """The tablet's whole memory is copied to another: both go on as the same device."""
    world.count["clones"] += 1
    copied = Tablet(
        tablet.name, tablet.clock_s, [Tap(**vars(t)) for t in tablet.outbox], [Tap(**vars(t)) for t in tablet.kept]
    )
    copied.epoch = tablet.epoch
    world.tablets.append(copied)


def _heal(world: World) -> None:
    """The network is well again: everybody asks the server for its epoch and sends until nothing waits."""
    for stored in world.carried:
        world.store.receive(stored)
    calm = random.Random(0)
    calm.random = lambda: 0.5  # type: ignore[method-assign]
    world.draw = calm
    for tablet in world.tablets:
        tablet.hears(world.store.epoch, world.bent)
        for _ in range(3):
            _flush(world, tablet)


def _promises(world: World) -> Iterator[str]:
    """What must hold at the end."""
    seen: Counter[str] = Counter()
    for joint in JOINTS:
        events = world.store.events(joint)
        counted = settled(events)
        seen.update(str(event.data.get("what")) for event in counted.events)
        shuffled = list(events)
        random.Random(1).shuffle(shuffled)
        if settled(shuffled).events != counted.events:
            yield "the order in which entries came made a difference"
        if not check_chains(world.store.stored(joint)).holds:
            yield "a chain does not hold"
        for one, after in zip(counted.events, counted.events[1:], strict=False):
            if (one.device, one.epoch) == (after.device, after.epoch) and one.seq > after.seq:
                yield "a clock moved an entry before one that its own device wrote earlier"
                break
    lost = world.promised - set(seen)
    doubled = [word for word, count in seen.items() if count > 1]
    waiting = [tap for tablet in world.tablets for tap in tablet.outbox]
    world.count.update({"events": sum(seen.values()), "lost": len(lost), "doubled": len(doubled)})
    if lost:
        yield f"{len(lost)} acknowledged entries are lost"
    if world.made - set(seen) - world.promised:
        yield f"{len(world.made - set(seen) - world.promised)} entries that were made are neither here nor waiting"
    if doubled:
        yield f"{len(doubled)} entries count twice"
    if waiting and not world.bent.startswith("the server"):
        yield f"{len(waiting)} entries are never taken"
    stored = {event.id for joint in JOINTS for event in world.store.events(joint)}
    if not all(check_head(one) for one in [r for r in world.receipts if "root" in r][-3:]):
        yield "a receipt does not check"
    if any(one.get("event", "") not in stored for one in world.receipts if one.get("epoch") == world.store.epoch):
        yield "a receipt names an entry that is not here"


def _laptops(world: World) -> Iterator[str]:
    """A laptop writes by itself, its file is copied, both go on; what they carry comes in pieces, twice, out of order."""
    draw = random.Random(world.draw.getrandbits(32))
    laptop = open_store(world.folder / "laptop.sqlite3", device="laptop")
    for n in range(draw.randint(4, 10)):
        laptop.append("J-07", utc_of(NOW_S + n), "W-07", KIND, {"what": f"laptop {n}", "why": "simulated"})
    laptop.close()
    shutil.copy(world.folder / "laptop.sqlite3", world.folder / "twin.sqlite3")
    everything: list[bytes] = []
    for name in ("laptop", "twin"):
        one = open_store(world.folder / f"{name}.sqlite3", device="laptop")
        for n in range(draw.randint(1, 6)):
            facts = {"what": f"{name} alone {n}", "why": "simulated"}
            one.append("J-07", utc_of(NOW_S + 100 + n), "W-07", KIND, facts)
        everything += [stored for stored in one.stored("J-07") if stored not in everything]
        one.close()
    pieces = [*everything, *draw.sample(everything, len(everything) // 2)]
    draw.shuffle(pieces)
    while pieces:
        size = draw.randint(1, 5)
        world.store.receive(pieces[:size])
        pieces = pieces[size:]
    there = {
        event.data["what"] for event in (*world.store.events("J-07"), *world.store.conflicts()) if event.joint == "J-07"
    }
    aside = "".join(one["begins"] for one in world.store.aside())
    wanted = {json.loads(stored)["data"]["what"] for stored in everything}
    world.count["carried"] += len(everything)
    kept = {json.loads(stored)["data"]["what"] for stored in world.store.aside_stored()}
    if wanted - there - kept:
        yield f"{len(wanted - there - kept)} carried entries are lost ({len(aside)})"
    if not check_chains(world.store.stored("J-07")).holds:
        yield "a carried chain does not hold"
    first = [stored for stored in everything if json.loads(stored)["seq"] == 1]
    if first and not any(event.seq == 1 for event in world.store.events("J-07")):
        yield "a carried chain did not begin"
    if len(world.store.events("J-07")) < max(json.loads(stored)["seq"] for stored in everything) - 6:
        yield "what waited was never taken in"
    before = world.store.stored("J-07")
    world.store.receive(everything)
    if world.store.stored("J-07") != before:
        yield "the same file again changed the log"


def sweep(seeds: range) -> dict[str, Any]:
    """Many seeds: how much happened, and everything that was broken."""
    total: Counter[str] = Counter()
    broken: list[dict[str, Any]] = []
    for seed in seeds:
        found = run_seed(seed)
        total.update(found["counts"])
        broken += [{"seed": seed, "what": what} for what in found["broken"]]
        if sys.stderr.isatty() or seed % 50 == 0:
            print(f"seed {seed}: {total['events']} events, {len(broken)} broken", file=sys.stderr, flush=True)
    return {"seeds": len(seeds), **dict(total), "broken": broken}


RESULTS = Path(__file__).parent / "results" / "record_faults.json"


def main() -> None:
    """Bent rules, tamperings, real kills, then seed after seed; written as it goes, so that a part is worth something."""
    from benchmarks.record_kills import kills
    from benchmarks.record_mutants import survivors
    from benchmarks.record_tampering import tamper

    found: dict[str, Any] = {"seed": SEED, "simulated": True, "commit": _commit()}
    for name, work in (("tampering", tamper), ("kills", kills), ("mutants", survivors)):
        if name in sys.argv[1:] or len(sys.argv) == 1:
            found[name] = work()
            _write(found)
    if "faults" not in sys.argv[1:] and len(sys.argv) > 1:
        return
    done = json.loads(RESULTS.read_text(encoding="utf-8")).get("faults", {}) if "on" in sys.argv[1:] else {}
    broken: list[Any] = done.pop("broken", [])
    total: Counter[str] = Counter(done)
    for start in range(total["seeds"], SEEDS, 10):  # `faults on` goes on where an earlier run was stopped
        part = sweep(range(start, min(start + 10, SEEDS)))
        broken += part.pop("broken")
        total.update(part)
        found["faults"] = {**dict(sorted(total.items())), "broken": broken}
        _write(found)


def _write(found: dict[str, Any]) -> None:
    kept = json.loads(RESULTS.read_text(encoding="utf-8")) if RESULTS.exists() else {}
    RESULTS.write_text(json.dumps({**kept, **found}, indent=1, sort_keys=True) + "\n", encoding="utf-8")


def _commit() -> str:
    told = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=False)
    return told.stdout.strip() or "unknown"


if __name__ == "__main__":
    main()
