"""The purge of a joint as it stands, for pages and paper; and how past forecasts of this shop's purges did."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from brightroot.app.plan_joint import plan_of
from brightroot.app.ports import Place
from brightroot.app.state import state_of
from brightroot.app.work_live import Now, cells_of
from brightroot.documents.purge_picture import Forecast
from brightroot.live.estimators.purge import PurgeState, purge_of, purge_state
from brightroot.live.scores import Score, Scores, scored, together
from brightroot.physics.purge.filter.inputs import Purge
from brightroot.planner.heat import Figures
from brightroot.planner.purge_stop import plan_stop

LAST = 12  # purges that are scored
BAND_STEPS = 60
DOUBTFUL = 0.5  # P(never) over which no time to wait is named
LONGEST_S, SHORTEST_S = 3600.0, 240.0


@dataclass(frozen=True, slots=True)
class PurgeSeen:
    """The purge now: the filter's state, and the verdict in one word for the page.

    `verdict` adds to the filter's: not_started, over (the backing has ended), wait_checks (at target but for the checks),
    wait_unsure (no time can be told), wait_doubtful (more likely than not it never gets there as things stand).
    """

    verdict: str
    state: PurgeState | None
    forecast: Forecast | None


def purge_seen(now: Now) -> PurgeSeen:
    """What is known of the purge at this moment."""
    record = now.state.record
    if record.purge_started_s is None:
        return PurgeSeen("not_started", None, None)
    over = record.purge_ended_s is not None or (
        record.post_purge_ended_s is not None and record.post_purge_ended_s >= record.purge_started_s
    )
    if over:
        purge = purge_of(now.plan, record, cells=now.cells)
        shown = Forecast(purge.targets_frac[0], purge.monitor.place) if purge else None
        return PurgeSeen("over", None, shown)
    ahead_s = min(LONGEST_S, max(SHORTEST_S, now.plan.figures["purge.time_s"].high))
    band = [ahead_s * k / BAND_STEPS for k in range(BAND_STEPS + 1)]
    state = purge_state(now.plan, record, now.now_s, cells=now.cells, band_s=band)
    if state is None:
        return PurgeSeen("not_started", None, None)
    return PurgeSeen(_verdict(state), state, forecast_of(state))


def _verdict(state: PurgeState) -> str:
    """A wait that only the checks of this shift hold up is said as such."""
    if state.verdict == "wait" and state.missing and state.target.reached:
        return "wait_checks"
    if state.verdict != "wait":
        return state.verdict
    if state.target.p_never > DOUBTFUL:
        return "wait_doubtful"
    return "wait" if state.target.monitor_shows_s is not None else "wait_unsure"


def forecast_of(state: PurgeState) -> Forecast:
    """What a chart shows of the state, as plain numbers."""
    target = state.target
    clocks = {} if target.reached else {"gas": target.gas_reaches_s, "shown": target.monitor_shows_s}
    late = max((q.p95 for q in clocks.values() if q is not None), default=state.at_s)
    until_s = state.at_s + max(SHORTEST_S / 2, 1.25 * (late - state.at_s))
    return Forecast(
        band=tuple(row for row in state.band if row[0] <= until_s),
        floor_frac=(state.floor_frac.p05, state.floor_frac.p50, state.floor_frac.p95),
        clocks_s={name: (q.p05, q.p50, q.p95) for name, q in clocks.items() if q is not None},
        target_frac=target.target_frac,
        place=state.place,
        now_s=state.at_s,
    )


def purge_scores(place: Place) -> Scores | None:
    """The last purges of this shop's log, scored; None where there is none to score."""
    found = []
    for joint_id in place.store.joints():
        record = state_of(place, joint_id).record
        if record.purge_started_s is None:
            continue
        plan = plan_of(place, joint_id)
        purge = purge_of(plan, record, cells=cells_of(place, plan))
        score = None if purge is None else _scored(purge)
        if score is not None:
            found.append(score)
    return together(tuple(sorted(found, key=lambda score: score.at_s)[-LAST:]))


@lru_cache(maxsize=256)
def _scored(purge: Purge) -> Score | None:
    return scored(purge)


def stop_figures(place: Place, now: Now, *, minutes: float) -> Figures:
    """What a stop of so many minutes does, and what it takes to purge again."""
    return plan_stop(now.plan.joint, library=place.library, figures=now.plan.figures, stop_s=minutes * 60)
