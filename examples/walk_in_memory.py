"""The live page without a page: what next, say that it is done, and what next again. Nothing is kept."""

from brightroot.app.plan_joint import declare
from brightroot.app.ports import Place
from brightroot.app.work_live import look, record
from brightroot.library.load import load_library
from brightroot.render.words import words
from brightroot.store.logs import memory_store

FACTS = {
    "id": "T-02", "metal": "Gr 2", "pipe": "NPS 1 Sch 10S", "position": "1G", "included_angle_rad": "60°",
    "land_m": "0.5 mm", "gap_m": "2 mm", "dam_span_m": "300 mm", "vent_diameter_m": "6 mm",
}  # fmt: skip
TYPED = (
    ("surface.prepared", {"work": "degreased", "solvent": "acetone", "dry": "yes"}),
    ("surface.prepared", {"work": "oxide removed"}),
    ("surface.prepared", {"work": "degreased again", "solvent": "acetone", "dry": "yes"}),
)


def main() -> None:
    place = Place(load_library(), memory_store(), lambda: 1_800_000_000.0)
    declare(place, FACTS, by="W-07")
    for kind, facts in TYPED:
        advice = look(place, "T-02").advice[0]
        print(words("en").say(advice.says, **dict(advice.params)))
        event = record(place, "T-02", kind, facts, by="W-07")
        print(f"  recorded {event.kind} as {event.id}")
    now = look(place, "T-02")
    print(f"phase: {now.state.phase}, {len(now.left)} steps left")


if __name__ == "__main__":
    main()
