"""The plan on paper: what is joined, the set-up card, passes, purge, heat by run, and what to mind."""

from __future__ import annotations

from brightroot.base.clock import show_clock
from brightroot.documents.speech import Speech
from brightroot.model.outline import Block, Caution, Heading, Para, Table
from brightroot.model.plan import Plan


def plan_sheet(plan: Plan, *, speech: Speech) -> tuple[Block, ...]:
    """The blocks of the plan's pages."""
    say = speech.say
    # of the dams laid side by side only the joint's own belongs on its paper
    own = ("purge.", "arcs.", "pause.", "dams.peak", "dams.half", f"dams.{plan.joint.purge.dam_kind}.")
    return (
        Heading(say("sheet.plan"), 1),
        _joint(plan, speech),
        *(Caution(say(c.name, **dict(c.params))) for c in plan.concerns if c.level in ("warn", "block")),
        *(Para(say(c.name, **dict(c.params))) for c in plan.concerns if c.level == "note"),
        Heading(say("sheet.set_up"), 2),
        Table(
            head=(say("sheet.what"), say("sheet.value")),
            rows=tuple(_set_up(plan, row_index, speech) for row_index in range(len(plan.set_up))),
            widths=(2, 3),
        ),
        Heading(say("sheet.passes"), 2),
        _figures(plan, speech, [f"passes.{p.number}.{name}" for p in plan.passes for name in PASS_FIGURES]),
        Heading(say("sheet.purge"), 2),
        _figures(plan, speech, [key for key in plan.figures if key.startswith(own)]),
        Heading(say("sheet.runs"), 2),
        _runs(plan, speech),
        Heading(say("sheet.totals"), 2),
        _figures(
            plan, speech, [key for key in plan.figures if key.startswith(("time.", "gas.", "groove.", "heat.sh"))]
        ),
    )


PASS_FIGURES = (
    "current_A", "travel_m_s", "heat_input_J_m", "deposit_kg", "rod_length_m", "rods_count", "face_film_m", "root_film_m",
)  # fmt: skip


# figures of a dam whose words are the same wherever they stand
PLAIN = ("limit_K", "nearest_m", "out_count")


def label(key: str, speech: Speech) -> str:
    """The words for a figure's key: its place, then its name."""
    head, *middle, stem = key.split(".")
    place = {
        "passes": lambda: speech.say("place.pass", number=middle[0]),
        "runs": lambda: speech.say("place.run", number=middle[0]),
        "arcs": lambda: speech.say("place.arc", name=middle[0]),
        "dams": lambda: speech.say("place.dams", name=speech.say(f"choice.{middle[0]}")) if middle else "",
        "pause": lambda: speech.say("place.pause", name=speech.say(f"choice.{middle[0]}")),
    }.get(head, lambda: "")()
    own = f"figure.{head}.{stem}" if head in ("dams", "pause") and middle else f"figure.{stem}"
    return f"{place} {speech.say(own if stem not in PLAIN else f'figure.{stem}')}".strip()


def _joint(plan: Plan, speech: Speech) -> Table:
    joint = plan.joint
    ends = [joint.end_a, joint.end_b]
    sizes = " / ".join(
        dict.fromkeys(e.size or f"{e.outer_diameter_m.as_entered} x {e.wall_m.as_entered}" for e in ends)
    )
    typed = [
        ("field.metal", " / ".join(dict.fromkeys(e.alloy for e in ends))),
        ("field.pipe", sizes),
        ("field.position", joint.position),
        ("field.included_angle_rad", joint.groove.included_angle_rad.as_entered),
        ("field.land_m", joint.groove.land_m.as_entered),
        ("field.gap_m", joint.groove.gap_m.as_entered),
        ("field.filler", plan.filler),
        ("field.procedure", joint.procedure.name or speech.say("word.not_recorded")),
        ("field.tint_criterion", joint.procedure.tint_criterion or speech.say("word.not_recorded")),
    ]
    arcs = ", ".join(f"{a.name} {show_clock(a.from_rad)}–{show_clock(a.from_rad + a.sweep_rad)}" for a in plan.arcs)
    tacks = ", ".join(f"{t.name} {show_clock(t.at_rad)}" for t in plan.tacks)
    rows = [(speech.say(name), value) for name, value in typed]
    rows += [(speech.say("sheet.arcs"), arcs), (speech.say("sheet.tacks"), tacks)]
    return Table((speech.say("sheet.what"), speech.say("sheet.value")), tuple(rows), (2, 3))


def _set_up(plan: Plan, index: int, speech: Speech) -> tuple[str, str]:
    row = plan.set_up[index]
    params = {name: speech.say(f"pass.{text}") if name == "pass" else text for name, text in row.params}
    name = speech.say(row.name, **params)
    if row.figure:
        return name, speech.figure(plan.figures[row.figure])
    return name, speech.say(row.says, **params)


def _figures(plan: Plan, speech: Speech, keys: list[str]) -> Table:
    rows = [
        (label(key, speech), speech.figure(plan.figures[key]), speech.say(f"standing.{plan.figures[key].standing}"))
        for key in keys
        if key in plan.figures
    ]
    head = (speech.say("sheet.figure"), speech.say("sheet.value_range"), speech.say("sheet.standing"))
    return Table(head, tuple(rows), (3, 3, 1.7))


def _runs(plan: Plan, speech: Speech) -> Table:
    names = ("length_m", "arc_time_s", "reading_peak_K", "hold_s", "wait_s", "hot_length_outer_m")
    head = (speech.say("sheet.run"), speech.say("sheet.from_to"), *(speech.say(f"figure.{n}") for n in names))
    rows = []
    for run in plan.runs:
        cells = [plan.figures.get(f"runs.{run.number}.{n}") for n in names]
        stretch = f"{show_clock(run.from_rad)}→{show_clock(run.from_rad + run.sweep_rad)}"
        said = [speech.figure(c) if c else speech.say("word.not_within_four_hours") for c in cells]
        rows.append((f"{run.number} {speech.say(f'pass.{run.pass_name}')}", stretch, *said))
    return Table(head, tuple(rows), (1.2, 1.4, 1, 1.2, 1.6, 1.3, 1.3, 1.4), speech.say("sheet.runs_note"))
