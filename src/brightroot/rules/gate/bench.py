"""Material, rod and tools: each gate answers from what was written down, and what was not is never a yes.

A grade that nobody marked down and a certificate that nobody typed shut nothing: they are asked for by the clauses and
told in the dossier. What was typed and does not fit stops the arc.
"""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.model.clause import Outcome, Verdict
from brightroot.model.library import Code
from brightroot.model.record import JointRecord, Seen
from brightroot.rules.confirm import only_confirmed
from brightroot.rules.fact import Fact
from brightroot.rules.gate.known import Bench
from brightroot.rules.judge import judge
from brightroot.rules.procedure.typed import as_fact


@dataclass(frozen=True, slots=True)
class Found:
    """A gate: open | shut | unknown, what would open it, why, and from which entries."""

    name: str
    state: str
    event: str
    says: str
    params: tuple[tuple[str, str], ...] = ()
    from_events: tuple[str, ...] = ()


def material_gate(record: JointRecord, bench: Bench) -> Found:
    """The metal of both ends is the metal that was declared, as marked, as read, and by its certificate."""
    for end, wanted in bench.ends.items():
        for row in [r for r in record.heats if f"end {r.data['end']}" == end][-1:]:
            text = str(row.data.get("grade") or "")
            if text and (found := _grade(bench, end, wanted, text, row.event)):
                return found
    return _pmi(record, bench, tuple(bench.ends)) or _analysed(record, bench, tuple(bench.ends)) or _open("material")


def _grade(bench: Bench, end: str, wanted: str, text: str, event: str) -> Found | None:
    params = (("end", end[-1]), ("grade", text), ("wanted", wanted))
    grade = bench.grade(text)
    if not grade:
        return Found("material", "unknown", "heat_lot.recorded", "gate.material.no_such_grade", params, (event,))
    if grade != wanted:
        return Found("material", "shut", "heat_lot.recorded", "gate.material.other_grade", params, (event,))
    return None


def rod_gate(record: JointRecord, bench: Bench) -> Found:
    """The rod taken last is of this metal's family, and neither its reading nor its certificate speaks against it."""
    if not record.fillers:
        return _open("rod")  # that none was written down is told by the gate that knows the plan
    row = record.fillers[-1]
    text = str(row.data["filler"])
    rod = bench.rod(text)
    params = (("filler", text), ("family", bench.family))
    if rod is None:
        return Found("rod", "unknown", "filler.issued", "gate.rod.no_such_rod", params, (row.event,))
    if rod.family != bench.family:
        other = (*params, ("other_family", rod.family))
        return Found("rod", "shut", "filler.issued", "gate.rod.other_family", other, (row.event,))
    edition = str(row.data.get("edition") or "")
    if edition and edition not in rod.editions:
        told = (("filler", text), ("edition", edition))
        return Found("rod", "unknown", "filler.issued", "gate.rod.other_edition", told, (row.event,))
    return _pmi(record, bench, ("rod",), since_s=row.at_s) or _analysed(record, bench, ("rod",)) or _open("rod")


def _pmi(record: JointRecord, bench: Bench, parts: tuple[str, ...], since_s: float = float("-inf")) -> Found | None:
    """The last reading of each part. `differs` stops; a reading that gave nothing proves nothing."""
    name = "rod" if parts == ("rod",) else "material"
    for part in parts:
        rows = [r for r in record.pmi if r.data["part"] == part and r.at_s >= since_s]
        if not rows:
            continue
        row = rows[-1]
        params = (("part", part), ("grade", str(row.data["grade"])))
        if row.data["match"] == "differs":
            return Found(name, "shut", _again(name), "gate.pmi.differs", params, (row.event,))
        if row.data["match"] == "no reading":
            return Found(name, "unknown", "pmi.read", "gate.pmi.no_reading", params, (row.event,))
        read, wanted = bench.grade(params[1][1]), bench.ends.get(part, "")
        if wanted and read and read != wanted:  # ticked as a match, but the grade written beside it is another
            return Found(name, "shut", _again(name), "gate.pmi.differs", params, (row.event,))
    return None


def _analysed(record: JointRecord, bench: Bench, parts: tuple[str, ...]) -> Found | None:
    """A certificate or an analysis that is outside the grade's or the class's limits."""
    name = "rod" if parts == ("rod",) else "material"
    for part in parts:
        rows = [r for r in record.compositions if r.data["part"] == part]
        limits = _limits(record, bench, part)
        if not rows or limits is None:
            continue
        failed = [v for v in composition_verdicts(rows[-1], limits, bench) if v.outcome is Outcome.FAIL]
        if failed:
            said = ", ".join(f"{v.subject}: {v.got} ({v.wanted})" for v in failed)
            params = (("part", part), ("said", said))
            return Found(name, "shut", _again(name), "gate.composition.outside", params, (rows[-1].event,))
    return None


def _limits(record: JointRecord, bench: Bench, part: str) -> Code | None:
    if part in bench.ends:
        return bench.limits[bench.ends[part]]
    rod = bench.rod(str(record.fillers[-1].data["filler"])) if record.fillers else None
    return rod.limits if rod else None


def composition_verdicts(row: Seen, limits: Code, bench: Bench) -> tuple[Verdict, ...]:
    """Every limited element of a certificate or analysis as recorded. What it does not tell stays unknown."""
    facts = {
        name: Fact(name, f.value, f.entered, (row.event,), unit=f.unit)
        for name, value in row.data.items()
        if name.endswith("_frac") and (f := as_fact(name, value))
    }
    return only_confirmed(judge(code=limits, facts=facts), bench.confirmed)


def tool_gate(record: JointRecord, bench: Bench) -> Found:
    """Brushes, burrs, clamps and benches are kept for one metal family; the last of each kind that was taken counts."""
    last = {str(row.data["tool"]): row for row in record.tools}
    for tool, row in last.items():
        kept = str(row.data["kept_for"])
        params = (("tool", tool), ("tag", str(row.data["tag"])), ("kept_for", kept), ("family", bench.family))
        if kept == "not marked":
            return Found("tool", "unknown", "tool.taken", "gate.tool.not_marked", params, (row.event,))
        if kept != bench.family:
            return Found("tool", "shut", "tool.taken", "gate.tool.other_family", params, (row.event,))
    return _open("tool")


def _again(name: str) -> str:
    return "filler.issued" if name == "rod" else "plan.departed_from"


def _open(name: str) -> Found:
    return Found(name, "open", "", f"gate.{name}.fits")
