"""Who may weld, in words: one line for the answer, one for each variable, one for what would mend it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from brightroot.base.source import Standing
from brightroot.model.clause import Outcome
from brightroot.model.qualification import Answer, Coupon, MayWeld, Mend

Say = Callable[..., str]


class Lasts(Protocol):
    """How long a qualification lasts, as the rules found it."""

    @property
    def because(self) -> str: ...
    @property
    def params(self) -> tuple[tuple[str, str], ...]: ...
    @property
    def soon(self) -> bool: ...
    @property
    def until(self) -> str: ...


# values of the core that have words of their own
SPOKEN = {"yes": "choice.yes", "no": "choice.no"}
WORDED = (
    *("up", "down", "solid", "metal cored", "flux cored", "passed", "failed"),
    *("visual", "bend", "volumetric", "colour", "fracture"),
)


def worded(text: str, say: Say) -> str:
    """A value as it is said; words of the core in the person's language, everything else as it stands."""
    parts = [_one(part, say) for part in text.split(", ")]
    return ", ".join(parts) if text else say("web.not_recorded")


def _one(part: str, say: Say) -> str:
    if part in SPOKEN:
        return say(SPOKEN[part]).lower()
    return " ".join(say(f"fact_choice.{word}") if word in WORDED else word for word in part.split(" "))


def answer_line(answer: Answer, say: Say) -> str:
    """What a variable found, in one sentence."""
    table, _, name = answer.because.partition(".")
    slots = {"wanted": worded(answer.wanted, say), "got": worded(answer.got, say)}
    return say(f"lasting.{name}" if table == "continuity" else answer.because, **slots)


def lasting_line(lasts: Lasts, joint: str, say: Say) -> str:
    """Until when, whether that is near, and the planned joint that would keep it."""
    said = [say(lasts.because, **dict(lasts.params))]
    if lasts.soon:
        said.append(say("lasting.soon"))
    if joint:
        said.append(say("lasting.keeps", joint=joint, until=lasts.until))
    return " ".join(said)


def standing_line(answer: Answer, say: Say) -> str:
    """How an answer is known. One that was remembered and then confirmed is not called unconfirmed."""
    settled = answer.outcome in (Outcome.PASS, Outcome.FAIL) and not answer.waits_for
    if answer.standing is Standing.MEMORY and answer.rows and settled:
        return say("rules.standing_confirmed")
    return say(f"standing.{answer.standing}")


def headline(told: MayWeld, say: Say, *, code: str) -> str:
    """Yes, no, or not known, with the one variable that stands most against it."""
    first = told.answers[0]
    if first.because == "welders.nothing_recorded":
        return say("may.nothing", stamp=told.welder)
    if told.outcome is Outcome.PASS:
        return say("may.yes")
    if first.variable == "qualification":
        return say("may.no_qualification", code=code)
    waiting = {row for answer in told.answers for row in answer.waits_for}
    if told.outcome is Outcome.UNKNOWN and told.mend.kind == "confirm":
        one = len(waiting) == 1
        return say("may.not_known_row") if one else say("may.not_known_rows", count=len(waiting))
    would = first.because in ("welders.would_fail", "continuity.not_confirmed_over")
    name = "may.no" if told.outcome is Outcome.FAIL else "may.not_known_would" if would else "may.not_known"
    return say(name, variable=say(f"variable.{first.variable}"))


def mend_line(mend: Mend, say: Say) -> str:
    """The least that would change the answer."""
    names = ", ".join(say(f"variable.{name}") for name in mend.changes)
    if mend.kind == "coupon":
        told = say("mend.coupon", coupon=coupon_line(mend.coupon, say)) if mend.coupon else say("mend.coupon_unknown")
    else:
        told = say(f"mend.{mend.kind}", variables=names)
    besides = f" {say('mend.then_confirm')}" if mend.rows and mend.kind != "confirm" else ""
    return told + besides


def coupon_line(coupon: Coupon, say: Say, *, size: str = "") -> str:
    """A coupon to weld, in one line that the store and the fitter can work from."""
    outside = coupon.outer_diameter_m
    pipe = size or (f"NPS {coupon.nps}" if coupon.nps else outside.as_entered if outside else "")
    return say(
        "coupon.line" if pipe else "coupon.line_plate",
        position=coupon.position,
        size=pipe,
        deposit=coupon.deposit_m.as_entered if not size else _thickness(coupon),
        layers=coupon.layers_count or 1,
        p=coupon.p_number or "?",
        f=coupon.f_number or "?",
    )


def _thickness(coupon: Coupon) -> str:
    return f"{coupon.deposit_m.value * 1000:.2f} mm"
