"""The bundle and its verifier: any byte, any record, any file that is touched is found and located."""

import io
import json
import random
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from brightroot.base.errors import Refused
from brightroot.model.entry import entered
from brightroot.model.event import Event
from brightroot.records.seal import check_chains, digest, log_head, opened, sealed
from brightroot.store import verifier
from brightroot.store.bundle import bundle_bytes, verifier_program, write_bundle
from brightroot.store.container import packed, parts_of
from brightroot.store.verifier import examine, verify

PHOTO = bytes(range(256)) * 3
PLAN = b'{"joint":"J-05"}'


def link(log, device="bench", **changes):
    """One more event at the end of that device's chain."""
    own = [opened(s) for s in log if opened(s).device == device]
    prev = digest([s for s in log if opened(s).device == device][-1]) if own else ""
    seq = len(own) + 1
    event = {
        "joint": "J-05", "device": device, "epoch": "e1", "seq": seq, "at_utc": f"2026-03-02T10:{seq:02d}:00Z",
        "by": "W-07", "kind": "oxygen.read",
        "data": entered("oxygen.read", {"state": "reading", "oxygen_frac": f"{90 - seq} ppm", "place": "vent"}),
    }  # fmt: skip
    return [*log, sealed(Event(**{**event, **changes}), prev)]


def a_log(count=12):
    log = link([], kind="plan.made", data={"plan_sha256": digest(PLAN), "library_digest": "", "summary": {}})
    photo = {"subject": "root", "brushed": False, "photo_sha256": digest(PHOTO)}
    log = link(log, kind="photo.taken", data=photo)
    for n in range(count - 2):
        log = link(log, device="phone" if n % 4 == 3 else "bench")
    return log


def made(log, **changes):
    given = {
        "stored": log,
        "attachments": {digest(PHOTO): (PHOTO, "image/jpeg")},
        "files": {"plan.json": PLAN, "verdicts.json": b"[]", "dossier.pdf": b"%PDF-1.7 ..."},
        "about": {"made_with": "0.1.0", "room": "hall Ø3"},
    }
    return bundle_bytes(**{**given, **changes})[0]


LOG = a_log()
WHOLE = made(LOG)


def unpacked(data):
    with zipfile.ZipFile(io.BytesIO(data)) as bundle:
        return {name: bundle.read(name) for name in bundle.namelist()}


def resealed(files, **told):
    """What somebody does who knows the form: files swapped, then manifest and seal written anew to fit."""
    manifest = {**json.loads(files["manifest.json"]), **told}
    manifest["files"] = {
        name: {"sha256": digest(content), "size": len(content)}
        for name, content in files.items()
        if name not in ("manifest.json", "seal.txt")
    }
    text = json.dumps(manifest, sort_keys=True, indent=1, ensure_ascii=False).encode() + b"\n"
    return packed({**files, "manifest.json": text, "seal.txt": f"{digest(text)}\n".encode()})


def with_log(lines, **told):
    files = unpacked(WHOLE)
    files["log.jsonl"] = b"".join(line + b"\n" for line in lines)
    return resealed(files, **told)


def retold(lines):
    """The manifest's rows for that log, as a forger would compute them."""
    records, _ = verifier.read_log(b"".join(line + b"\n" for line in lines))
    rows = verifier.chain_rows(records)
    return {"chains": rows, "head": verifier.log_head(rows), "count": len(records)}


def in_chains(lines):
    return sorted(lines, key=lambda s: (opened(s).device, opened(s).seq))


def found(data, head=None):
    report = examine(data, head)
    assert report["ok"] == (report["faults"] == [])
    return [(f["file"], f["record"], f["says"]) for f in report["faults"]]


def test_a_whole_bundle_holds():
    report = examine(WHOLE)
    assert report["ok"] and report["faults"] == [] and report["joint"] == "J-05" and report["count"] == 12
    assert report["head"] == log_head(LOG)
    assert any("without it a cut-off end cannot be seen" in line for line in report["checked"])
    assert any("reading was true" in line for line in report["not_proved"])


def test_the_same_input_gives_the_same_bytes_whatever_the_order():
    assert made(LOG[::-1]) == WHOLE
    assert made(LOG, files={"verdicts.json": b"[]", "dossier.pdf": b"%PDF-1.7 ...", "plan.json": PLAN}) == WHOLE


def test_the_container_is_a_plain_zip():
    with zipfile.ZipFile(io.BytesIO(WHOLE)) as bundle:
        assert bundle.testzip() is None
        assert bundle.namelist() == sorted(bundle.namelist())
        assert {i.date_time for i in bundle.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    again = io.BytesIO()
    with zipfile.ZipFile(again, "w", zipfile.ZIP_STORED) as bundle:
        for name, content in unpacked(WHOLE).items():
            info = zipfile.ZipInfo(name)
            info.create_system, info.external_attr = 3, 0o644 << 16
            bundle.writestr(info, content)
    assert again.getvalue() == WHOLE


def test_what_is_in_it():
    files = unpacked(WHOLE)
    assert set(files) == {"log.jsonl", "manifest.json", "seal.txt", "verify.py", "plan.json", "verdicts.json",
                          "dossier.pdf", f"attachments/{digest(PHOTO)}.jpg"}  # fmt: skip
    assert files["log.jsonl"].splitlines() == in_chains(LOG)
    assert files["verify.py"] == verifier_program()
    assert json.loads(files["manifest.json"])["about"]["room"] == "hall Ø3"


def region(at):
    """Which file a byte of the whole bundle belongs to, and its place in that file's content (None: in a header)."""
    here = 0
    for part, name in parts_of(unpacked(WHOLE)):
        if at < here + len(part):
            content = unpacked(WHOLE).get(name, b"")
            inside = at - here - (len(part) - len(content))
            return name, inside if part.startswith(b"PK\3\4") and inside >= 0 else None
        here += len(part)
    raise AssertionError


def places():
    """Every byte of every header and of the log, manifest and seal; every thirteenth of the rest."""
    here = 0
    for part, name in parts_of(unpacked(WHOLE)):
        small = name in ("manifest.json", "seal.txt", "plan.json")
        head = 30 + len(name) if part.startswith(b"PK\3\4") else len(part)
        for i in range(len(part)):
            if small or i < head or i % 13 == 0:
                yield here + i
        here += len(part)


def test_any_flipped_byte_is_found_and_located():
    chance = random.Random(5)
    lines = [line for line, s in enumerate(in_chains(LOG), start=1) for _ in range(len(s) + 1)]
    tried = list(places())
    assert len(tried) > 3000
    for at in tried:
        bad = bytearray(WHOLE)
        bad[at] ^= chance.randint(1, 255)
        faults = examine(bytes(bad))["faults"]
        name, inside = region(at)
        assert any(f["file"] == name for f in faults), (at, name, faults)
        if inside is None:  # a header: its own byte is named
            assert any(f["offset"] == at for f in faults), (at, name, faults)
        elif name == "log.jsonl":
            assert any(f["line"] == lines[inside] for f in faults), (at, lines[inside], faults)


def test_any_flipped_byte_of_a_record_is_found_by_the_chain_alone():
    """Manifest and seal written anew around it, heads as they were."""
    chance = random.Random(6)
    log = in_chains(LOG)
    for line, stored in enumerate(log, start=1):
        for at in range(0, len(stored), 7):
            one = bytearray(stored)
            one[at] ^= chance.randint(1, 255)
            faults = examine(with_log([*log[: line - 1], bytes(one), *log[line:]]))["faults"]
            assert any(f["line"] == line for f in faults), (line, at, faults)


def test_a_cut_or_lengthened_file_is_found():
    assert found(WHOLE + b"\0") == [("", "", "something was added after the container's end")]
    assert found(b"\0" + WHOLE) and found(b"") and found(b"PK") and found(b"not a bundle" * 50)
    for cut in range(1, len(WHOLE), 97):
        assert found(WHOLE[:cut])


def test_one_altered_reading_points_at_its_record():
    """The manifest's heads are left: the record altered is not the last of its chain."""
    log = in_chains(LOG)
    bad = [*log[:5], log[5].replace(b'"as_entered":"84 ppm"', b'"as_entered":"14 ppm"'), *log[6:]]
    assert bad != log
    for told in ({}, retold(bad)):
        assert found(with_log(bad, **told)) == [("log.jsonl", "bench.e1.6", verifier.CHANGED)]
    fault = examine(with_log(bad))["faults"][0]
    assert (fault["kind"], fault["at_utc"], fault["line"]) == ("oxygen.read", "2026-03-02T10:06:00Z", 6)
    assert fault["offset"] == len(b"\n".join(log[:5])) + 1


def test_dropped_inserted_and_moved_records_are_found_however_well_resealed():
    log = in_chains(LOG)
    dropped = [*log[:3], *log[4:]]
    assert found(with_log(dropped, **retold(dropped)))[0][:2] == ("log.jsonl", "bench.e1.5")
    moved = [*log[:2], log[3], log[2], *log[4:]]
    assert found(with_log(moved, **retold(moved))) == [
        ("log.jsonl", "bench.e1.3", "out of place: it belongs before the line above it")
    ]
    twice = [*log[:3], *log[2:]]
    assert ("log.jsonl", "bench.e1.3", "number 3 is there more than once") in found(with_log(twice, **retold(twice)))
    forged = sealed(opened(log[2]), opened(log[2]).prev).replace(b"W-07", b"W-08")
    slipped_in = [*log[:3], forged, *log[3:]]
    assert ("log.jsonl", "bench.e1.3", verifier.CHANGED) in found(with_log(slipped_in, **retold(slipped_in)))
    stranger = [*log, sealed(Event("J-06", "bench", "e1", 1, "2026-03-02T10:01:00Z", "W-07", "purge.ended"), "")]
    assert ("log.jsonl", "bench.e1.1", "it belongs to joint J-06") in found(with_log(stranger, **retold(stranger)))


def rewritten():
    """A whole new history, every hash of it right."""
    log = []
    for stored in LOG:
        event = opened(stored)
        data = {"state": "reading", "oxygen_frac": "5 ppm", "place": "vent"}
        data = entered("oxygen.read", data) if event.kind == "oxygen.read" else event.data
        log = link(log, device=event.device, kind=event.kind, data=data)
    return in_chains(log)


@pytest.mark.parametrize("lines", [rewritten(), in_chains(LOG[:-3])], ids=["rewritten", "tail cut"])
def test_a_rewritten_or_shortened_log_shows_only_against_the_head_on_paper(lines):
    forged = with_log(lines, **retold(lines))
    assert found(forged) == []  # said plainly: without the paper nothing is seen
    paper = log_head(LOG)
    assert [(file, "not the one on paper" in says) for file, _, says in found(forged, paper)] == [("log.jsonl", True)]
    assert found(WHOLE, paper) == [] and found(WHOLE, paper[:16]) == []
    assert found(WHOLE, "0" * 64)


@pytest.mark.parametrize("keep", [lambda e: e.seq < 8, lambda e: e.device == "bench"], ids=["tail cut", "chain gone"])
def test_a_manifest_that_still_tells_the_old_log_shows_it(keep):
    faults = found(with_log([s for s in in_chains(LOG) if keep(opened(s))]))
    told = {says for file, _, says in faults if file == "manifest.json"}
    assert told == {f"its {key} is not that of the log" for key in ("chains", "head", "count")}


def test_a_log_that_grew_since_the_paper_still_fits_it():
    paper = log_head(LOG)
    report = examine(made(link(link(LOG))), paper)
    assert report["ok"] and any("before its last 2 records" in line for line in report["checked"])


def test_missing_and_foreign_files_are_named():
    photo = f"attachments/{digest(PHOTO)}.jpg"
    assert found(made(LOG, attachments={})) == [
        ("log.jsonl", "bench.e1.2", f"the attachment that it names is not here: {digest(PHOTO)}")
    ]
    files = unpacked(WHOLE)
    assert {f[0] for f in found(packed({n: c for n, c in files.items() if n != photo}))} == {photo, "log.jsonl"}
    assert found(packed({**files, "extra.txt": b"x"})) == [
        ("extra.txt", "", "it is here, but the manifest does not name it")
    ]
    assert found(resealed({**files, "plan.json": b"{}"})) == [
        ("plan.json", "", "it is not the plan that the log names")
    ]
    swapped = found(resealed({**files, photo: b"another"}))
    assert (photo, "", "its content does not fit its name") in swapped


def test_compressed_again_is_not_the_one_form():
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as bundle:
        for name, content in unpacked(WHOLE).items():
            bundle.writestr(name, content)
    assert any("one form" in says for _, _, says in found(out.getvalue()))


def test_values_that_two_programs_could_read_differently_are_refused():
    assert verifier._read(b'{"a":1,"a":2}') is None and verifier._read(b'{"a":NaN}') is None
    assert verifier._read(b"[" * 100000) is None and verifier._read(b"\xff") is None


def test_rubbish_never_raises():
    chance = random.Random(7)
    files = unpacked(WHOLE)
    odd = [{}, [], 5, None, "x", [[1, 2, 3, 4, 5]], [[{}, [], "", 1, 2]], {"plan.json": 7}]
    for key in ("files", "chains", "head", "count", "joint", "form", "about"):
        for value in odd:
            manifest = json.dumps({**json.loads(files["manifest.json"]), key: value}).encode()
            examine(packed({**files, "manifest.json": manifest}))
    for size in range(0, 400, 9):
        examine(chance.randbytes(size))
        examine(b"PK\3\4" + chance.randbytes(size) + b"PK\1\2" + chance.randbytes(size))
    line = b'{"joint":"\\ud800","device":"","epoch":"","seq":1,"at_utc":"","by":"","kind":"","data":'
    line += b'{"photo_sha256":[]},"version":1,"corrects":"","prev":""}'
    examine(packed({**files, "log.jsonl": line + b"\n"}))


def test_the_verifier_and_the_records_agree():
    log = in_chains(LOG)
    rows = retold(log)["chains"]
    assert rows == [[c.joint, c.device, c.epoch, c.events_count, c.head] for c in check_chains(log).chains]
    assert verifier.log_head(rows) == log_head(log)


def test_it_runs_alone(tmp_path):
    path = tmp_path / "J-05.zip"
    seal = write_bundle(path, stored=LOG, attachments={digest(PHOTO): (PHOTO, "image/jpeg")},
                        files={"plan.json": PLAN}, about={})  # fmt: skip
    assert seal == digest(unpacked(path.read_bytes())["manifest.json"])
    assert list(tmp_path.iterdir()) == [path]
    program = tmp_path / "verify.py"
    program.write_bytes(unpacked(path.read_bytes())["verify.py"])

    def run(*words):
        command = [sys.executable, "-I", "-W", "error", str(program), *words]
        return subprocess.run(command, capture_output=True, text=True, cwd=tmp_path)

    good = run("J-05.zip", "--head", log_head(LOG).upper())
    assert good.returncode == 0 and "Every check holds." in good.stdout and "on paper" in good.stdout
    path.write_bytes(path.read_bytes().replace(b"84 ppm", b"14 ppm"))
    bad = run("J-05.zip")
    assert bad.returncode == 1 and "FAULT in log.jsonl, record bench.e1.6 (oxygen.read, 2026-03-02T10:06" in bad.stdout
    for words in ((), ("nothing.zip",), ("J-05.zip", "--head", "12"), ("J-05.zip", "--head"), ("--help",), ("a", "b")):
        assert run(*words).returncode == 64
    assert len(Path(verifier.__file__).read_text().splitlines()) < 300


def test_verify_reads_the_head_as_it_is_printed(tmp_path):
    path = tmp_path / "J-05.zip"
    path.write_bytes(WHOLE)
    head = log_head(LOG)
    spaced = " ".join(head[i : i + 8] for i in range(0, 64, 8))
    assert verify(path, spaced)["ok"] and verify(path)["ok"] and not verify(path, head[::-1])["ok"]
    with pytest.raises(ValueError, match="16 to 64"):
        verify(path, "J-05")


@pytest.mark.parametrize(
    "changes",
    [
        {"stored": []},
        {"stored": [b"rubbish"]},
        {"stored": [*LOG, sealed(Event("J-06", "b", "e", 1, "2026-03-02T10:01:00Z", "W-07", "purge.ended"), "")]},
        {"files": {"log.jsonl": b""}},
        {"files": {"../up": b""}},
        {"files": {"attachments/x": b""}},
        {"files": {"/etc": b""}},
        {"files": {"é.txt": b""}},
    ],
)
def test_what_cannot_be_bundled_is_refused(changes):
    with pytest.raises(Refused):
        made(LOG, **changes)
