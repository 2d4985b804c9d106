"""After a stop of the gas: how bad it has become, taped or with an arc open, and how long it takes to purge again."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.base.formula import Estimate, estimate
from brightroot.model.joint import Joint
from brightroot.model.library import Library
from brightroot.physics.purge.ingress import mixed_oxygen_frac, open_stop_frac
from brightroot.physics.purge.mixing import mixed_volumes_1, purge_time_s
from brightroot.planner.choose import chosen, family_cells

Figures = dict[str, Estimate]


def plan_stop(
    joint: Joint, *, library: Library, figures: Mapping[str, Estimate], stop_s: float | None = None
) -> Figures:  # fmt: skip
    """Figures `pause.taped.…` and `pause.open.…`: oxygen after the stop, volumes and minutes to the start limit again.

    The volumes are the fully mixed ones times what this set-up takes of them: still gas has mixed by then. Taped, air
    comes in by the largest leak thought of; with the worst arc open, by half the flow that would keep it out.
    """
    cells = family_cells(joint, library)
    target = chosen(joint.procedure.start_oxygen_frac, cells["start_oxygen_frac"])
    supply = chosen(joint.purge.supply_oxygen_frac, cells["supply_oxygen_frac"])
    flow = chosen(joint.purge.backing_flow_m3_s, cells["backing_flow_m3_s"])
    volume = figures["purge.volume_m3"]
    off = cells["stop_s"].value if stop_s is None else stop_s
    after = {
        "taped": estimate(
            mixed_oxygen_frac, key="pause.taped.oxygen_frac", last_frac=target.value, supply_frac=supply.value,
            in_leak_m3_s=cells["in_leak_m3_s"], flow_m3_s=0.0, volume_m3=volume, silent_s=off,
        )
    }  # fmt: skip
    floods = [f for key, f in figures.items() if key.endswith(".flooding_flow_m3_s")]
    if floods:
        worst = max(floods, key=lambda f: f.value)
        exchange = _halved(worst)
        after["open"] = estimate(
            open_stop_frac, key="pause.open.oxygen_frac", last_frac=target.value, exchange_m3_s=exchange,
            volume_m3=volume, silent_s=off,
        )  # fmt: skip
    made: Figures = {}
    slower = figures["purge.volumes_1"].high / figures["purge.mixed_volumes_1"].value
    for name, oxygen in after.items():
        volumes = estimate(
            mixed_volumes_1, key=f"pause.{name}.volumes_1", start_frac=oxygen, target_frac=target, supply_frac=supply
        )
        wide = _reaching(volumes, slower)
        time = estimate(purge_time_s, key=f"pause.{name}.time_s", volumes_1=wide, volume_m3=volume, flow_m3_s=flow)
        made |= {figure.key: figure for figure in (oxygen, wide, time)}
    return made


def _halved(flood: Estimate) -> Estimate:
    return Estimate(
        "exchange_m3_s", flood.value / 2, flood.low / 2, flood.high / 2, flood.formula, flood.inputs, flood.standing,
        flood.caveats, flood.key,
    )  # fmt: skip


def _reaching(volumes: Estimate, slower_1: float) -> Estimate:
    """The late end as slow as this set-up may be, beside fully mixed."""
    low = max(0.0, round(volumes.low, 9))  # a stop that let nothing in takes none
    return Estimate(
        volumes.name, volumes.value, low, max(volumes.high, volumes.value * max(1.0, slower_1)), volumes.formula,
        volumes.inputs, volumes.standing, volumes.caveats, volumes.key,
    )  # fmt: skip
