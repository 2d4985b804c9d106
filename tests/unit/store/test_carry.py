"""From machine to machine: signed, merged as a set, forged and broken told apart; backups that are checked."""

from __future__ import annotations

import json
import os
import sqlite3
import threading

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from brightroot.base import tree
from brightroot.base.ed25519 import signed
from brightroot.base.errors import Broken, Refused
from brightroot.model.entry import entered
from brightroot.model.event import Event
from brightroot.records.order import settled
from brightroot.records.seal import check_chains, digest, sealed
from brightroot.store.backup import back_up, check_copy, restore
from brightroot.store.carry import SIGNATURES, bring_in, carried
from brightroot.store.container import packed
from brightroot.store.keys import EVENT
from brightroot.store.logs import memory_store, open_store
from brightroot.store.proof import check_head
from brightroot.store.verifier import examine, unpacked

AT = "2026-03-02T10:42:00Z"


def look(ppm="84 ppm"):
    return entered("oxygen.read", {"state": "reading", "oxygen_frac": ppm, "place": "vent"})


@pytest.fixture
def here():
    store = memory_store("laptop-a")
    for n in range(7):
        store.append("J-05", f"2026-03-02T10:{n:02d}:00Z", "W-07", "oxygen.read", look(f"{90 - n} ppm"))
        store.append("J-06", f"2026-03-02T10:{n:02d}:30Z", "W-07", "oxygen.read", look())
    name = store.put_attachment(b"\xff\xd8photo", "image/jpeg")
    store.append("J-05", AT, "W-07", "photo.taken", {"subject": "root", "brushed": False, "photo_sha256": name})
    yield store
    store.close()


# the published examples of RFC 8032, 7.1
RFC_8032 = [
    ("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a", "",
     "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b"),
    ("3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c", "72",
     "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"),
]  # fmt: skip


@pytest.mark.parametrize(("key", "message", "signature"), RFC_8032)
def test_the_published_signatures_hold(key, message, signature):
    key, message, signature = (bytes.fromhex(one) for one in (key, message, signature))
    assert signed(key, message, signature)
    assert not signed(key, message + b"x", signature)
    for bit in range(0, 512, 37):
        other = bytearray(signature)
        other[bit // 8] ^= 1 << bit % 8
        assert not signed(key, message, bytes(other))


def test_our_own_check_says_what_the_library_says():
    key = Ed25519PrivateKey.generate()
    public = key.public_key().public_bytes_raw()
    for size in (0, 1, 63, 64, 65, 1000):
        message = os.urandom(size)
        assert signed(public, message, key.sign(message))
    high = key.sign(b"x")
    factor = int.from_bytes(high[32:], "little") + 2**252 + 27742317777372353535851937790883648493
    assert not signed(public, b"x", high[:32] + factor.to_bytes(32, "little"))  # one signature has one form


def test_roots_and_paths_of_rfc_6962():
    # the inputs and roots that the reference log of RFC 6962 is tried with
    inputs = [
        bytes.fromhex(t)
        for t in ("", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f")
    ]
    roots = {
        1: "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
        2: "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
        3: "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
        4: "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
        5: "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
        8: "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
    }
    for size, told in roots.items():
        assert tree.root(inputs[:size]).hex() == told
    for size in range(1, 40):
        entries = [os.urandom(32) for _ in range(size)]
        whole = tree.root(entries)
        for index, path in enumerate(tree.paths(entries, range(size))):
            assert tree.includes(entries[index], index, size, path, whole)
            assert not tree.includes(os.urandom(32), index, size, path, whole)
        for old in range(size + 1):
            steps = tree.consistency(entries, old)
            assert tree.grew(old, tree.root(entries[:old]), size, whole, steps)
            assert old in (0, size) or not tree.grew(old, os.urandom(32), size, whole, steps)


def test_a_receipt_shows_what_the_log_held(here):
    event = here.events("J-05")[2]
    early = here.receipt(event)
    assert check_head(early) and early["event"] == event.id
    here.append("J-05", AT, "W-07", "purge.ended", {})
    later = here.receipt(event)
    assert later["size"] == early["size"] + 1 and later["root"] != early["root"] and check_head(later)
    assert not check_head({**later, "size": later["size"] - 1})


def test_a_carried_log_is_merged_once_and_checks_there(here):
    data = carried(here, "J-05")
    assert examine(data)["ok"] and any("Ed25519" in line for line in examine(data)["checked"])
    there = memory_store("laptop-b")
    there.append("J-05", AT, "W-12", "oxygen.read", look())
    first = bring_in(there, data)
    assert len(first.events.added) == 8 and first.attachments_count == 1
    again = bring_in(there, data)
    assert (again.events.added, len(again.events.known), again.attachments_count) == ((), 8, 0)
    assert check_chains(there.stored("J-05")).holds
    back = bring_in(here, carried(there, "J-05"))
    assert len(back.events.added) == 1
    assert set(here.stored("J-05")) == set(there.stored("J-05"))
    assert examine(carried(here, "J-05"))["ok"]
    there.close()


def repacked(data, change):
    """The same bundle with one file changed and everything else made to agree, as a forger would."""
    from brightroot.store.bundle import bundle_bytes

    files = unpacked(data)
    stored, proof = files["log.jsonl"].splitlines(), json.loads(files[SIGNATURES])
    stored, proof = change(stored, proof)
    attached = {
        n.split("/")[1].split(".")[0]: (c, "image/jpeg") for n, c in files.items() if n.startswith("attachments/")
    }
    made = {SIGNATURES: json.dumps(proof).encode()}
    return bundle_bytes(stored=stored, attachments=attached, files=made, about={"carried": "J-05"})[0]


def rewritten(stored):
    """The whole chain forged anew with another reading in it."""
    out, prev = [], ""
    for n, one in enumerate(stored, start=1):
        event = json.loads(one)
        data = look("4 ppm") if event["kind"] == "oxygen.read" and n == 3 else event["data"]
        out.append(sealed(Event(**{**event, "data": data}), prev))
        prev = digest(out[-1])
    return out


def test_a_log_forged_anew_is_found_by_its_signatures(here):
    data = carried(here, "J-05")

    def forged(stored, proof):
        return rewritten(stored), proof

    found = examine(repacked(data, forged))
    assert not found["ok"] and any("no signature" in fault["says"] for fault in found["faults"])
    other = Ed25519PrivateKey.generate()

    def signed_by_another(stored, proof):
        made = rewritten(stored)
        public = other.public_key().public_bytes_raw().hex()
        proof["signatures"] = [
            {"digest": digest(one), "form": "event", "key": public, "statement": "",
             "signature": other.sign(EVENT + digest(one).encode()).hex()}
            for one in made
        ]  # fmt: skip
        return made, proof

    found = examine(repacked(data, signed_by_another))
    assert any("neither its device's nor the server's" in fault["says"] for fault in found["faults"])
    there = memory_store("laptop-b")
    with pytest.raises(Refused):
        bring_in(there, repacked(data, signed_by_another))
    assert there.counts()["events"] == 0
    there.close()


def test_what_does_not_fit_is_kept_aside_with_its_reason(here):
    there = memory_store("laptop-b")
    log = list(here.stored("J-06"))
    signature = here.proof("J-06")["signatures"]
    forged = [{**one, "signature": "00" * 64} if one["digest"] == digest(log[3]) else one for one in signature]
    ahead = sealed(Event("J-09", "phone", "e1", 1, "2126-03-02T10:00:00Z", "W-07", "purge.ended"), "")
    big = sealed(
        Event("J-10", "phone", "e1", 1, AT, "W-07", "plan.departed_from", {"what": "x" * 300_000, "why": "y"}), ""
    )
    loose = sealed(Event("J-11", "phone", "e1", 1, AT, "W-07", "purge.ended"), "f" * 64)
    odd = sealed(Event("J-12", "phone", "e1", 1, AT, "W-07", "coffee.made"), "")
    got = there.receive([*log, ahead, big, loose, odd, b"{", b'{"joint": 7}'], forged)
    assert len(got.added) == 4  # three before the forged one, and the unknown kind, which folds to a doubt
    assert len(got.waiting) == 3
    assert sorted(why for _, why in got.aside) == [
        "clock",
        "forged",
        "oversized",
        "unchained",
        "unreadable",
        "unreadable",
    ]
    assert len(there.receive(log, signature).added) == 4  # the true one comes, and what waited for it
    assert not any(one["reason"] in ("waits", "forged") for one in there.aside())
    there.close()


def test_an_entry_sent_again_after_a_restore_counts_once():
    def said(epoch, seq, at=AT):
        return Event("J-05", "d-1", epoch, seq, at, "W-07", "oxygen.read", look())

    twice = settled([said("e1", 1), said("e2", 1)])
    assert len(twice.events) == 1 and [fault.says for fault in twice.faults] == ["order.sent_again"]
    assert len(settled([said("e1", 1), said("e1", 2)]).events) == 2  # one chain: the same reading truly taken twice
    assert len(settled([said("e1", 1), said("e2", 1, "2026-03-02T10:42:00.001Z")]).events) == 2


def test_a_backup_while_it_is_written_to_and_the_way_back(tmp_path):
    path = tmp_path / "logs.sqlite3"
    store = open_store(path)
    stop = threading.Event()

    def write():
        while not stop.is_set():
            store.append("J-05", AT, "W-07", "oxygen.read", look())

    hand = threading.Thread(target=write)
    hand.start()
    try:
        while store.counts()["events"] < 20:
            pass
        made = back_up(path, tmp_path / "copy.sqlite3")
    finally:
        stop.set()
        hand.join()
    assert 20 <= made.events_count <= store.counts()["events"]
    assert check_copy(tmp_path / "copy.sqlite3").digest == made.digest
    before, epoch = store.counts()["events"], store.epoch
    store.close()
    back = restore(tmp_path / "copy.sqlite3", path)
    assert back.events_count == made.events_count
    assert open_store(tmp_path / "logs.sqlite3.before-1").counts()["events"] == before
    again = open_store(path)
    assert again.epoch != epoch
    assert again.append("J-05", AT, "W-07", "oxygen.read", look()).seq == 1
    again.close()
    with pytest.raises(Refused):
        back_up(path, tmp_path / "copy.sqlite3")


def test_a_backup_that_was_changed_is_not_put_in_place(tmp_path):
    path = tmp_path / "logs.sqlite3"
    store = open_store(path)
    for _ in range(5):
        store.append("J-05", AT, "W-07", "oxygen.read", look())
    back_up(path, tmp_path / "copy.sqlite3")
    store.close()
    with sqlite3.connect(tmp_path / "copy.sqlite3") as file:
        file.execute("DROP TRIGGER events_no_UPDATE")
        file.execute("UPDATE events SET stored = replace(stored, '84 ppm', '48 ppm') WHERE seq = 3")
    with pytest.raises(Broken, match="seq|bench"):
        restore(tmp_path / "copy.sqlite3", path)
    assert open_store(path).counts()["events"] == 5
    (tmp_path / "rubbish").write_bytes(b"x" * 5000)
    with pytest.raises(Broken):
        restore(tmp_path / "rubbish", path)


def test_a_file_of_a_newer_program_is_left_as_it_is(tmp_path):
    path = tmp_path / "logs.sqlite3"
    open_store(path).close()
    with sqlite3.connect(path) as file:
        file.execute("UPDATE settings SET value = '99' WHERE name = 'shape'")
        before = sorted(row[0] for row in file.execute("SELECT name FROM sqlite_master"))
    with pytest.raises(Broken, match="99"):
        open_store(path)
    with sqlite3.connect(path) as file:
        assert sorted(row[0] for row in file.execute("SELECT name FROM sqlite_master")) == before
        file.execute("UPDATE settings SET value = '1' WHERE name = 'shape'")
    open_store(path).close()
    with sqlite3.connect(path) as file:
        assert file.execute("SELECT value FROM settings WHERE name = 'shape'").fetchone() == ("2",)


def test_packed_stays_the_one_form():
    assert unpacked(packed({"a.txt": b"1"})) == {"a.txt": b"1"}
