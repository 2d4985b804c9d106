"""People's own logs: qualifications, uses, renewals; sealed, refused by name, and found again in joints' logs."""

import re
from dataclasses import replace

import pytest

from brightroot.app.people import (
    papers_of,
    people,
    person_of,
    qualifications_of,
    record_qualification,
    record_use,
    renew,
    revoke,
    uses_of,
    withdraw,
)
from brightroot.app.work_live import look
from brightroot.base.errors import Refused
from brightroot.base.instant import seconds_of, utc_of
from brightroot.model.coupon_facts import COUPON_FACTS
from brightroot.model.people import PEOPLE_KINDS, RULES_KINDS
from brightroot.model.streams import log_of
from brightroot.records.seal import check_chains
from brightroot.render.words import words
from brightroot.store.bundle import bundle_bytes
from brightroot.store.logs import memory_store
from brightroot.store.verifier import examine

CODE = "iso-9606-5/2000"
FACTS = {
    "code": CODE,
    "welded_on": "2026-01-12",
    "position": "6G",
    "pipe": "60.3 x 3.91 mm",
    "deposit_m": "3.91 mm",
    "layers_count": "3",
    "metal": "Gr 2",
    "filler": "ERTi-2",
    "backing": "no",
    "gas_backing": "yes",
    "bend_test": "passed",
    "report": "LAB-2231",
}


def test_a_coupon_is_recorded_whole(place):
    made = record_qualification(place, "W-07", FACTS, by="W-07")
    (held,) = qualifications_of(place, "W-07")
    assert held == made and held.id == "Q-1"
    coupon = held.coupon
    assert (coupon.p_number, coupon.f_number) == ("51", "51")  # looked up from the names
    assert coupon.outer_diameter_m.as_entered == "60.3 mm" and coupon.wall_m.as_entered == "3.91 mm"
    assert coupon.backing is False and coupon.gas_backing is True and coupon.insert is None
    assert [(t.test, t.result, t.report) for t in coupon.tests] == [("bend", "passed", "LAB-2231")]


def test_the_next_one_gets_the_next_name_and_no_name_twice(place):
    record_qualification(place, "W-07", FACTS, by="W-07")
    other = {**FACTS, "welded_on": "2026-01-13"}
    assert record_qualification(place, "W-07", other, by="W-07").id == "Q-2"
    for again in ({**FACTS, "id": "Q-1"}, FACTS):
        with pytest.raises(Refused) as caught:
            record_qualification(place, "W-07", again, by="W-07")
        assert caught.value.field == "id"


def test_the_paper_is_kept_by_its_hash(place):
    made = record_qualification(place, "W-07", FACTS, by="W-07", evidence=(b"%PDF-1.7", "application/pdf"))
    (sha256,) = made.evidence
    assert place.store.attachment(sha256) == (b"%PDF-1.7", "application/pdf")
    assert place.store.events(log_of("W-07"))[0].data["evidence_sha256"] == sha256


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"code": "asme-ix/1999x"}, "code"),
        ({"welded_on": "12/01/2026"}, "welded_on"),
        ({"welded_on": ""}, "welded_on"),
        ({"position": "6GR"}, "position"),
        ({"pipe": ""}, "pipe"),
        ({"position": "3G"}, "position"),
        ({"deposit_m": "3.91"}, "deposit_m"),
        ({"deposit_m": "9 mm"}, "deposit_m"),
        ({"layers_count": "0"}, "layers_count"),
        ({"metal": "titanium"}, "metal"),
        ({"filler": "ERTi-99"}, "filler"),
        ({"backing": "perhaps"}, "backing"),
        ({"issued_on": "2026-01-01"}, "issued_on"),
        ({"bend_test": "fine"}, "bend_test"),
        ({"colour": "blue"}, "colour"),
    ],
)
def test_what_does_not_fit_is_refused_by_name_and_nothing_is_written(place, changes, field):
    with pytest.raises(Refused) as caught:
        record_qualification(place, "W-07", {**FACTS, **changes}, by="W-07", evidence=(b"paper", "text/plain"))
    assert field in {caught.value.field, *(other.field for other in caught.value.also)}
    assert place.store.logs() == () and place.store.counts()["attachments"] == 0


def test_all_that_needs_mending_is_said_at_once(place):
    with pytest.raises(Refused) as caught:
        record_qualification(place, "W-07", {"position": "9G", "deposit_m": "thick"}, by="W-07")
    fields = {caught.value.field, *(other.field for other in caught.value.also)}
    assert {"code", "welded_on", "position", "deposit_m"} <= fields


def test_a_number_that_the_library_doubts_is_not_taken_over(place):
    made = record_qualification(place, "W-07", {**FACTS, "metal": "Gr 5"}, by="W-07")
    assert made.coupon.p_number == ""  # 53 is not certain
    assert (
        record_qualification(place, "W-07", {**FACTS, "metal": "Gr 5", "p_number": "53"}, by="W-07").coupon.p_number
        == "53"
    )


def test_uses_are_days_as_typed(place):
    record_use(place, "W-07", {"date": "2026-02-28", "metal": "51", "weld": "S-3"}, by="W-07")
    record_use(place, "W-07", {"date": "2026-02-20"}, by="W-07")
    uses = uses_of(place, "W-07")
    assert [(u.date, u.process, u.metal, u.weld) for u in uses] == [
        ("2026-02-20", "GTAW", "", ""),
        ("2026-02-28", "GTAW", "51", "S-3"),
    ]
    assert all(u.evidence for u in uses)  # the entry itself, where there is no paper


@pytest.mark.parametrize("date", ["2026-02-30", "yesterday", "2027-01-01", ""])
def test_a_day_that_is_none_or_has_not_come(place, date):
    with pytest.raises(Refused) as caught:
        record_use(place, "W-07", {"date": date}, by="W-07")
    assert caught.value.field == "date" and place.store.logs() == ()


def test_joints_show_uses_of_their_own(gallery):
    uses = uses_of(gallery, "W-07")
    assert {u.weld for u in uses} == {"J-01", "J-10"}
    assert {u.metal for u in uses} == {"51"} and {u.process for u in uses} == {"GTAW"}
    first = uses[0]
    joint, event = first.evidence.split()
    assert any(e.id == event and e.by == "W-07" and e.kind == "arc.stopped" for e in gallery.store.events(joint))
    assert uses_of(gallery, "W-11") == ()


def test_a_withdrawn_arc_is_no_use(upto):
    seen = []

    def after_the_first_stop(event):
        seen.append(event.kind)
        return "arc.stopped" in seen[:-1]

    place, _ = upto(after_the_first_stop)
    (arc,) = [e for e in place.store.events("J-10") if e.kind == "arc.stopped"]
    assert [u.weld for u in uses_of(place, "W-07")] == ["J-10"]
    later = utc_of(seconds_of(arc.at_utc) + 60)
    place.store.append("J-10", later, "W-07", "event.withdrawn", {"why": "another joint"}, corrects=arc.id)
    assert uses_of(place, "W-07") == ()


def test_renewed_and_revoked(place):
    record_qualification(place, "W-07", FACTS, by="W-07")
    renew(place, "W-07", "Q-1", date="2026-02-01", by="E-01")
    revoke(place, "W-07", "Q-1", date="2026-03-01", why="three rejects in a row", by="E-01")
    (held,) = qualifications_of(place, "W-07")
    assert held.renewed_on == ("2026-02-01",) and held.revoked_on == "2026-03-01"
    for act in (renew, lambda *a, **k: revoke(*a, why="?", **k)):
        with pytest.raises(Refused, match="Q-9"):
            act(place, "W-07", "Q-9", date="2026-03-01", by="E-01")


def test_an_entry_taken_back_stays_to_be_read(place):
    record_qualification(place, "W-07", FACTS, by="W-07")
    (event,) = place.store.events(log_of("W-07"))
    withdraw(place, "W-07", event.id, why="another person's coupon", by="W-07")
    assert qualifications_of(place, "W-07") == () and person_of(place, "W-07").events_count == 2
    with pytest.raises(Refused):
        withdraw(place, "W-07", event.id, why="again", by="W-07")


def test_nobody_is_listed_as_a_joint_and_everybody_by_stamp(place):
    for stamp in ("W-11", "W-07"):
        record_qualification(place, stamp, FACTS, by="E-01")
    assert [p.stamp for p in people(place)] == ["W-07", "W-11"]
    assert place.store.joints() == ()
    with pytest.raises(Refused):
        look(place, log_of("W-07"))


@pytest.mark.parametrize("by", ["", "  "])
def test_somebody_writes_it(place, by):
    with pytest.raises(Refused) as caught:
        record_qualification(place, "W-07", FACTS, by=by)
    assert caught.value.field == "by"


def test_sent_again_it_is_one_entry(place):
    # a phone sends again what it has no answer to; the name it was given the first time is its name
    for _ in range(2):
        record_use(place, "W-07", {"date": "2026-02-20"}, by="W-07", client_id="tap-1")
        assert record_qualification(place, "W-07", FACTS, by="W-07", client_id="tap-2").id == "Q-1"
    assert len(uses_of(place, "W-07")) == 1 and len(qualifications_of(place, "W-07")) == 1


def test_they_take_their_log_with_them(place):
    record_qualification(place, "W-07", FACTS, by="W-07", evidence=(b"%PDF-1.7", "application/pdf"))
    stored = place.store.stored(log_of("W-07"))
    assert check_chains(stored).holds
    data, _ = bundle_bytes(stored=stored, attachments=papers_of(place, "W-07"), files={}, about={})
    found = examine(data)
    assert found["ok"] and found["joint"] == "people/W-07" and found["count"] == 1
    elsewhere = replace(place, store=memory_store("other"))
    elsewhere.store.receive(stored)
    assert qualifications_of(elsewhere, "W-07") == qualifications_of(place, "W-07")


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_fact_choice_and_kind_has_words(language):
    said = words(language)
    ids = {f"field.{f.name}" for f in COUPON_FACTS} | {f"hint.{f.name}" for f in COUPON_FACTS}
    ids |= {f"field.{f.name}" for kinds in (PEOPLE_KINDS, RULES_KINDS) for k in kinds.values() for f in k.fields} - {
        "field.facts"
    }
    ids |= {f"kind.{name}" for name in (*PEOPLE_KINDS, *RULES_KINDS)}
    choices = {c for f in COUPON_FACTS for c in f.choices if c and c not in ("yes", "no")}
    lacking = {c for c in choices if not said.has("fact_choice." + re.sub(r"[^\w-]+", "_", c)) and "+" not in c}
    assert {i for i in ids if not said.has(i)} == set() and lacking == set()
