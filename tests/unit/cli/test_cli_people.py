"""`people`, `may`, `coupons` and `rules` on the command line."""

import json
import shutil

import pytest

from brightroot.library.load import OURS
from brightroot.store.verifier import verify

FACTS = [
    "id=J-1", "metal=Gr 2", "pipe=33.4 x 3.38 mm", "position=5G", "included_angle_rad=60°", "land_m=0.5 mm",
    "gap_m=2.4 mm", "dam_span_m=200 mm", "vent_diameter_m=8 mm", "longest_run_m=500 mm", "filler=ERTi-2",
]  # fmt: skip
COUPON = [
    "code=asme-ix/2023", "welded_on=2026-05-25", "position=5G", "pipe=33.4 x 3.38 mm", "deposit_m=3.38 mm",
    "layers_count=2", "metal=Gr 2", "filler=ERTi-2", "filler_form=solid", "backing=no", "gas_backing=yes", "insert=no",
    "current=DCEN", "progression=up", "visual_test=passed", "bend_test=passed",
]  # fmt: skip


@pytest.fixture
def shop(ask):
    assert ask("plan", *FACTS, "--keep", "--by", "W-07", "--json")[0] == 0
    assert ask("people", "W-07", "qualified", *COUPON, "--by", "E-01") == (0, "Recorded: Q-1\n")
    return ask


def test_may_says_yes_no_and_not_known(shop):
    code, out = shop("may", "W-07", "J-1", "--on", "2026-06-01")
    assert code == 2 and out.startswith("Not known:") and "QW-408.8" in out and "type your clause" in out
    told = json.loads(shop("may", "W-07", "J-1", "--on", "2026-06-01", "--json")[1])
    for row in told["mend"]["rows"]:
        assert shop("rules", "confirm", "asme-ix/2023", row, "edition=2023", "ref=own copy", "--by", "E-01")[0] == 0
    assert shop("may", "W-07", "J-1", "--on", "2026-06-01")[1].startswith("Yes.")
    code, out = shop("may", "W-07", "J-1", "--on", "2026-12-25")
    assert code == 1 and out.startswith("No: time since the last use.")
    assert shop("people", "W-07", "used", "date=2099-01-01", "--by", "W-07")[0] == 64  # a day that has not come


def test_nobody_recorded_is_not_known(shop):
    code, out = shop("may", "W-99", "J-1")
    assert code == 2 and "nothing is recorded of W-99" in out
    assert "no hay nada registrado" in shop("may", "W-99", "J-1", "--language", "es")[1]


def test_coupons_in_words_and_as_data(shop):
    code, out = shop("coupons", "J-1")
    assert code == 0 and "5G" in out and "covers J-1" in out and "Not priced" in out and "nobody has confirmed" in out
    rates = ("coupon_h=6", "run_h_m=2", "hour_price=50", "specimen_price=40")
    told = json.loads(shop("coupons", *rates, "--json")[1])
    assert told["plan"]["price"] > 0 and told["plan"]["uncovered"] == []
    assert shop("coupons", "J-1", "hour_prize=5")[0] == 64
    assert shop("coupons", "J-1", "hour_price=much")[0] == 64


def test_a_record_is_shown_listed_and_taken_along(shop, tmp_path):
    assert "1 qualifications" in shop("people")[1]
    assert "Q-1" in shop("people", "W-07")[1]
    paper = tmp_path / "record.pdf"
    paper.write_bytes(b"%PDF-1.7 scan")
    shop("people", "W-07", "qualified", *COUPON, "welded_on=2026-05-26", "--by", "E-01", "--paper", paper)
    out = tmp_path / "mine.zip"
    assert shop("people", "W-07", "--export", out)[0] == 0
    found = verify(out)
    assert found["ok"] and found["joint"] == "people/W-07" and found["count"] == 2
    assert shop("people", "W-99", "--export", out)[0] == 64


@pytest.mark.parametrize(
    "words",
    [
        ("people", "W-07", "promoted"),
        ("people", "W-07", "qualified", "position=6G", "--by", "E-01"),
        ("people", "W-07", "used", "date=2026-02-30", "--by", "W-07"),
        ("people", "W-07", "qualified", *COUPON),
        ("rules", "confirm", "asme-ix/2023", "qw-408.8", "edition=2023", "--by", "E-01"),
        ("rules", "confirm", "asme-ix/2023", "qw-999", "edition=2023", "ref=x", "--by", "E-01"),
        ("rules", "tighten", "asme-b31.3/2018", "crack", "limit=seen", "why=?", "--by", "E-01"),
        ("rules", "tighten", "asme-ix/2023", "qw-408.8", "limit=1 mm", "why=?", "--by", "E-01"),
        ("rules", "dance"),
        ("rules", "check", "no-such-folder"),
        ("may", "W 07", "J-1"),
        ("may", "W-07", "J-99"),
    ],
)
def test_misuse_is_64_and_one_envelope(shop, words):
    code, out = shop(*words, "--json")
    envelope = json.loads(out)
    assert code == 64 and envelope["ok"] is False and envelope["field"]


def test_rules_are_listed_with_their_standing(shop):
    _, out = shop("rules", "list", "asme-ix/2023")
    assert out.count("[") >= 100 and "type your clause" in out and "decides nothing yet" in out
    rows = json.loads(shop("rules", "list", "--json")[1])["rules"]
    assert all(row["standing"] for row in rows)


def test_a_folder_is_checked(ask, tmp_path):
    code, out = ask("rules", "check", OURS / "codes/asme-b31.3/2018")
    assert code == 0 and "all as they say" in out
    own = tmp_path / "codes/own/1"
    shutil.copytree(OURS / "codes/asme-b31.3/2018", own)
    cases = own / "cases.toml"
    cases.write_text(
        cases.read_text(encoding="utf-8").replace('verdict = "pass"', 'verdict = "fail"', 1), encoding="utf-8"
    )
    code, out = ask("rules", "check", own)
    assert code == 1 and "cases.toml, case" in out


def test_an_own_folder_that_loosens_stops_everything(ask, tmp_path):
    own = tmp_path / "library/codes/own/1"
    shutil.copytree(OURS / "codes/asme-b31.3/2018", own)
    clauses = own / "clauses.toml"
    text = clauses.read_text(encoding="utf-8")
    assert 'limit = "none"' in text
    clauses.write_text(text.replace('limit = "none"', 'limit = "seen"', 1), encoding="utf-8")
    code, _ = ask("joints")
    assert code == 64


def test_a_record_and_a_blank_are_printed(shop, tmp_path):
    for told in (("qualification=Q-1",), ()):
        path = tmp_path / f"{len(told)}.pdf"
        assert shop("people", "W-07", "printed", *told, f"to={path}")[0] == 0
        assert path.read_bytes().startswith(b"%PDF")
    assert shop("people", "W-07", "printed", "qualification=Q-9", f"to={tmp_path / 'x.pdf'}")[0] == 64
    assert "Welding J-1 by" in shop("people", "W-07")[1] or "ended with" in shop("people", "W-07")[1]
