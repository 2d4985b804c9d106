"""A plan from a handful of facts, and one of its figures opened."""

from brightroot.app.plan_joint import plan_facts
from brightroot.app.ports import Place
from brightroot.app.why import why
from brightroot.base.show import show_range
from brightroot.library.load import load_library
from brightroot.store.logs import memory_store

FACTS = {
    "id": "T-01", "metal": "Gr 2", "pipe": "NPS 2 Sch 80", "position": "5G", "included_angle_rad": "60°",
    "land_m": "0.5 mm", "gap_m": "2.4 mm", "dam_span_m": "400 mm", "vent_diameter_m": "8 mm",
    "backing_flow_m3_s": "10 L/min", "supply_oxygen_frac": "3 ppm", "start_oxygen_frac": "15 ppm",
}  # fmt: skip


def main() -> None:
    place = Place(load_library(), memory_store(), lambda: 0.0)
    plan = plan_facts(place, FACTS)
    print(f"{len(plan.passes)} passes, {len(plan.runs)} runs, rod {plan.filler}")
    for key in ("purge.time_s", "runs.1.hold_s", "runs.1.wait_s", "heat.shield_length_m"):
        figure = plan.figures[key]
        print(f"{key:22} {show_range(figure.low, figure.value, figure.high, name=key)}  [{figure.standing}]")
    opened = why(place, plan, "purge.time_s")
    print(f"by hand: {opened.hand}; most of the doubt: {opened.dominant}")


if __name__ == "__main__":
    main()
