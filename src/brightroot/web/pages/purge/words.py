"""The purge in one person's words: the verdict, its reasons, two clocks, the score, dams side by side."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from brightroot.app.purge import PurgeSeen
from brightroot.app.work_live import Now
from brightroot.base.formula import Estimate
from brightroot.base.instant import utc_of
from brightroot.live.scores import Scores
from brightroot.model.joint import DAM_KINDS
from brightroot.model.plan import Plan
from brightroot.physics.purge.filter.answer import Quantiles
from brightroot.web.shown import Shown

ODD = ("frozen", "percent", "jump", "below_supply", "no_digits", "silent", "line_open", "no_flow")


@dataclass(frozen=True, slots=True)
class Clock:
    """One clock: what it tells, when, between when and when."""

    says: str
    value: str
    ends: str


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause with its share and its test."""

    says: str
    share: str
    test: str


@dataclass(frozen=True, slots=True)
class DamRow:
    """One kind of dam: its keys, whether it is this joint's, and in words what must come out again."""

    kind: str
    own: bool
    out: str


def verdict_line(seen: PurgeSeen, now: Now, shown: Shown) -> str:
    """The verdict in words, with the number that matters."""
    state = seen.state
    if state is None:
        return shown.say(f"purge.verdict.{seen.verdict}")
    shows = state.target.monitor_shows_s
    return shown.say(
        f"purge.verdict.{seen.verdict}",
        target=_ppm(state.target.target_frac, shown),
        floor=_ppm(state.floor_frac.p50, shown),
        leak=shown.number(state.leak_m3_s.p50, "in_leak_m3_s", both=False),
        left=shown.time(max(0.0, shows.p50 - now.now_s)) if shows else "",
    )


def _ppm(value: float, shown: Shown) -> str:
    return shown.number(value, "oxygen_frac", both=False)


def spread(quantiles: Quantiles, name: str, shown: Shown) -> str:
    """`7 ppm (5–10)` in words."""
    low, middle, high = (shown.number(x, name, both=False) for x in quantiles)
    return f"{middle} ({shown.say('purge.range', low=low, high=high)})"


def clocks(seen: PurgeSeen, now: Now, shown: Shown) -> tuple[Clock, ...]:
    """When the gas is there, and when the monitor shows it: two different moments."""
    state = seen.state
    if state is None:
        return ()
    target = _ppm(state.target.target_frac, shown)
    rows = []
    for says, at in (("clock_gas", state.target.gas_reaches_s), ("clock_shown", state.target.monitor_shows_s)):
        said = shown.say(f"purge.{says}", target=target)
        if state.target.reached:
            rows.append(Clock(said, shown.say("purge.reached"), ""))
        elif at is None:
            rows.append(Clock(said, shown.say("purge.no_clock"), ""))
        else:
            left = [shown.time(max(0.0, t - now.now_s)) for t in at]
            clock = shown.say("purge.clock_at", time=utc_of(at.p50)[11:19])
            rows.append(Clock(said, left[1], f"{shown.say('purge.range', low=left[0], high=left[2])}, {clock}"))
    return tuple(rows)


def causes(seen: PurgeSeen, shown: Shown) -> tuple[Cause, ...]:
    """What may hold it up, worst first."""
    found = seen.state.causes if seen.state else ()
    return tuple(
        Cause(
            shown.say(f"purge.cause.{one.name}"),
            shown.number(one.share_frac, "share_frac", both=False),
            shown.say(f"purge.test.{one.test}"),
        )
        for one in found
    )


def scores_said(scores: Scores | None, shown: Shown) -> str:
    """How past forecasts did, in one line."""
    if scores is None:
        return shown.say("purge.score_none")
    return shown.say(
        "purge.score_line",
        count=scores.count,
        miss=shown.time(scores.median_miss_s),
        worst=shown.time(scores.worst_miss_s),
        inside=scores.inside_count,
    )


def dam_rows(plan: Plan, shown: Shown) -> tuple[DamRow, ...]:
    """Every kind of dam beside the others."""
    rows = []
    for kind in DAM_KINDS:
        count = plan.figures.get(f"dams.{kind}.out_count")
        if count is None:  # planned before dams were laid side by side
            return ()
        out = "purge.flush" if kind == "film" else "purge.nothing_out" if not count.value else "purge.pieces"
        rows.append(DamRow(kind, kind == plan.joint.purge.dam_kind, shown.say(out, count=f"{count.value:.0f}")))
    return tuple(rows)


def stop_said(figures: Mapping[str, Estimate], shown: Shown) -> tuple[tuple[str, str], ...]:
    """(how it stood, what then) for a stop of the gas."""
    rows = []
    for name in ("taped", "open"):
        oxygen, time = figures.get(f"pause.{name}.oxygen_frac"), figures.get(f"pause.{name}.time_s")
        if oxygen is None or time is None:
            continue
        share = f"{oxygen.high * 100:.1f} %" if oxygen.high > 0.01 else _ppm(oxygen.high, shown)
        low, likely, high = (shown.time(x) for x in (time.low, time.value, time.high))
        line = shown.say("purge.stop_line", oxygen=share, time=likely, low=low, high=high)
        rows.append((shown.say(f"purge.stop_{name}"), line))
    return tuple(rows)


def reading_line(now: Now, shown: Shown) -> str:
    """The last look at the monitor in one line, never without its age."""
    state = now.oxygen
    name = state.state.replace(" ", "_")
    if state.last is None:
        return shown.say("live.purge.never_read")
    age = shown.time(state.age_s or 0.0)
    if state.last.oxygen_frac is None:
        if name == "over_range":
            return shown.say("live.purge.over_range", age=age)
        return shown.say("live.purge.no_number", shown=shown.choice(state.last.state), age=age)
    oxygen = _ppm(state.last.oxygen_frac, shown)
    return shown.say(f"live.purge.{name}", oxygen=oxygen, place=shown.choice(state.last.place), age=age)


def gas_line(now: Now, shown: Shown) -> str:
    """How long the gas has been on, and how much of it."""
    record = now.state.record
    if record.purge_started_s is None:
        return shown.say("live.purge.not_started")
    started = shown.say("live.purge.started", time=shown.time(now.now_s - record.purge_started_s))
    if record.backing_flow_m3_s is None:
        return f"{started} {shown.say('live.purge.flow_unknown')}"
    return f"{started} {shown.say('live.purge.flow', flow=shown.number(record.backing_flow_m3_s, 'flow_m3_s'))}"
