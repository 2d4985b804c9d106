"""Argon from the first purge to the last hold, in cylinders, with the heel left in."""

from __future__ import annotations

from brightroot.base.formula import Estimate, estimate
from brightroot.model.joint import Joint
from brightroot.model.library import Library
from brightroot.physics.purge.cylinder import cylinders_1, cylinders_count, usable_argon_m3
from brightroot.physics.totals import flow_argon_m3, total_argon_m3
from brightroot.planner.choose import chosen, family_cells

Figures = dict[str, Estimate]


def plan_gas(joint: Joint, *, library: Library, figures: Figures) -> Figures:
    """Argon by circuit and the cylinders it takes. Torch and trail run while the arc burns and while metal is held."""
    cells = family_cells(joint, library)
    family = library.families[library.alloys[joint.end_a.alloy].family]
    backing = chosen(joint.purge.backing_flow_m3_s, cells["backing_flow_m3_s"])
    own: Figures = {"gas.purge_m3": figures["purge.argon_m3"]}
    times = {"torch": "time.shielded_s", "backing": "time.backing_s"}
    flows = {"torch": cells["torch_flow_m3_s"], "backing": backing}
    if family.trailing_required:
        times["trail"], flows["trail"] = "time.shielded_s", cells["trail_flow_m3_s"]
    for circuit, time in times.items():
        own[f"gas.{circuit}_m3"] = estimate(
            flow_argon_m3, key=f"gas.{circuit}_m3", flow_m3_s=flows[circuit], elapsed_s=figures[time]
        )
    total = estimate(total_argon_m3, key="gas.argon_m3", **{k.split(".")[1]: f for k, f in own.items()})
    usable = estimate(
        usable_argon_m3, key="gas.usable_argon_m3",
        cylinder_pressure_Pa=chosen(joint.purge.cylinder_pressure_Pa, cells["cylinder_pressure_Pa"]),
        heel_pressure_Pa=chosen(joint.purge.heel_pressure_Pa, cells["heel_pressure_Pa"]),
        cylinder_K=chosen(joint.ambient_K, cells["ambient_K"]),
        water_volume_m3=chosen(joint.purge.cylinder_volume_m3, cells["cylinder_volume_m3"]),
        reference_K=cells["gas_reference_K"].value, reference_pressure_Pa=101325.0,
    )  # fmt: skip
    share = estimate(cylinders_1, key="gas.cylinders_1", total_argon_m3=total, usable_argon_m3=usable)
    whole = estimate(cylinders_count, key="gas.cylinders_count", total_argon_m3=total, usable_argon_m3=usable)
    return {**own, **{f.key: f for f in (total, usable, share, whole)}}
