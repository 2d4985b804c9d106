"""The record, the plan and the joint as one table of facts that clauses are laid against."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.model.plan import Plan
from brightroot.model.record import JointRecord
from brightroot.rules.defects import defect_facts
from brightroot.rules.fact import Fact, Value
from brightroot.rules.gas import gas_facts
from brightroot.rules.heat import READING_WITHIN_RAD, heat_facts
from brightroot.rules.papers import paper_facts
from brightroot.rules.procedure.stated import procedure_facts
from brightroot.rules.tacks import tack_facts
from brightroot.rules.tint import tint_facts
from brightroot.rules.visual import visual_facts

__all__ = ["Fact", "Value", "facts_of"]


def facts_of(
    record: JointRecord,
    plan: Plan | None,
    *,
    oxygen_good_for_s: float,
    reading_within_rad: float = READING_WITHIN_RAD,
    rising_s: Mapping[str, float] | None = None,
    hold_s: Mapping[int, tuple[float, float]] | None = None,
) -> Mapping[str, Fact]:
    """Every fact by name. What was not recorded is there too, without a value and with what to ask for.

    `oxygen_good_for_s`: how long one look at the monitor speaks for the root gas. `reading_within_rad`: how far from
    the run's stretch a temperature may be taken. `rising_s`: event -> seconds for which that temperature was still to
    rise. `hold_s`: run -> (low, told) hold as told live, where it differs from the plan's.
    """
    joint = record.joint or (plan.joint if plan else None)
    rows = (
        *procedure_facts(joint, plan),
        *heat_facts(record, plan, joint, reading_within_rad, rising_s or {}, hold_s or {}),
        *gas_facts(record, plan, joint, oxygen_good_for_s),
        *tack_facts(record, plan),
        *paper_facts(record, plan, joint),
        *tint_facts(record, plan),
        *defect_facts(record),
        *visual_facts(record, plan, joint),
    )
    return {fact.name: fact for fact in rows}
