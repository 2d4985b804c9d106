"""What the gas does to the hot metal while the shield is held: oxygen dose until now, film if it stays, film if it lifts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from brightroot.base.formula import Assumed, Band, Estimate, estimate
from brightroot.base.source import Datum, Standing
from brightroot.live.estimators.heat import asked_after, posterior_of
from brightroot.live.estimators.heat_made import answered, made_of
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, RunRecord
from brightroot.physics.heat.volumes.body import Body
from brightroot.physics.tint.dose import dose_frac_s, film_m, hot_time_s
from brightroot.physics.tint.forecast import films_after_m
from brightroot.physics.tint.names import TintForecast, tint_forecast, tint_forecast_of

AIR_FRAC = 0.2095
AIR_MOISTURE_FRAC = 0.01
HOT_SPREAD_1 = 0.3  # of the seconds that metal is hot: power, place, emissivity
INSIDE = ("vent", "weld plane")
Rows = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class HoldTint:
    """The face at the end of the run whose shield is held, which is the hottest metal there is."""

    run: int
    so_far: Estimate  # dose since the arc went off
    dose: Estimate  # dose if the shield stays until the metal is cool
    kept: Estimate  # film after that dose
    lifted: Band  # film if it came up this second, in still room air

    @property
    def names(self) -> TintForecast:
        """What the face will look like if the shield stays."""
        known = tint_forecast(dose_frac_s=self.dose.value, family="titanium")
        assert known is not None
        return known

    @property
    def lifted_names(self) -> TintForecast:
        """What it would look like if the shield came up now."""
        return tint_forecast_of(self.lifted)


def hold_tint(
    whole: Body, plan: Plan, record: JointRecord, *, cells: Mapping[str, Datum], now_s: float
) -> HoldTint | None:  # fmt: skip
    """Of the last run; None before the first arc has gone off. For titanium only: no other metal's growth is known."""
    made = made_of(plan, record)
    if not made:
        return None
    middle = posterior_of(whole, plan, record, cells=cells).value_1
    cooling = _hottest(whole, plan, record, middle)
    since = max(0.0, now_s - made[-1].arc.stop_s)
    trail = cells["trail_oxygen_frac"]
    before, after = _cut(cooling, since)
    so_far = _dose(before, trail, "live.face_so_far_dose_frac_s")
    dose = _dose(cooling, trail, "live.face_dose_frac_s")
    kept = estimate(film_m, key="live.face_film_m", dose_frac_s=dose)
    grown = films_after_m(histories_s_K=[before], oxygen_frac=trail.value)[0]
    lifted = films_after_m(
        histories_s_K=[after], oxygen_frac=AIR_FRAC, moisture_frac=AIR_MOISTURE_FRAC, first_m=[grown]
    )[0]
    return HoldTint(made[-1].number, so_far, dose, kept, lifted)


def run_film(
    whole: Body, plan: Plan, record: JointRecord, run: RunRecord, *, side: str, cells: Mapping[str, Datum]
) -> tuple[Estimate, Estimate] | None:
    """Dose and film of one finished run as it was made, on its face or at the root; None where its gas is not known.

    The face had the trailing gas for as long as it was hot. The root had what the last reading inside said before the arc.
    """
    gas = cells["trail_oxygen_frac"] if side == "face" else root_gas(record, run)
    made = made_of(plan, record)
    at = next((n for n, one in enumerate(made) if one.number == run.number), None)
    if gas is None or at is None:
        return None
    heat = answered(whole, made[: at + 1], asked_after(plan, run.number), (1.0, 1.0, 1.0)).heat
    history = heat.face_s_K if side == "face" else heat.root_s_K
    dose = _dose(history, gas, f"runs.{run.number}.{side}_dose_frac_s")
    return dose, estimate(film_m, key=f"runs.{run.number}.{side}_film_m", dose_frac_s=dose)


def root_gas(record: JointRecord, run: RunRecord) -> Assumed | None:
    """Oxygen inside while the run was made: the last reading there before its arc, doubled and halved.

    None where the display then gave no number, or zero: an older number says nothing of that moment, and no gas is without.
    """
    read = [r for r in record.oxygen if r.place in INSIDE and r.at_s <= run.started_s]
    seen = read[-1].oxygen_frac if read else None
    if not seen:
        return None
    return Assumed(seen, seen / 2, seen * 2, "derivation/oxygen-supply", Standing.DERIVED, origin="read")


def _dose(history: Rows, gas: Datum | Assumed, key: str) -> Estimate:
    seconds = hot_time_s(history)
    spread = (seconds * (1 - HOT_SPREAD_1), seconds * (1 + HOT_SPREAD_1))
    hot = Assumed(seconds, *spread, "derivation/finite-volumes", Standing.DERIVED, origin="figure")
    return estimate(dose_frac_s, key=key, oxygen_frac=gas, moisture_frac=0.0, hot_s=hot)


def _hottest(whole: Body, plan: Plan, record: JointRecord, middle_1: float) -> Rows:
    """Seconds after arc-off and the hottest metal outside."""
    made = made_of(plan, record)
    after = answered(whole, made, asked_after(plan, made[-1].number), (middle_1, middle_1, middle_1))
    ambient, seen = whole.losses.air_K, after.cooling
    rise = (seen.outer_max_K - ambient) * middle_1
    return tuple(
        (float(s), float(ambient + k)) for s, k in zip(seen.time_s - after.states[0].time_s, rise, strict=True)
    )


def _cut(rows: Rows, at_s: float) -> tuple[Rows, Rows]:
    """The history before a moment and after it, the moment itself in both."""
    times, metal = zip(*rows, strict=True)
    here = (at_s, float(np.interp(at_s, times, metal)))
    before = (*(row for row in rows if row[0] < at_s), here)
    after = (here, *(row for row in rows if row[0] > at_s))
    return (before if len(before) > 1 else (here, here)), (after if len(after) > 1 else (here, here))
