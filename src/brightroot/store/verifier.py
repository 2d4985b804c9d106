"""Check a joint's bundle: `python verifier.py BUNDLE.zip [--head HASH]`. Needs nothing but Python 3.11 or later.

It rebuilds the container and compares every byte, checks every file against the manifest and the manifest against its
seal, and follows the chain of hashes through every record of the log.
"""

from __future__ import annotations

import json
import re
import sys
from hashlib import sha256
from itertools import pairwise
from pathlib import Path
from typing import Any

from brightroot.base.tree import root
from brightroot.store.container import listed, parts_of, walked
from brightroot.store.proof import check_proof

LOG, MANIFEST, SEAL, ATTACHMENTS = "log.jsonl", "manifest.json", "seal.txt", "attachments/"
SIGNATURES = "signatures.json"
FORM = "brightroot bundle 1"
SHAPE = {"joint": str, "device": str, "epoch": str, "seq": int, "at_utc": str, "by": str, "kind": str, "data": dict,
         "version": int, "corrects": str, "prev": str}  # fmt: skip
NOT_PROVED = (
    "It does not prove that a reading was true, that an instrument was right, or who held the device.",
    "Whoever rewrites log, manifest and seal together, or cuts off the end, shows only against the head on paper.",
    "Whose a key is stands in the shop's log of devices and on paper, not in the key: compare its first characters.",
    "A verify.py taken out of a bundle may have been altered with it: use one that you got elsewhere.",
)
CHANGED = "changed: its bytes are not those to which the next record, or the manifest after the last one, was chained"
Row = dict[str, Any]


def digest(content: bytes) -> str:
    return sha256(content).hexdigest()


def _opened(data: bytes) -> tuple[dict[str, bytes], list[Row]]:
    """The files, told by the headers or the directory, whichever agrees better with the manifest; and what differs."""
    files = one if (one := walked(data)) == (other := listed(data)) else max((one, other), key=_agreeing)
    at = 0
    for part, name in parts_of(files):
        if (there := data[at : at + len(part)]) != part:
            first = at + next((i for i, (a, b) in enumerate(zip(there, part)) if a != b), len(there))
            says = "the container is not in its one form, or a checksum in it does not fit the content"
            return files, [_fault(name, says, offset=first)]
        at += len(part)
    return files, [_fault("", "something was added after the container's end", offset=at)] if data[at:] else []


def _agreeing(files: dict[str, bytes]) -> int:
    told = _table(_table(_read(files.get(MANIFEST, b""))).get("files"))
    right = [n for n in files if n in (MANIFEST, SEAL) or _table(told.get(n)).get("sha256") == digest(files[n])]
    return len(files) + 1000 * len(right)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    if len({name for name, _ in pairs}) < len(pairs):
        raise ValueError("a name given twice: two programs could read two different things")
    return dict(pairs)


def _read(content: bytes) -> Any:
    """JSON, or None; NaN and its like are no JSON, and int refuses them."""
    try:
        return json.loads(content.decode("utf-8"), object_pairs_hook=_once, parse_constant=int)
    except (ValueError, RecursionError):
        return None


def _table(value: Any) -> dict[str, Any]:
    return value if isinstance(value, dict) else {}


def _fault(file: str, says: str, **where: Any) -> Row:
    return {"file": file, "record": "", "kind": "", "at_utc": "", "line": 0, "offset": None, "says": says, **where}


def read_log(log: bytes) -> tuple[list[Row], list[Row]]:
    """Every record with its chain, its digest, its line and where the line starts in the file."""
    records, faults, at = [], [], 0
    *whole, rest = log.split(b"\n")
    if rest or not whole:
        faults.append(_fault(LOG, "the last line is cut short", offset=len(log), line=len(whole) + 1))
    for line, stored in enumerate(whole, start=1):
        event = _read(stored)
        if isinstance(event, dict) and {k: type(v) for k, v in event.items()} == SHAPE and event["seq"] > 0:
            key = event["joint"], event["device"], event["epoch"]
            records.append({**event, "chain": key, "digest": digest(stored), "line": line, "offset": at})
        else:
            faults.append(_fault(LOG, "this line cannot be read as a record", line=line, offset=at))
        at += len(stored) + 1
    return records, faults


def _of(record: Row, says: str) -> Row:
    name = f"{record['device']}.{record['epoch']}.{record['seq']}"
    return _fault(LOG, says, record=name, **{key: record[key] for key in ("kind", "at_utc", "line", "offset")})


def _chains(records: list[Row]) -> dict[tuple[str, str, str], list[Row]]:
    chains: dict[tuple[str, str, str], list[Row]] = {}
    for record in sorted(records, key=lambda r: (r["chain"], r["seq"], r["digest"], r["line"])):
        chains.setdefault(record["chain"], []).append(record)
    return chains


def log_head(rows: list[list[Any]]) -> str:
    """One hash over every chain: [joint, device, epoch, count, digest of its last record], in order."""
    return digest(json.dumps(rows, separators=(",", ":"), ensure_ascii=False).encode("utf-8", "surrogatepass"))


def chain_rows(records: list[Row]) -> list[list[Any]]:
    return [[*key, len(chain), chain[-1]["digest"]] for key, chain in _chains(records).items()]


def _chain_faults(chain: list[Row], last: str) -> list[Row]:
    """Each record is vouched for by the one after it, the last one by the manifest."""
    faults, before = [], 0
    for record in chain:
        if record["seq"] == before:
            faults.append(_of(record, f"number {before} is there more than once"))
        elif record["seq"] > before + 1:
            faults.append(_of(record, f"number {before + 1} to {record['seq'] - 1} before it are missing"))
        before = record["seq"]
    if chain[0]["seq"] == 1 and chain[0]["prev"]:
        faults.append(_of(chain[0], "it is the first of its chain, yet it names one before it"))
    vouched: dict[int, set[str]] = {chain[-1]["seq"]: {last}}
    for record in reversed(chain):
        if record["seq"] in vouched and record["digest"] not in vouched[record["seq"]]:
            faults.append(_of(record, CHANGED))
        else:
            vouched.setdefault(record["seq"] - 1, set()).add(record["prev"])
    return faults


def _log_faults(records: list[Row], manifest: dict[str, Any]) -> list[Row]:
    faults, told = [], manifest.get("chains")
    rows = [row for row in told if isinstance(row, list) and len(row) == 5] if isinstance(told, list) else []
    heads = {str(row[:3]): row[4] for row in rows}
    for key, chain in _chains(records).items():
        if str(list(key)) not in heads:
            faults.append(_of(chain[0], "its chain is not in the manifest"))
        faults += _chain_faults(chain, str(heads.get(str(list(key)), chain[-1]["digest"])))
    for one, after in pairwise(records):
        if (one["chain"], one["seq"]) > (after["chain"], after["seq"]):
            faults.append(_of(after, "out of place: it belongs before the line above it"))
    strangers = [record for record in records if record["joint"] != manifest.get("joint")]
    return faults + [_of(record, f"it belongs to joint {record['joint']}") for record in strangers]


def _named_files(records: list[Row], files: dict[str, bytes]) -> list[Row]:
    """Every attachment that a record names must be here, and plan.json must be a plan that the log names."""
    here = {digest(content) for content in files.values()}
    named = [(r, name, value) for r in records for name, value in r["data"].items() if name.endswith("_sha256")]
    plans = [value for _, name, value in named if name == "plan_sha256"]
    lost = [(r, value) for r, name, value in named if name != "plan_sha256" and str(value) not in here]
    faults = [_of(record, f"the attachment that it names is not here: {value}") for record, value in lost]
    if plans and "plan.json" in files and digest(files["plan.json"]) not in plans:
        faults.append(_fault("plan.json", "it is not the plan that the log names"))
    return faults


def _manifest_faults(files: dict[str, bytes], manifest: dict[str, Any], rows: list[list[Any]]) -> list[Row]:
    faults, told = [], _table(manifest.get("files"))
    if files.get(SEAL) != (digest(files.get(MANIFEST, b"")) + "\n").encode():
        faults.append(_fault(MANIFEST, "the seal in seal.txt is not that of this manifest"))
    if manifest.get("form") != FORM:
        return [*faults, _fault(MANIFEST, f"it cannot be read as a manifest of the form {FORM!r}")]
    for name in sorted(set(told) | (set(files) - {MANIFEST, SEAL})):
        entry = _table(told.get(name))
        if name not in files:
            faults.append(_fault(name, "the manifest names it, but it is not here"))
        elif not entry:
            faults.append(_fault(name, "it is here, but the manifest does not name it"))
        elif (entry.get("sha256"), entry.get("size")) != (digest(files[name]), len(files[name])):
            faults.append(_fault(name, "its content is not what the manifest says"))
        elif name.startswith(ATTACHMENTS) and entry["sha256"] != Path(name).stem:
            faults.append(_fault(name, "its content does not fit its name"))
    for key, value in {"chains": rows, "head": log_head(rows), "count": sum(row[3] for row in rows)}.items():
        if manifest.get(key) != value:
            faults.append(_fault(MANIFEST, f"its {key} is not that of the log"))
    return faults


def _paper(records: list[Row], rows: list[list[Any]], head: str | None) -> tuple[str, list[Row]]:
    """Compare with the head on paper; the log may have grown since, at the end of one chain."""
    if head is None:
        return "Not compared with the head on paper: without it a cut-off end cannot be seen (--head HASH).", []
    if log_head(rows).startswith(head):
        return f"The head is the one on paper ({len(head)} of 64 characters compared).", []
    for key, chain in _chains(records).items():
        rest = [row for row in rows if tuple(row[:3]) != key]
        for count in range(len(chain) - 1, -1, -1):
            older = sorted([*rest, [*key, count, chain[count - 1]["digest"]]] if count else rest)
            if log_head(older).startswith(head):
                return f"The head on paper is that of the log before its last {len(chain) - count} records.", []
    says = f"the log's head is {log_head(rows)}, not the one on paper: the log was rewritten or its end was cut off"
    return "The head was compared with the one on paper.", [_fault(LOG, says)]


def _signatures(files: dict[str, bytes], records: list[Row]) -> tuple[list[str], list[Row]]:
    """Every record's signature and its place in the whole log, where the bundle brings them."""
    if SIGNATURES not in files:
        return ["No signatures are here: it shows order and wholeness, not which device wrote it."], []
    checked, wrong, whole = check_proof(_table(_read(files[SIGNATURES])), records)
    return checked, [_of(record, says) for record, says in wrong] + [_fault(SIGNATURES, says) for says in whole]


def unpacked(data: bytes) -> dict[str, bytes]:
    """The files of a container, as `examine` reads them."""
    return _opened(data)[0]


def examine(data: bytes, head: str | None = None) -> dict[str, Any]:
    """Everything that can be said of a bundle's bytes. Never raises on what is in them."""
    files, faults = _opened(data)
    manifest = _table(_read(files.get(MANIFEST, b"")))
    records, unread = read_log(files.get(LOG, b""))
    rows = chain_rows(records)
    faults += _manifest_faults(files, manifest, rows) + unread + _log_faults(records, manifest)
    faults += _named_files(records, files)
    says, wrong = _paper(records, rows, head)
    signatures, unsigned = _signatures(files, records)
    checked = [
        f"The container byte by byte: {len(data)} bytes, {len(files)} files.",
        f"Every file against the manifest, and the manifest against its seal {digest(files.get(MANIFEST, b''))}.",
        f"The log record by record: {len(records)} records in {len(rows)} chains, head {log_head(rows)}, "
        f"root {root([bytes.fromhex(r['digest']) for r in records]).hex()}.",
        f"Every attachment that a record names. {says}",
        *signatures,
    ]
    faults += [*wrong, *unsigned]
    found = {"joint": manifest.get("joint"), "head": log_head(rows), "count": len(records), "chains": rows}
    return {"ok": not faults, **found, "checked": checked, "faults": faults, "not_proved": list(NOT_PROVED)}


def verify(path: str | Path, head: str | None = None) -> dict[str, Any]:
    """Check the bundle in that file. `head`: at least 16 characters of the head printed on the dossier."""
    if head is not None and not re.fullmatch(r"[0-9a-f]{16,64}", head := re.sub(r"[\s-]", "", head).lower()):
        raise ValueError("a head is 16 to 64 of the characters 0-9 and a-f")
    return examine(Path(path).read_bytes(), head)


def _place(fault: Row) -> str:
    where = [fault["file"] or "the container"]
    where += [f"record {fault['record']} ({fault['kind']}, {fault['at_utc']})"] if fault["record"] else []
    where += [f"{word} {fault[word]}" for word in ("line", "offset") if fault[word]]
    return ", ".join(where)


def main(words: list[str]) -> int:
    try:
        if len(words) not in (1, 3) or words[0].startswith("-") or words[1:2] not in ([], ["--head"]):
            raise ValueError("python verifier.py BUNDLE.zip [--head HASH]")
        report = verify(words[0], words[2] if words[2:] else None)
    except (OSError, ValueError) as fault:
        print(fault, file=sys.stderr)
        return 64
    lines = [f"Joint {report['joint']}", *(f"  checked: {line}" for line in report["checked"])]
    lines += [f"  FAULT in {_place(fault)}: {fault['says']}" for fault in report["faults"]]
    verdict = "Every check holds." if report["ok"] else f"Faults: {len(report['faults'])}."
    lines += [*(f"  note: {line}" for line in report["not_proved"]), verdict]
    print("\n".join(lines).encode("ascii", "backslashreplace").decode())
    return 0 if report["ok"] else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
