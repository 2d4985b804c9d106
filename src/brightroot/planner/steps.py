"""Everything to do, in order, from the first wipe to the last signature. The live page follows these steps."""

from __future__ import annotations

from collections.abc import Iterator

from brightroot.model.joint import Joint
from brightroot.model.library import Family
from brightroot.model.plan import Arc, PlannedPass, PlannedRun, PlannedTack, Step

FIT_UP_CLOCK = ("12:00", "3:00", "6:00", "9:00")
VISUAL_ITEMS = (
    "crack",
    "lack of fusion",
    "incomplete penetration",
    "undercut",
    "surface porosity",
    "reinforcement",
    "internal protrusion",
    "concavity",
)


def plan_steps(
    joint: Joint,
    *,
    family: Family,
    arcs: tuple[Arc, ...],
    tacks: tuple[PlannedTack, ...],
    passes: tuple[PlannedPass, ...],
    runs: tuple[PlannedRun, ...],
    steps_down: bool,
) -> tuple[Step, ...]:
    """The steps. Cautions stand on the step that calls for them."""
    return (
        *_prepare(joint, family),
        *_purge(joint, family, tacks),
        *_weld(joint, family, arcs, tacks, passes, runs, steps_down),
        *_finish(joint, family),
    )


def _step(event: str, **more: object) -> Step:
    return Step(name=f"step.{event}", event=event, **more)  # type: ignore[arg-type]


def _prepare(joint: Joint, family: Family) -> Iterator[Step]:
    solvent = ("caution.solvent",)
    yield _step("surface.prepared", what="degreased", cautions=solvent)
    yield _step("surface.prepared", what="oxide removed", cautions=_fines(family))
    yield _step("surface.prepared", what="degreased again", cautions=solvent)
    for end in ("a", "b"):
        yield _step("heat_lot.recorded", what=end)
    yield _step("filler.issued")
    yield _step("gas.connected", cautions=("caution.cylinder", "caution.argon"))
    for against in ("air", "cylinder argon", "hose end"):
        yield _step("instrument.checked", what=against)
    yield _step("gas.proved")
    if joint.purge.dam_kind != "none":
        for end in ("a", "b"):
            yield _step("dam.placed", what=end, cautions=("caution.argon_inside",))


def _fines(family: Family) -> tuple[str, ...]:
    return ("caution.fines",) if family.id in ("titanium", "zirconium") else ()


def _purge(joint: Joint, family: Family, tacks: tuple[PlannedTack, ...]) -> Iterator[Step]:
    for at in FIT_UP_CLOCK:
        yield _step("fit_up.measured", what=at)
    if "fit-up" in joint.procedure.hold_points:
        yield _step("hold_point.released", what="fit-up")
    yield _step("tape.closed", what="all")
    yield _step("purge.started", cautions=("caution.argon",))
    yield _step("oxygen.read", what="vent")
    for tack in tacks:
        yield _step("tack.made", tack=tack.name, cautions=("caution.light", "caution.solvent_dry"))


def _weld(
    joint: Joint,
    family: Family,
    arcs: tuple[Arc, ...],
    tacks: tuple[PlannedTack, ...],
    passes: tuple[PlannedPass, ...],
    runs: tuple[PlannedRun, ...],
    steps_down: bool,
) -> Iterator[Step]:
    last_root = max((r.number for r in runs if r.pass_number == 1), default=0)
    open_arc = ""
    for run in runs:
        root = run.pass_number == 1
        if root and run.arc != open_arc:
            open_arc = run.arc
            yield _step("tape.opened", arc=run.arc)
        for tack in tacks:
            if root and tack.cut_before_run == run.number:
                yield _step("tack.cut", tack=tack.name, run=run.number, cautions=("caution.hot", *_fines(family)))
                yield _step("tack.feathered", tack=tack.name, run=run.number, cautions=_fines(family))
        if steps_down and run.number == last_root:
            yield _step("flow.changed", what="backing", run=run.number)
        if root:
            yield _step("oxygen.read", what="vent", run=run.number)
        if run.number > 1:
            yield _step("temperature.read", run=run.number, cautions=("caution.hot",))
        yield _step("arc.started", run=run.number, arc=run.arc, cautions=("caution.light", "caution.solvent_dry"))
        yield _step("arc.stopped", run=run.number, arc=run.arc)
        yield _step("shield.lifted", run=run.number, arc=run.arc)
        yield _step("bead.looked_at", run=run.number, arc=run.arc, cautions=("caution.hot",))
        if run.number == last_root:
            yield _step("root.looked_at", cautions=("caution.argon_inside",))
            if "root" in joint.procedure.hold_points:
                yield _step("hold_point.released", what="root")


def _finish(joint: Joint, family: Family) -> Iterator[Step]:
    yield _step("post_purge.ended", cautions=("caution.hot",))
    if joint.purge.dam_kind != "none":
        for end in ("a", "b"):
            yield _step("dam.removed", what=end, cautions=("caution.argon_inside",))
    yield _step("weld.stamped")
    for item in VISUAL_ITEMS:
        yield _step("visual.measured", what=item)
    yield _step("joint.signed", what="welder")
    yield _step("joint.signed", what="inspector")
