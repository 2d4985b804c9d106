"""The command line: JSON everywhere, one envelope for every refusal, exits 0 pass, 1 fail, 2 unknown, 64 misuse."""

import io
import json
import subprocess
import sys

import pytest

from brightroot.store.logs import open_store

FACTS = [
    "id=J-1", "metal=Gr 2", "pipe=33.4 x 3.38 mm", "position=1G", "included_angle_rad=60°", "land_m=0.5 mm",
    "gap_m=2.4 mm", "dam_span_m=200 mm", "vent_diameter_m=8 mm", "longest_run_m=500 mm",
]  # fmt: skip
ENVELOPE = {"ok", "error", "field", "wanted", "got", "near", "see"}


@pytest.fixture
def kept(ask):
    """A folder with one planned joint."""
    code, _ = ask("plan", *FACTS, "--keep", "--by", "W-07", "--json")
    assert code == 0
    return ask


@pytest.fixture
def finished(gallery, tmp_path):
    """A log file with J-10 as worked."""
    store = open_store(tmp_path / "logs.sqlite3")
    store.receive(gallery.store.stored("J-10"), gallery.store.proof("J-10")["signatures"])
    for event in gallery.store.events("J-10"):
        if "plan_sha256" in event.data:
            store.put_attachment(*gallery.store.attachment(event.data["plan_sha256"]))
    return store


def envelope(out):
    told = json.loads(out)
    assert set(told) >= ENVELOPE and told["ok"] is False
    return told


def test_plan_without_keeping(ask):
    code, out = ask("plan", *FACTS, "--json")
    assert code == 0 and json.loads(out)["joint"]["id"] == "J-1"
    assert json.loads(ask("joints", "--json")[1]) == {"joints": []}


def test_joints_live_why_judge(kept):
    assert [row["id"] for row in json.loads(kept("joints", "--json")[1])["joints"]] == ["J-1"]
    code, out = kept("live", "J-1", "--json")
    assert code == 0 and json.loads(out)["phase"] == "preparing"
    recorded = kept("live", "J-1", "filler.issued", "filler=ERTi-2", "lot=F-1", "--by", "W-07", "--json")
    assert recorded[0] == 0 and json.loads(recorded[1])["recorded"]
    code, out = kept("why", "J-1", "purge.time_s", "--json")
    assert code == 0 and json.loads(out)["key"] == "purge.time_s"
    code, out = kept("judge", "J-1", "--json")
    assert code == 2 and json.loads(out)["overall"] == "unknown"


def test_judge_says_fail(kept):
    kept("live", "J-1", "filler.issued", "filler=ER316L", "lot=F-1", "--by", "W-07", "--json")
    code, out = kept("judge", "J-1", "--json")
    assert code == 1 and json.loads(out)["overall"] == "fail"


def test_dossier_and_verify(finished, ask, tmp_path):
    bundle = tmp_path / "J-10.zip"
    code, out = ask("dossier", "J-10", "--out", bundle, "--by", "W-07", "--json")
    assert code == 0
    head = json.loads(out)["head"]
    code, out = ask("verify", bundle, "--head", head, "--json")
    assert code == 0 and json.loads(out)["ok"]
    data = bundle.read_bytes()
    at = data.index(b" ppm")
    bundle.write_bytes(data[: at - 1] + b"9" + data[at:])
    code, out = ask("verify", bundle, "--head", head, "--json")
    assert code == 1 and json.loads(out)["faults"]


@pytest.mark.parametrize(
    "words, field",
    [
        (["plan", *FACTS[:-1], "longest_run_m=60", "--json"], "longest_run_m"),
        (["plan", "gap_m", "--json"], "gap_m"),
        (["plan", "nowhere.toml", "--json"], "facts"),
        (["live", "J-9", "--json"], "joint"),
        (["live", "J-9", "oxygen.read", "--by", "W-07", "--json"], "joint"),
        (["judge", "J-9", "--json"], "joint"),
        (["why", "J-9", "purge.time_s", "--json"], "joint"),
        (["dossier", "J-9", "--json"], "by"),
        (["dossier", "J-9", "--by", "W-07", "--json"], "joint"),
        (["verify", "nowhere.zip", "--json"], "bundle"),
        (["calc", "nothing", "-"], None),
        (["no-such-command", "--json"], ""),
        (["plan", "--no-such-option", "--json"], ""),
        (["joints", "--language", "xx", "--json"], None),
    ],
)
def test_a_refusal_is_one_envelope_and_exit_64(ask, monkeypatch, tmp_path, words, field):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stdin", io.StringIO("{}"))
    code, out = ask(*words)
    if words[0] == "joints":  # no words are spoken in JSON, so no language is wanted
        assert code in (0, 64)
        json.loads(out)
        return
    assert code == 64
    told = envelope(out)
    if field is not None:
        assert told["field"] == field


def test_all_wrong_facts_in_one_envelope(ask):
    code, out = ask("plan", *FACTS, "gap_m=2.4", "land_m=-1 mm", "form=lap", "--json")
    assert code == 64
    told = envelope(out)
    assert {told["field"], *(other["field"] for other in told["also"])} == {"gap_m", "land_m"}


def test_a_wrong_figure_is_refused_with_what_is_near(kept):
    code, out = kept("why", "J-1", "time_s", "--json")
    assert code == 64 and "purge.time_s" in envelope(out)["near"]


def test_calc_a_formula(ask, tmp_path):
    case = tmp_path / "case.json"
    inputs = {"start_frac": 0.20946, "target_frac": 15e-6, "supply_frac": 3e-6}
    case.write_text(json.dumps({"formula": "purge.mixing.mixed_volumes_1", "inputs": inputs}))
    code, out = ask("calc", "formula", case)
    assert code == 0 and json.loads(out)["value"] == pytest.approx(9.77, rel=1e-3)
    case.write_text("[1, {}]")
    code, out = ask("calc", "formula", case)
    assert code == 64 and [row["ok"] for row in json.loads(out)] == [False, False]


def test_help_stays_light():
    """The help text does not wait for arrays or a web server."""
    script = (
        "import sys\nsys.argv = ['brightroot', '--help']\nfrom brightroot.cli.main import run\n"
        "try:\n    run()\nexcept SystemExit as leaving:\n    assert not leaving.code, leaving.code\n"
        "heavy = {'numpy', 'scipy', 'fastapi', 'sqlalchemy', 'cattrs', 'uvicorn'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "plan" in done.stdout


def test_a_server_s_logs_are_not_copied_as_a_file(ask, monkeypatch, tmp_path):
    monkeypatch.setenv("BRIGHTROOT_STORE", "postgresql://shop@127.0.0.1:9/none")
    code, out = ask("backup", tmp_path / "copy.sqlite3", "--json")
    assert code == 64
    assert envelope(out)["field"] == "store"


def test_a_shop_s_setting_names_its_log_file(ask, monkeypatch, tmp_path):
    monkeypatch.setenv("BRIGHTROOT_STORE", str(tmp_path / "shop.sqlite3"))
    assert ask("plan", *FACTS, "--keep", "--by", "W-07", "--json")[0] == 0
    assert open_store(tmp_path / "shop.sqlite3").joints() == ("J-1",)
