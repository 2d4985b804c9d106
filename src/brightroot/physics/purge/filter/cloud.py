"""The particles as they stand, and what each flow, event and reading does to them."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from brightroot.physics.purge.filter import kernels as k
from brightroot.physics.purge.filter import observe, priors
from brightroot.physics.purge.filter.beliefs import BELIEFS
from brightroot.physics.purge.filter.doubts import frozen, least_shown_frac, odd_because
from brightroot.physics.purge.filter.inputs import Done, Look, Purge

Array = NDArray[np.float64]
HELD_AGREE_1 = 2.0  # two odd readings within this factor of each other are believed


@dataclass(slots=True)
class Cloud:
    """Particles at `at_s`: rows, the clocks they have passed, log weights; and what has been seen so far."""

    purge: Purge
    rng: Generator
    rows: Array
    when: Array
    logs: Array
    targets: Array
    fresh: Array  # as drawn before the first reading
    widths: Array
    at_s: float
    flow: float = 0.0
    moved: bool = False
    stopped_s: float = 0.0
    line_open: bool = False
    seen: list[Look] = field(default_factory=list)
    odd: list[tuple[float, str]] = field(default_factory=list)  # (seconds, why) of readings that were held back
    held: Look | None = None
    before: tuple[float, Array, Array, Array] | None = None  # the cloud before a number was first repeated


def begun(purge: Purge, *, particles: int, seed: int) -> Cloud:
    """The cloud before anything was read."""
    rng = np.random.Generator(np.random.PCG64(seed))
    rows = priors.drawn(purge, count=particles, rng=rng)
    targets = np.array(purge.targets_frac, dtype=float)
    when = np.full((particles, 2, len(targets)), np.nan)
    first = min(purge.flows[0][0], purge.looks[0].at_s if purge.looks else purge.flows[0][0])
    return Cloud(purge, rng, rows, when, np.zeros(particles), targets, rows.copy(), priors.widths(purge), at_s=first)


def marched(cloud: Cloud, until_s: float) -> None:
    """On to that moment under the flow that stands."""
    if until_s > cloud.at_s:
        k.march(
            cloud.rows, cloud.when, cloud.logs, cloud.targets, cloud.at_s, until_s, cloud.flow, cloud.purge.volume_m3,
            cloud.widths, cloud.rng,
        )  # fmt: skip
        cloud.at_s = until_s


def flow_changed(cloud: Cloud, flow: float) -> None:
    """A step of the flow; the first flow of all is no step."""
    before, cloud.flow, cloud.before = cloud.flow, flow, None
    if not cloud.moved:
        cloud.moved = flow > 0.0
    elif flow == 0.0 and before > 0.0:
        cloud.stopped_s = cloud.at_s
        priors.at_stop(cloud.rows, cloud.rng)
    elif flow > 0.0 and before == 0.0:
        priors.after_stop(cloud.rows, cloud.at_s - cloud.stopped_s, cloud.purge.volume_m3, cloud.rng)
        observe.refreshed(cloud.rows, cloud.fresh, flow, BELIEFS.again_doubt, cloud.rng)
    elif flow > 0.0 and flow != before:
        priors.flow_step(cloud.rows, flow / before, cloud.rng)


def happened(cloud: Cloud, done: Done) -> None:
    """Tape, dam, cylinder or sample line."""
    cloud.before = None
    if done.kind == "sample_line_opened":
        cloud.line_open = True
    elif done.kind == "sample_line_closed":
        cloud.line_open = False
        last = cloud.seen[-1].oxygen_frac if cloud.seen else None
        priors.line_closed(cloud.rows, last, cloud.rng)
    else:
        priors.event(cloud.rows, done.kind, cloud.purge, cloud.rng)


def looked(cloud: Cloud, look: Look) -> None:
    """A reading is weighed, held back as odd, or forgotten again once it turns out to be frozen."""
    cloud.seen.append(look)
    if look.state == "no digits" or cloud.line_open:
        return
    if look.state == "reading":
        if frozen(cloud.seen, cloud.purge.monitor):
            _unfreeze(cloud)
            return
        _remember(cloud, look)
        why = odd_because(cloud.rows, cloud.logs, look, _least_frac(cloud, look), cloud.purge)
        if why and (why != "jump" or not _agree(cloud.held, look)):
            cloud.odd.append((look.at_s, why))
            cloud.held = look
            return
        if why:
            priors.shock(cloud.rows, look.oxygen_frac or 0.0, cloud.flow, cloud.rng)
    cloud.held = None
    _weigh(cloud, look)


def _least_frac(cloud: Cloud, look: Look) -> float:
    """The lowest number that the monitor could show by now."""
    before = [old for old in cloud.seen[:-1] if old.oxygen_frac is not None]
    if not before or before[-1].oxygen_frac is None:
        return 0.0
    return least_shown_frac(before[-1].oxygen_frac, look.at_s - before[-1].at_s, cloud.purge.monitor)


def _agree(held: Look | None, look: Look) -> bool:
    if held is None or not held.oxygen_frac or not look.oxygen_frac:
        return False
    return 1 / HELD_AGREE_1 < look.oxygen_frac / held.oxygen_frac < HELD_AGREE_1


def _remember(cloud: Cloud, look: Look) -> None:
    """Keep the cloud as it was before a number repeated the one before it: the row may turn out to be frozen."""
    repeated = len(cloud.seen) > 1 and cloud.seen[-2].oxygen_frac == look.oxygen_frac
    if not repeated:
        cloud.before = None
    elif cloud.before is None:
        cloud.before = (cloud.at_s, cloud.rows.copy(), cloud.when.copy(), cloud.logs.copy())


def _unfreeze(cloud: Cloud) -> None:
    """Back to the moment before the first repeat, and on from there without the row."""
    if cloud.before is not None:
        now_s = cloud.at_s
        cloud.at_s, cloud.rows, cloud.when, cloud.logs = cloud.before
        cloud.before = None
        marched(cloud, now_s)


def _weigh(cloud: Cloud, look: Look) -> None:
    cloud.logs += observe.log_likelihood(observe.display(cloud.rows), look, cloud.purge.monitor)
    weights = observe.normalised(cloud.logs)
    if observe.effective_count(weights) < 0.5 * len(weights):
        copies = observe.chosen(weights, cloud.rng)
        cloud.rows, cloud.when = cloud.rows[copies], cloud.when[copies]
        cloud.logs = np.zeros(len(weights))
        observe.jittered(cloud.rows, cloud.widths[k.JITTER], cloud.rng)
        observe.refreshed(cloud.rows, cloud.fresh, cloud.flow, cloud.widths[k.DOUBTED], cloud.rng)
    else:
        cloud.logs -= cloud.logs.max()
