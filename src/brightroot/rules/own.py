"""The organisation's own rules, the contract's and the procedure's: they may tighten a code and never loosen it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from brightroot.base.errors import Refused
from brightroot.model.library import Clause, Code
from brightroot.rules.compare import within
from brightroot.rules.fact import Fact
from brightroot.rules.limits import Limit, limit_of


def tightening(*, own: Code, codes: Sequence[Code]) -> Code:
    """The own rules, if no limit in them is looser than the code's on the same fact; else Refused with both limits.

    The code is judged beside them all the same. This keeps a paper from promising what the code does not allow.
    """
    for clause in own.clauses:
        for code in codes:
            for other in code.clauses:
                if (clause.fact, clause.check) == (other.fact, other.check) and _looser(clause, other, own, code):
                    raise Refused(
                        field=clause.id,
                        wanted=f"no looser than {code.id} {other.ref}: {_text(other.limit)}",
                        got=_text(clause.limit),
                        reason="refused.looser",
                        params={"code": code.id, "ref": other.ref, "subject": other.subject},
                    )
    return own


def _looser(own: Clause, code: Clause, own_code: Code, other_code: Code) -> bool:
    check = own.check
    if own.limit == code.limit:
        return check == "table_lookup" and not _rows_within(own, code, own_code, other_code)
    if check in ("at_most", "at_least"):
        return not _within(own.limit, code.limit, own, least=check == "at_least")
    if check == "between":
        one, other = _map(own.limit), _map(code.limit)
        return not (
            _within(one.get("low"), other.get("low"), own, least=True)
            and _within(one.get("high"), other.get("high"), own, least=False)
        )
    if check == "ratio":
        return not _ratio_within(_map(own.limit), _map(code.limit))
    if check == "one_of":
        return not _list_within(own.limit, code.limit)
    # equals and present leave nothing to tighten; a table read another way cannot be compared
    return True


def _within(own: object, code: object, clause: Clause, *, least: bool) -> bool:
    """Whether one limit lies inside the other. Limits that rest on a fact of the joint compare only when the same."""
    if own == code:
        return True
    if isinstance(own, Mapping) or isinstance(code, Mapping):
        return False
    one, other = (_limit(raw, clause.fact, clause.id) for raw in (own, code))
    return within(other.low, one.low) if least else within(one.low, other.low)


def _limit(raw: object, name: str, clause: str) -> Limit:
    found = limit_of(raw, name=name, where="", facts={}, clause=clause)
    assert isinstance(found, Limit)  # a written limit is never unstated
    return found


def _ratio_within(own: Mapping[str, object], code: Mapping[str, object]) -> bool:
    if own.get("of") != code.get("of") or set(own) != set(code):
        return False
    side = next(key for key in own if key != "of")
    facts = {"one_1": Fact("one_1", 1.0)}
    shares = [
        limit_of({"of": "one_1", "share": raw[side]}, name="one_1", where="", facts=facts, clause="")
        for raw in (own, code)
    ]
    one, other = (s.low if isinstance(s, Limit) else 0.0 for s in shares)
    return within(one, other) if side == "at_most" else within(other, one)


def _list_within(own: object, code: object) -> bool:
    """Accepts nothing more, refuses nothing less. A plain list refuses all that it does not name.

    Lists that other facts of the joint tell compare only when they are the same, and then nobody asks here.
    """
    if any(isinstance(limit, Mapping) and "fact" in limit for limit in (own, code)):
        return False
    accept, refuse = _lists(own)
    accept_code, refuse_code = _lists(code)
    if not accept <= accept_code:
        return False
    return refuse is None or (refuse_code is not None and refuse_code <= refuse)


def _lists(limit: object) -> tuple[set[str], set[str] | None]:
    if isinstance(limit, Mapping):
        return set(map(str, limit["accept"])), set(map(str, limit["refuse"]))
    return set(map(str, limit)), None  # type: ignore[call-overload]


def _rows_within(own: Clause, code: Clause, own_code: Code, other_code: Code) -> bool:
    """Row by row over the same stretches."""
    column = str(_map(own.limit).get("column"))
    mine, theirs = own_code.tables.get(own.table, ()), other_code.tables.get(code.table, ())
    stretches = [[(row.get("over"), row.get("up_to")) for row in rows] for rows in (mine, theirs)]
    if stretches[0] != stretches[1]:
        return False
    return all(_within(m.get(column), t.get(column), own, least=False) for m, t in zip(mine, theirs, strict=True))


def _map(limit: object) -> Mapping[str, object]:
    return limit if isinstance(limit, Mapping) else {}


def _text(limit: object) -> str:
    if isinstance(limit, Mapping):
        return ", ".join(f"{key} {_text(value)}" for key, value in limit.items())
    return ", ".join(map(str, limit)) if isinstance(limit, list | tuple) else str(limit)
