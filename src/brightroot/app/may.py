"""May W-nn make this joint on a day, who else may, and the fewest coupons that would let somebody."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from brightroot.app.people import people, person_of, uses_of
from brightroot.app.plan_joint import facts_of_joint, plan_of
from brightroot.app.ports import Place
from brightroot.app.rules_read import confirmations
from brightroot.base.errors import Refused
from brightroot.base.instant import read_day, utc_of
from brightroot.base.units import Reading
from brightroot.model.clause import Outcome
from brightroot.model.library import Library
from brightroot.model.qualification import JointNeeds, MayWeld
from brightroot.model.streams import log_of, stamp_of
from brightroot.records.order import settled
from brightroot.records.seal import log_head
from brightroot.records.views.person import Person
from brightroot.rules.coupon_grid import Offer
from brightroot.rules.coupons import CouponPlan, Rates, plan_coupons
from brightroot.rules.welders.book import Book, book_of, confirmed_in
from brightroot.rules.welders.many import Matrix, Welder, may_many
from brightroot.rules.welders.may import may
from brightroot.rules.welders.needs import needs_of, nps_of

FIRST = "asme-ix"
DOWNHILL = ("PJ", "J-L045")
NOTHING = "welders.nothing_recorded"
SMALLEST_M = 0.0333  # common practice, no source: specimens are cut from NPS 1 and over, unless the joint is smaller


@dataclass(frozen=True, slots=True)
class Covering:
    """A plan of coupons, and the joints that the welder may make without one."""

    plan: CouponPlan
    already: tuple[str, ...]
    code: str


def books(place: Place) -> Mapping[str, Book]:
    """Every code of the library that judges welders."""
    return _books(place.library)


@lru_cache(maxsize=4)
def _books(library: Library) -> Mapping[str, Book]:
    found = {code.id: code for code in library.codes.values() if any(r.table == "welder_variables" for r in code.rows)}
    return {name: book_of(code) for name, code in sorted(found.items())}


def book_named(place: Place, code: str, *, person: Person | None = None) -> Book:
    """The book of that code. Without a name: the one under which the person holds something, else the first."""
    there = books(place)
    if code:
        if code not in there:
            wanted = "a code with rows for welders"
            raise Refused(field="code", wanted=wanted, got=code, near=tuple(there), reason="refused.name")
        return there[code]
    held = sorted({q.code for q in person.qualifications} & set(there)) if person else []
    own = sorted(held or there, key=lambda name: (not name.startswith(FIRST), name))
    if not own:
        raise Refused(field="code", wanted="a code with rows for welders", got="none in the library")
    return there[own[0]]


def needs_of_joint(place: Place, joint_id: str, book: Book) -> JointNeeds:
    """What a declared joint asks of its welder. The planned runs go uphill where the position has a vertical part."""
    plan = plan_of(place, joint_id)
    down = facts_of_joint(place, joint_id).get("position", "") in DOWNHILL
    return needs_of(book, plan.joint, filler=plan.filler, progression="down" if down else "up")


def today(place: Place) -> str:
    """The day of the place's clock, in UTC; who works elsewhere names the day there."""
    return utc_of(place.now_s())[:10]


def may_weld(place: Place, stamp: str, joint_id: str, *, on: str = "", code: str = "") -> MayWeld:
    """Whether a welder may make a joint on a day, every variable with its clause, failing ones first.

    Of somebody about whom nothing is recorded it is not known: a missing record is no proof of anything.
    """
    person = person_of(place, stamp)
    book = book_named(place, code, person=person)
    day = read_day(on, field="on") if on else today(place)
    told = may(
        book,
        person.qualifications,
        needs_of_joint(place, joint_id, book),
        on=day,
        uses=uses_of(place, stamp, person=person),
        confirmations=confirmations(place),
        welder=person.stamp,
    )
    return told if person.events_count else _nothing_known(told)


def _nothing_known(told: MayWeld) -> MayWeld:
    answers = tuple(
        replace(a, outcome=Outcome.UNKNOWN, because=NOTHING, asks="ask.welder_record") for a in told.answers
    )
    return replace(told, outcome=Outcome.UNKNOWN, answers=answers)


@dataclass(frozen=True, slots=True)
class WhoConcern:
    """Something to mind before the first arc: no stop, since the record may merely be incomplete."""

    level: str  # note | warn
    says: str
    stamp: str
    variable: str


def who_concern(place: Place, stamp: str, joint_id: str) -> WhoConcern | None:
    """What the record has against this stamp at this joint today; None where it says yes, or where there is no stamp."""
    try:
        told = may_weld(place, stamp, joint_id)
    except Refused:  # what stands in the settings is no stamp, or no code here judges welders
        return None
    if told.outcome is Outcome.PASS:
        return None
    against = told.outcome is Outcome.FAIL
    says = "may.live_no" if against else "may.live_unknown"
    return WhoConcern("warn" if against else "note", says, told.welder, told.answers[0].variable)


@dataclass(frozen=True, slots=True)
class WelderLine:
    """One welder of a joint, on the day of their first arc: by which record, and how that log stood."""

    stamp: str
    runs: tuple[int, ...]
    on: str
    told: MayWeld | None  # None: what stands on the entries is no stamp
    events_count: int
    head: str


def welders_of(place: Place, joint_id: str, *, code: str = "") -> tuple[WelderLine, ...]:
    """Everybody whose arcs stand in a joint's log, in the order in which they began."""
    arcs = [e for e in settled(place.store.events(joint_id)).events if e.kind == "arc.started"]
    lines = []
    for stamp in dict.fromkeys(event.by for event in arcs):
        own = [event for event in arcs if event.by == stamp]
        on = own[0].at_utc[:10]
        runs = tuple(sorted({event.data["run_count"] for event in own}))
        try:
            stored = place.store.stored(log_of(stamp))
            told = may_weld(place, stamp, joint_id, on=on, code=code)
        except Refused:
            lines.append(WelderLine(stamp, runs, on, None, 0, ""))
            continue
        lines.append(WelderLine(stamp, runs, on, told, len(stored), log_head(stored) if stored else ""))
    return tuple(lines)


def matrix(place: Place, *, on: str = "", code: str = "", joints: Sequence[str] = ()) -> Matrix:
    """Everybody with a record against the joints of the log, outcomes only."""
    book = book_named(place, code)
    everybody = [Welder(p.stamp, p.qualifications, uses_of(place, p.stamp, person=p)) for p in people(place)]
    needs = [needs_of_joint(place, joint, book) for joint in (joints or place.store.joints())]
    day = read_day(on, field="on") if on else today(place)
    return may_many(book, everybody, needs, on=day, confirmations=confirmations(place))


def who_may(place: Place, joint_id: str, *, on: str = "", code: str = "") -> tuple[str, ...]:
    """The stamps that may make that joint, by name: no order of merit."""
    return tuple(sorted(matrix(place, on=on, code=code, joints=(joint_id,)).who(joint_id)))


def coupons_for(
    place: Place,
    joints: Sequence[str] = (),
    *,
    stamp: str = "",
    on: str = "",
    code: str = "",
    rates: Rates | None = None,
    price_first: bool = False,
) -> Covering:
    """The fewest coupons for those joints, or for all; with a stamp, for those that this welder may not make yet."""
    person = person_of(place, stamp) if stamp else None
    book = book_named(place, code, person=person)
    names = tuple(dict.fromkeys(joints)) or place.store.joints()
    needs = [needs_of_joint(place, name, book) for name in names]
    told = confirmations(place)
    already: tuple[str, ...] = ()
    if person:
        day = read_day(on, field="on") if on else today(place)
        welder = Welder(stamp_of(log_of(stamp)), person.qualifications, uses_of(place, stamp, person=person))
        found = may_many(book, [welder], needs, on=day, confirmations=told)
        already = tuple(name for name in names if found.outcome(welder.stamp, name) is Outcome.PASS)
    open_needs = [need for need in needs if need.joint not in already]
    confirmed = confirmed_in(book, told)
    offers = _offers(place, open_needs)
    plan = plan_coupons(book, open_needs, offers, confirmed=confirmed, rates=rates, price_first=price_first)
    return Covering(plan, already, book.code)


def _offers(place: Place, needs: Sequence[JointNeeds]) -> tuple[Offer, ...]:
    """The pipes of the joints themselves, and those of the tables up to their size that a coupon can be bent from."""
    found: dict[tuple[str, float, float], Offer] = {}
    largest_m = 0.0
    for need in needs:
        joint = plan_of(place, need.joint).joint
        for end in (joint.end_a, joint.end_b):
            size = end.size or f"{end.outer_diameter_m.as_entered} x {end.wall_m.as_entered}"
            key = (end.outer_diameter_m.unit, end.outer_diameter_m.value, end.wall_m.value)
            found.setdefault(key, Offer(end.outer_diameter_m, end.wall_m, nps_of(end.size), size))
            largest_m = max(largest_m, end.outer_diameter_m.value)
    for row in place.library.pipes:
        if SMALLEST_M <= row.outer_diameter_m <= largest_m * 1.001:
            said = f"NPS {row.nps} Sch {row.schedule}"
            outside, wall = (Reading(said, size, "in", "length") for size in (row.outer_diameter_m, row.wall_m))
            found.setdefault(("in", row.outer_diameter_m, row.wall_m), Offer(outside, wall, row.nps, said))
    return tuple(found.values())
