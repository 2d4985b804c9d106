"""A joint's colour: what the gas should leave on each run, what was seen, and why the two may not agree."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial

from brightroot.app.plan_joint import iron_of, plan_of
from brightroot.app.ports import Place
from brightroot.app.state import state_of
from brightroot.app.work_live import cells_of
from brightroot.base.formula import Band, Estimate
from brightroot.live.estimators.heat import told_holds
from brightroot.live.estimators.tint import run_film
from brightroot.model.advice import Because
from brightroot.model.library import Code, CodeRow, Library
from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord, RunRecord
from brightroot.physics.tint.dose import BEYOND_FRAC_S, likely_film_m
from brightroot.physics.tint.names import TintForecast, tint_forecast, tint_forecast_of
from brightroot.physics.tint.seen import agreement
from brightroot.rules.tint_table import ColourSaid, colour_rows, judge_colour

Holds = Callable[[], Mapping[int, Estimate]]
SIDES = ("face", "root")
# what the log may hold that lets air in
FAULTS = ("draught.felt", "gas.faltered")


@dataclass(frozen=True, slots=True)
class TintRow:
    """One side of one run. Dose, film and names are None where the gas is not known; `seen` "" where nobody looked."""

    run: int
    side: str
    made: bool
    dose: Estimate | None
    film: Estimate | None
    likely_m: Band | None  # the film with the gas's range and the model's factor as independent
    names: TintForecast | None
    seen: str
    arrangement: str
    agreement: str  # agrees | darker | lighter | second order | not judged
    because: tuple[Because, ...]
    said: ColourSaid | None = None  # by the named criterion and the shop's own rows; None where neither is there


@dataclass(frozen=True, slots=True)
class JointTint:
    """`family` decides how far the forecast goes: titanium a film, stainless only darker or lighter, others nothing."""

    joint: str
    family: str
    reach: str  # film | order | nothing
    rows: tuple[TintRow, ...]
    criterion: str

    def figures(self) -> Mapping[str, Estimate]:
        """Dose and film of every row, by the key that opens them."""
        return {f.key: f for row in self.rows for f in (row.dose, row.film) if f is not None}


def joint_tint(place: Place, joint_id: str) -> JointTint:
    """Every run, face first: by its own arc and gas where it was made, as planned where it was not."""
    plan = plan_of(place, joint_id)
    family = place.library.families[place.library.alloys[plan.joint.end_a.alloy].family]
    reach = "film" if family.tint_model else "order" if family.id == "stainless" else "nothing"
    record = state_of(place, joint_id).record
    rows = _rows(place, plan, record, family.id) if reach == "film" else _only_seen(plan, record)
    criterion = plan.joint.procedure.tint_criterion
    named, own = named_code(place.library, criterion), own_rows(place.library)
    said = tuple(replace(row, said=_said(row, named, own)) for row in rows)
    return JointTint(joint_id, family.id, reach, said, criterion)


def named_code(library: Library, criterion: str) -> Code | None:
    """The code with rows of colour that a criterion switches on; None where none does."""
    for code in library.codes.values():
        switched = any(clause.when.get("procedure.tint_criterion") == criterion for clause in code.clauses)
        if criterion and switched and colour_rows(code):
            return code
    return None


def own_rows(library: Library) -> tuple[CodeRow, ...]:
    """The shop's own rows: those of a code that has rows of colour and no clauses. They only tighten."""
    return tuple(row for code in library.codes.values() if not code.clauses for row in colour_rows(code))


def _said(row: TintRow, named: Code | None, own: tuple[CodeRow, ...]) -> ColourSaid | None:
    if not row.seen or (named is None and not own):
        return None
    zone = "edge band" if row.arrangement == "edge band" else "weld"
    return judge_colour(colour_rows(named) if named else (), colour=row.seen, zone=zone, own=own)


def _rows(place: Place, plan: Plan, record: JointRecord, family: str) -> tuple[TintRow, ...]:
    cells, whole = cells_of(place, plan), iron_of(place, plan)
    holds = partial(told_holds, whole, plan, record, cells=cells)
    rows = []
    for planned in plan.runs:
        run = record.run(planned.number)
        for side in SIDES:
            if side == "root" and planned.pass_number > 1:
                continue  # the gas inside was told by the first pass; later ones heat the root far less
            if run is None or run.stopped_s is None:
                found = _planned(plan, planned.pass_number, side)
            else:
                found = run_film(whole, plan, record, run, side=side, cells=cells)
            rows.append(_row(plan, record, run, planned.number, side, found, family, holds))
    return tuple(rows)


def _planned(plan: Plan, number: int, side: str) -> tuple[Estimate, Estimate] | None:
    dose, film = (plan.figures.get(f"passes.{number}.{side}_{name}") for name in ("dose_frac_s", "film_m"))
    return None if dose is None or film is None else (dose, film)


def _row(
    plan: Plan, record: JointRecord, run: RunRecord | None, number: int, side: str,
    found: tuple[Estimate, Estimate] | None, family: str, holds: Holds,
) -> TintRow:  # fmt: skip
    seen, arrangement = _seen(record, run, side)
    dose, film = found if found else (None, None)
    likely = told = None
    says: str = "not judged"
    because: tuple[Because, ...] = ()
    if dose is not None:
        likely = likely_film_m(low_frac_s=dose.low, value_frac_s=dose.value, high_frac_s=dose.high)
        beyond = tint_forecast(dose_frac_s=dose.value, family=family) if dose.value > BEYOND_FRAC_S else None
        told = beyond or tint_forecast_of(likely)
    if likely is not None and seen and arrangement in ("", "uniform"):
        says = agreement(seen=seen, film_m=likely)
        because = _because(says, seen, run, record, holds)
    return TintRow(number, side, run is not None, dose, film, likely, told, seen, arrangement, says, because)


def _seen(record: JointRecord, run: RunRecord | None, side: str) -> tuple[str, str]:
    """The colour as recorded; of the root the last look, which is not of one run."""
    if run is None:
        return "", ""
    if side == "face":
        return ("" if run.tint == "not seen" else run.tint), run.arrangement
    looks = [look for look in record.roots if run.stopped_s is not None and look.at_s >= run.stopped_s]
    if not looks:
        return "", ""
    tint = str(looks[0].data.get("tint") or "")
    return ("" if tint == "not seen" else tint), str(looks[0].data.get("arrangement") or "")


def _because(says: str, seen: str, run: RunRecord | None, record: JointRecord, holds: Holds) -> tuple[Because, ...]:
    if says == "agrees" or run is None:
        return ()
    found = [Because(f"tint.{says.replace(' ', '_')}", (("tint", seen),))]
    if says != "darker":
        return tuple(found)
    hold = holds().get(run.number)  # asked only where something has to be explained
    if hold is not None and run.lifted_s is not None and run.stopped_s is not None:
        held_s = run.lifted_s - run.stopped_s
        if held_s < hold.high:
            found.append(Because("tint.lifted_early", (("held_s", f"{held_s}"), ("late_s", f"{hold.high}"))))
    until = run.lifted_s or run.stopped_s or run.started_s
    felt = {d.kind for d in record.doubts if run.started_s - 60 <= d.at_s <= until + 60}
    found += [Because(f"tint.{kind.replace('.', '_')}") for kind in FAULTS if kind in felt]
    return tuple(found if len(found) > 1 else (*found, Because("tint.look_for_a_leak")))


def _only_seen(plan: Plan, record: JointRecord) -> tuple[TintRow, ...]:
    """Metals whose growth nobody can foretell: what was seen stands by itself."""
    rows = []
    for planned in plan.runs:
        run = record.run(planned.number)
        seen, arrangement = _seen(record, run, "face")
        rows.append(
            TintRow(
                planned.number, "face", run is not None, None, None, None, None, seen, arrangement, "not judged", ()
            )
        )
    return tuple(rows)
