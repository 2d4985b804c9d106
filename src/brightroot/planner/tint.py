"""The tint that the gas should leave on the face and at the root of each pass: oxygen dose to film to name."""

from __future__ import annotations

from brightroot.base.formula import Assumed, Estimate, estimate
from brightroot.model.joint import Joint
from brightroot.model.library import Library
from brightroot.model.plan import PlannedPass, PlannedRun
from brightroot.physics.heat.questions import RunHeat
from brightroot.physics.tint.dose import dose_frac_s, film_m, hot_time_s
from brightroot.planner.choose import chosen, family_cells

Figures = dict[str, Estimate]


def plan_tint(
    joint: Joint, *, library: Library, passes: tuple[PlannedPass, ...], runs: tuple[PlannedRun, ...],
    heats: tuple[RunHeat, ...],
) -> Figures:  # fmt: skip
    """Dose and film of each pass by its hottest run. Metals whose growth nobody can predict get no figure."""
    family = library.families[library.alloys[joint.end_a.alloy].family]
    if not family.tint_model:
        return {}
    cells = family_cells(joint, library)
    gas = {
        "face": cells["trail_oxygen_frac"],
        "root": chosen(joint.procedure.start_oxygen_frac, cells["start_oxygen_frac"]),
    }
    figures: Figures = {}
    for layer in passes:
        own = [heat for run, heat in zip(runs, heats, strict=True) if run.pass_number == layer.number]
        for side, histories in (("face", [h.face_s_K for h in own]), ("root", [h.root_s_K for h in own])):
            seconds = max(hot_time_s(history) for history in histories)
            key = f"passes.{layer.number}.{side}"
            hot = Assumed(seconds, seconds * 0.7, seconds * 1.3, "derivation/finite-volumes", origin="figure")
            dose = estimate(dose_frac_s, key=f"{key}_dose_frac_s", oxygen_frac=gas[side], moisture_frac=0.0, hot_s=hot)
            film = estimate(film_m, key=f"{key}_film_m", dose_frac_s=dose)
            figures |= {dose.key: dose, film.key: film}
    return figures
