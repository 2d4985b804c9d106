"""Crew, devices, files and backups from the command line; what a server on a network says first."""

import json
import re

import pytest
from typer.testing import CliRunner

from brightroot.base.errors import Refused
from brightroot.cli.main import app
from brightroot.cli.serve import loopback

RUN = CliRunner()


def ran(*words, store):
    return RUN.invoke(app, [*words, "--store", str(store)], catch_exceptions=True)


@pytest.fixture
def store(tmp_path):
    return tmp_path / "logs.sqlite3"


def test_crew_and_devices(store):
    made = ran("crew", "take-on", "F-02", "roles=foreman", "--by", "F-02", store=store)
    assert re.search(r"[2-9A-Z]{5}-[2-9A-Z]{5}", made.output)
    assert isinstance(ran("crew", "take-on", "W-07", "roles=king", "--by", "F-02", store=store).exception, Refused)
    assert isinstance(ran("crew", "take-on", "W-07", "roles=welder", store=store).exception, Refused)
    ran("crew", "take-on", "W-07", "roles=helper, welder", "--by", "F-02", "--json", store=store)
    assert "W-07  welder, helper" in ran("crew", store=store).output
    assert isinstance(ran("crew", "release", "F-02", "why=gone", "--by", "F-02", store=store).exception, Refused)
    ran("crew", "release", "W-07", "why=gone", "--by", "F-02", store=store)
    told = json.loads(ran("crew", "--json", store=store).output)["crew"]
    assert {one["stamp"]: bool(one["released"]) for one in told} == {"F-02": False, "W-07": True}
    shown = ran(
        "devices", "enrol", "name=bay 3", "--address", "http://10.0.0.5:8017", "--by", "F-02", store=store
    ).output
    assert "http://10.0.0.5:8017/enrol#" in shown and "█" in shown
    assert isinstance(ran("devices", "revoke", "d-9", "why=lost", "--by", "F-02", store=store).exception, Refused)


def test_a_log_is_carried_and_a_file_backed_up(store, tmp_path):
    ran("live", "J-05", store=store)
    from brightroot.store.logs import open_store

    here = open_store(store)
    here.append("J-05", "2026-03-02T10:00:00Z", "W-07", "purge.ended", {})
    here.close()
    out, copy, other = tmp_path / "J-05.zip", tmp_path / "copy.sqlite3", tmp_path / "other.sqlite3"
    assert ran("export", "J-05", "--out", str(out), store=store).exit_code == 0
    first = json.loads(ran("import", str(out), "--json", store=other).output)
    assert len(first["files"][0]["events"]["added"]) == 1
    assert json.loads(ran("import", str(out), "--json", store=other).output)["files"][0]["events"]["added"] == []
    out.write_bytes(out.read_bytes().replace(b"W-07", b"W-08"))
    assert isinstance(ran("import", str(out), store=other).exception, Refused)
    assert "1 events" in ran("backup", str(copy), store=store).output
    assert ran("restore", str(copy), store=store).exit_code == 0
    assert "Nothing is kept aside" in ran("import", store=store).output


def test_which_addresses_only_this_machine_reaches():
    assert [loopback(one) for one in ("127.0.0.1", "localhost", "::1", "0.0.0.0", "10.0.0.5", "shop.example")] == [
        True, True, True, False, False, False,
    ]  # fmt: skip


def test_the_first_steps_make_a_foreman_and_show_codes(store):
    from brightroot.cli.crew import first_steps, open_gate
    from brightroot.cli.wiring import place_at

    gate = open_gate(place_at(store))
    with pytest.raises(Refused):
        list(first_steps(gate, by="", host="0.0.0.0", port=8017))
    said = "\n".join(first_steps(gate, by="F-02", host="10.0.0.5", port=8017))
    assert gate.crew().roles("F-02") == {"foreman"} and "http://10.0.0.5:8017/enrol#" in said
    code = re.search(r"F-02, foreman.*?code: (\S+)", said)[1]
    assert gate.doors.spend(code, "person") == "F-02"
