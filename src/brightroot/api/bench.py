"""A bench: one log file and the library, with the same use cases as the web and the command line."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from brightroot.app.calc import answer
from brightroot.app.compare import Comparison, compare
from brightroot.app.dossier import Paper, issue
from brightroot.app.fastest import Searched, adopt_fastest, plan_fastest, rotate, searched_joint, sureness
from brightroot.app.gas import GasSeen, gas_seen
from brightroot.app.heat import RunRow, heat_table
from brightroot.app.judge_joint import verdicts
from brightroot.app.lasting import Lasting, lasting
from brightroot.app.look import Looked, look_at
from brightroot.app.may import Covering, coupons_for, may_weld
from brightroot.app.owed import owed
from brightroot.app.pack import issue_pack
from brightroot.app.people import people, record_qualification, record_use
from brightroot.app.plan_joint import declare, declare_like, plan_facts, plan_of
from brightroot.app.ports import Place
from brightroot.app.procedures import GuardedJoint, guard_joint, procedures, record_test, write_procedure
from brightroot.app.record_sheet import record_document
from brightroot.app.replan import Replan, replan
from brightroot.app.rules_read import RuleRow, confirm_row, rule_rows, tighten
from brightroot.app.tint import JointTint, joint_tint
from brightroot.app.why import Why, why
from brightroot.app.work_live import Now, look, record
from brightroot.documents.sheets.plan import plan_sheet
from brightroot.documents.speech import Speech
from brightroot.library.load import load_library
from brightroot.model.clause import Verdict
from brightroot.model.event import Event
from brightroot.model.outline import Document
from brightroot.model.owed import Owed
from brightroot.model.plan import Plan
from brightroot.model.procedure import TypedProcedure
from brightroot.model.qualification import MayWeld, Qualification
from brightroot.planner.search.chances import Chances
from brightroot.planner.search.fastest import Fastest
from brightroot.planner.search.rotation import Rotation
from brightroot.records.views.person import Person
from brightroot.render.drawing import drawing
from brightroot.render.html import html
from brightroot.render.pdf import pdf
from brightroot.render.words import words
from brightroot.rules.coupons import Rates
from brightroot.store.bundle import bundle_bytes, write_bundle, write_pack
from brightroot.store.logs import memory_store, open_store
from brightroot.store.photos import read_photo
from brightroot.store.tint_ways import tint_ways
from brightroot.store.verifier import verify


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan that shows itself as pages in a notebook."""

    plan: Plan
    speech: Speech

    def _repr_html_(self) -> str:
        joint = self.plan.joint.id
        return html(Document(joint, "", "", plan_sheet(self.plan, speech=self.speech), self.speech.language))


class Bench:
    """The use cases over one log file (in memory without a path).

    >>> bench = Bench()
    >>> planned = bench.plan({"id": "J-1", "metal": "Gr 2", "pipe": "60.3 x 2.77 mm", "position": "2G",
    ...     "included_angle_rad": "70°", "land_m": "0.8 mm", "gap_m": "2.4 mm", "dam_kind": "foam",
    ...     "dam_span_m": "300 mm", "vent_diameter_m": "8 mm"})
    >>> [layer.name for layer in planned.plan.passes]
    ['root', 'cap']
    """

    def __init__(
        self, path: Path | None = None, *, library: Path | None = None, language: str = "en", units: str = "metric"
    ) -> None:
        facts = load_library(library) if library else load_library()
        store = open_store(path) if path else memory_store()
        self.place = Place(facts, store, time.time)
        self.speech = Speech(words(language).say, units, language)

    def plan(self, facts: Mapping[str, str]) -> Planned:
        """A plan from typed facts, kept nowhere."""
        return Planned(plan_facts(self.place, facts), self.speech)

    def declare(self, facts: Mapping[str, str], *, by: str) -> Planned:
        """Declare and plan a joint; both are in the log when this returns."""
        return Planned(declare(self.place, facts, by=by), self.speech)

    def declare_like(self, joint: str, names: tuple[str, ...], *, by: str) -> tuple[str, ...]:
        """More joints like one that exists."""
        return declare_like(self.place, joint, names, by=by)

    def planned(self, joint: str) -> Planned:
        """The plan of a declared joint."""
        return Planned(plan_of(self.place, joint), self.speech)

    def fastest(self, facts: Mapping[str, str], *, least: str = "time") -> Fastest:
        """The fastest way round from typed facts, checked with the full heat engine."""
        return plan_fastest(self.place, facts, objective=least)

    def searched(self, joint: str, *, least: str = "time") -> Searched:
        """The fastest way of a declared joint, what binds, and what each rule costs."""
        return searched_joint(self.place, joint, objective=least)

    def sureness(self, joint: str, *, least: str = "time", seed: int = 1) -> Chances:
        """P10, P50 and P90 of the fastest way's time and argon, and how often each limit would hold by the clock alone."""
        return sureness(self.place, joint, objective=least, seed=seed)

    def adopt_fastest(self, joint: str, *, by: str, least: str = "time") -> Planned:
        """The fastest way becomes the joint's plan, before the first arc."""
        return Planned(adopt_fastest(self.place, joint, by=by, objective=least), self.speech)

    def compare(self, joint: str, *variants: Mapping[str, str]) -> Comparison:
        """A joint's plan beside one for each variant of its facts."""
        return compare(self.place, joint, variants)

    def rotate(self, *joints: str, rigs: int = 1) -> Rotation:
        """Two to four joints in turn: worth it or not."""
        return rotate(self.place, joints, rigs=rigs)

    def replan(self, joint: str, *, at_s: float | None = None) -> Replan:
        """What is left of a joint, planned again from its log."""
        return replan(self.place, joint, at_s=at_s)

    def live(self, joint: str, *, at_s: float | None = None) -> Now:
        """The joint as it stands: phase, advice, oxygen, forecasts."""
        return look(self.place, joint, at_s=at_s)

    def record(
        self,
        joint: str,
        kind: str,
        facts: Mapping[str, Any] | None = None,
        *,
        by: str,
        at_utc: str = "",
        corrects: str = "",
    ) -> Event:
        """One more event on the log."""
        return record(self.place, joint, kind, facts or {}, by=by, at_utc=at_utc, corrects=corrects)

    def heat(self, joint: str) -> tuple[RunRow, ...]:
        """Every run's heat: as made where it was made, as planned where it was not."""
        return heat_table(self.place, look(self.place, joint))

    def tint(self, joint: str) -> JointTint:
        """Each run's oxygen dose, film and colour to expect, what was seen, and why the two may not agree."""
        return joint_tint(self.place, joint)

    def look(self, photo: Path, *, second: Path | None = None, **told: str) -> Looked:
        """A photograph of tint read: base, card, weld as X,Y,W,H; metal; surface. Raises Refused for a broken file."""
        other = read_photo(second.read_bytes()) if second else None
        return look_at(read_photo(photo.read_bytes()), told, tint_ways(), second=other)

    def gas(self, joint: str) -> GasSeen:
        """Cylinders and what they still have for, gas proof, the air in the space, instruments and doubts."""
        return gas_seen(self.place, look(self.place, joint))

    def judge(self, joint: str) -> tuple[Verdict, ...]:
        """Every clause's verdict."""
        return verdicts(self.place, joint)

    def may(self, stamp: str, joint: str, *, on: str = "", code: str = "") -> MayWeld:
        """Whether a welder may make a joint on a day, every variable with its clause."""
        return may_weld(self.place, stamp, joint, on=on, code=code)

    def lasting(self, stamp: str, *, on: str = "") -> tuple[Lasting, ...]:
        """How long each of a stamp's qualifications lasts, and the planned joint that would keep it."""
        return lasting(self.place, stamp, on=on)

    def coupons(
        self,
        joints: tuple[str, ...] = (),
        *,
        stamp: str = "",
        on: str = "",
        code: str = "",
        rates: Rates | None = None,
        price_first: bool = False,
    ) -> Covering:
        """The fewest test coupons for those joints, or for all."""
        return coupons_for(self.place, joints, stamp=stamp, on=on, code=code, rates=rates, price_first=price_first)

    def people(self) -> tuple[Person, ...]:
        """Everybody with a record, by stamp."""
        return people(self.place)

    def qualify(
        self, stamp: str, facts: Mapping[str, Any], *, by: str, evidence: tuple[bytes, str] | None = None
    ) -> Qualification:
        """Record a qualification on a stamp's own log."""
        return record_qualification(self.place, stamp, facts, by=by, evidence=evidence)

    def qualification_record(self, stamp: str, qualification: str, *, paper: str = "a4") -> bytes:
        """One qualification's record as a PDF, every field with its clause."""
        return pdf(record_document(self.place, stamp, qualification, speech=self.speech, paper=paper))

    def used(
        self, stamp: str, facts: Mapping[str, Any], *, by: str, evidence: tuple[bytes, str] | None = None
    ) -> Event:
        """Record a day on which a welder used the process elsewhere."""
        return record_use(self.place, stamp, facts, by=by, evidence=evidence)

    def rules(self) -> tuple[RuleRow, ...]:
        """Every row of every code with its standing and its confirmations."""
        return rule_rows(self.place)

    def confirm(self, code: str, row: str, *, edition: str, ref: str, by: str) -> Event:
        """Record that somebody read a row in the text itself."""
        return confirm_row(self.place, code, row, edition=edition, ref=ref, by=by)

    def tighten(self, code: str, clause: str, limit: object, *, why: str, by: str) -> Event:
        """Set a stricter limit of the shop's own; a looser one is Refused."""
        return tighten(self.place, code, clause, limit, why=why, by=by)

    def procedures(self) -> tuple[TypedProcedure, ...]:
        """Every procedure that was typed, by name."""
        return procedures(self.place)

    def write_procedure(self, name: str, facts: Mapping[str, Any], *, by: str) -> Event:
        """A revision of a written procedure: ranges and words that every joint naming it must stay within."""
        return write_procedure(self.place, name, facts, by=by)

    def record_test(self, name: str, facts: Mapping[str, Any], *, by: str) -> Event:
        """A test record behind a procedure."""
        return record_test(self.place, name, facts, by=by)

    def guard(self, joint: str) -> GuardedJoint:
        """The joint against its procedure: what trips, who answered it, what one more test would allow."""
        now = look(self.place, joint)
        return guard_joint(self.place, now.plan, now.state.record)

    def why(self, joint: str, figure: str) -> Why:
        """Open one figure of a plan."""
        return why(self.place, plan_of(self.place, joint), figure)

    def dossier(self, joint: str, path: Path, *, by: str, paper: str = "a4") -> str:
        """Issue the dossier as a sealed bundle; answers the log head that stands on the paper."""
        on = Paper(self.speech, drawing(self.speech.language), pdf, paper)
        made = issue(self.place, joint, by=by, on=on)
        write_bundle(path, stored=made.stored, attachments=made.attachments, files=made.files, about=made.about)
        return made.head

    def owed(self, joint: str) -> tuple[Owed, ...]:
        """What keeps the joint's dossier from being whole, who owes it and since when; conceded gaps among it."""
        return owed(self.place, joint)

    def pack(self, name: str, joints: Sequence[str], path: Path, *, by: str, paper: str = "a4") -> None:
        """Issue several dossiers at once: an index and each joint's bundle in one file."""
        on = Paper(self.speech, drawing(self.speech.language), pdf, paper)
        write_pack(path, issue_pack(self.place, joints, name=name, by=by, on=on, bundle=bundle_bytes))

    def verify(self, path: Path, *, head: str | None = None) -> dict[str, Any]:
        """Check a bundle byte by byte."""
        return verify(path, head)

    def calc(self, engine: str, case: Any) -> Any:
        """Ask an engine one case, or a list of them."""
        return answer(engine, case, library=lambda: self.place.library)
