"""The rules as a person reads them: what, where, the value, its source, how it is known; confirmed or tightened here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from brightroot.app.ports import Place
from brightroot.app.rules_read import RuleRow, rule_rows
from brightroot.base.errors import Refused
from brightroot.documents.rule_value import limit_text, value_of
from brightroot.web.pages.rules.write import anchor_of, routes
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

__all__ = ["ROUTE", "TITLE", "routes", "view"]

ROUTE = "/rules"
TITLE = "rules.title"
TIGHTENED = ("at_most", "at_least", "between", "ratio", "one_of")  # the other checks leave nothing to tighten
WAITING, EVERY = "waiting", "every"


@dataclass(frozen=True, slots=True)
class Line:
    """One row as it is told. `anchor` is its place on the page."""

    rule: RuleRow
    anchor: str
    value: str
    source: str
    confirmed: tuple[tuple[str, str], ...]  # sentence, event
    tightened: tuple[tuple[str, str], ...]
    tightens: bool  # whether the row has a limit that can be made stricter


def view(
    place: Place,
    settings: Settings,
    *,
    code: str = "",
    show: str = "",
    rows: str = "",
    stamp: str = "",
    joint: str = "",
    refusal: Refused | None = None,
    at: str = "",
    typed: dict[str, str] | None = None,
) -> dict[str, Any]:
    """The rows of a code or of all, those that wait or every one; `rows` names some. `at` is where something is to mend."""
    shown = Shown(settings)
    every = rule_rows(place)
    if code and code not in place.library.codes:
        raise Refused(field="code", wanted="a code of the library", got=code, reason="refused.name")
    within = [r for r in every if not code or r.code.id == code]
    named = rows.split()
    show = show if show in (WAITING, EVERY) else WAITING if not code or named else EVERY
    listed = (
        [r for r in within if r.row.id in named] if named else [r for r in within if show == EVERY or not r.decides]
    )
    codes = [of for of in place.library.codes.values() if any(r.code.id == of.id for r in listed)]
    return {
        "code": code,
        "codes": tuple(place.library.codes),
        "show": show,
        "named": named,
        "rows_text": rows,
        "stamp": stamp,
        "joint": joint,
        "count": len(within),
        "waiting": sum(not r.decides for r in within),
        "groups": tuple((of, tuple(_line(r, place, shown) for r in listed if r.code.id == of.id)) for of in codes),
        "edition": _last_edition(within),
        "error": shown.refused(refusal) if refusal else "",
        "at": at,
        "typed": typed or {},
    }


def _line(rule: RuleRow, place: Place, shown: Shown) -> Line:
    source = place.library.sources.get(rule.row.source)
    confirmed = tuple(
        (
            shown.say("rules.confirmed", by=t.by, day=t.at_utc[:10], edition=t.edition, ref=t.ref),
            one.event,
        )
        for one in rule.confirmed
        for t in (one.told,)
    )
    own = rule.tightened
    tightened = (
        (
            (
                shown.say("rules.tightened", limit=limit_text(own.limit), by=own.by, day=own.at_utc[:10], why=own.why),
                own.event,
            ),
        )
        if own
        else ()
    )
    return Line(
        rule=rule,
        anchor=anchor_of(rule.code.id, rule.row.id),
        value=value_of(rule.row),
        source=source.title if source else rule.row.source,
        confirmed=confirmed,
        tightened=tightened,
        tightens=rule.clause is not None and rule.clause.check in TIGHTENED,
    )


def _last_edition(rows: list[RuleRow]) -> str:
    """The edition that was read most lately, so that it need not be typed for every row. Where in it is always typed."""
    told = [one.told for rule in rows for one in rule.confirmed]
    latest = max(told, key=lambda t: t.at_utc, default=None)
    return latest.edition if latest else ""
