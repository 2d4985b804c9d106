"""Dossiers: marked while anything is owed, a concession in sight, a pack issued whole or not at all, reprints alike."""

import io
import zipfile

import pytest

from brightroot.app.dossier import document
from brightroot.app.owed import owed, standings
from brightroot.app.pack import INDEX, issue_pack
from brightroot.app.work_live import record
from brightroot.base.errors import Refused
from brightroot.cli.wiring import paper
from brightroot.model.clause import Outcome
from brightroot.model.owed import still_owed
from brightroot.store.bundle import bundle_bytes, pack_bytes
from brightroot.store.verifier import verify

J = "J-10"


def kind(name, number=None):
    return lambda event: event.kind == name and (number is None or event.data.get("run_count") == number)


@pytest.fixture
def place(upto):
    return upto(kind("arc.started", 2))[0]


def concede(place, clause, **more):
    facts = {"clause": clause, "why": "as agreed", "stamp": "E-01", "role": "engineer", **more}
    return record(place, J, "concession.signed", facts, by="E-01")


def laid(place):
    on = paper("en", "metric", "a4")
    return document(place, J, speech=on.speech, draw=on.draw)


def test_an_open_dossier_says_so_on_every_page(place):
    count = len(still_owed(owed(place, J)))
    assert count > 5
    made = laid(place)
    assert made.subtitle.startswith(f"INCOMPLETE: {count} owed")
    assert made.foot.startswith(f"INCOMPLETE: {count} owed")


def test_dams_still_in_are_owed_by_the_welder_since_they_went_in(place):
    dams = next(one for one in owed(place, J) if one.clause == "dams-out")
    assert (dams.by, dams.outcome) == ("welder", Outcome.UNKNOWN) or dams.outcome is Outcome.FAIL
    assert dams.since_s is not None


def test_every_gap_conceded_leaves_no_mark_and_all_concessions_in_sight(place):
    open_ = still_owed(owed(place, J))
    for one in open_:
        concede(place, one.key, paper="C-17")
    assert not still_owed(owed(place, J))
    made = laid(place)
    assert "INCOMPLETE" not in made.subtitle + made.foot
    rows = [row for block in made.blocks for row in getattr(block, "rows", ()) if any("C-17" in cell for cell in row)]
    assert len([row for row in rows if len(row) == 5 and row[4] == "as agreed (C-17)"]) >= len(open_)


@pytest.mark.parametrize("clause", ["interpass", "joint-procedure/1", "joint-procedure/1 interpas", ""])
def test_a_concession_names_a_clause(place, clause):
    with pytest.raises(Refused) as refusal:
        concede(place, clause)
    assert refusal.value.field == "clause"


def test_a_welder_signs_no_concession(place):
    with pytest.raises(Refused) as refusal:
        concede(place, "joint-procedure/1 interpass", role="welder")
    assert refusal.value.field == "role"


def test_a_pack_holds_an_index_and_bundles_that_verify(place, tmp_path):
    files = issue_pack(place, [J, J], name="TP-1", by="Q-02", on=paper("en", "metric", "a4"), bundle=bundle_bytes)
    assert sorted(files) == sorted((INDEX, f"{J}.zip"))
    with zipfile.ZipFile(io.BytesIO(pack_bytes(files))) as whole:
        assert whole.testzip() is None
        (tmp_path / "one.zip").write_bytes(whole.read(f"{J}.zip"))
    found = verify(tmp_path / "one.zip")
    assert found["ok"], found["faults"]
    issued = [event for event in place.store.events(J) if event.kind == "dossier.issued"]
    assert issued[-1].data["owed_count"] == len(still_owed(owed(place, J)))


@pytest.mark.parametrize(
    "joints, name, by, field",
    [([], "TP-1", "Q-02", "joints"), ([J], " ", "Q-02", "name"), ([J], "TP-1", "", "by"), ([J, "J-99"], "TP-1", "Q-02", "joint")],
)  # fmt: skip
def test_a_pack_refused_issues_nothing(place, joints, name, by, field):
    before = len(place.store.events(J))
    with pytest.raises(Refused) as refusal:
        issue_pack(place, joints, name=name, by=by, on=paper("en", "metric", "a4"), bundle=bundle_bytes)
    assert refusal.value.field == field
    assert len(place.store.events(J)) == before


def test_the_same_log_prints_the_same_bytes(place):
    on = paper("en", "metric", "a4")
    assert on.pdf(laid(place)) == on.pdf(laid(place))


def test_the_longest_owed_stands_first(place):
    lines = standings(place)
    assert [line.joint for line in lines] == [J] or lines[0].open
