"""Checking signatures and places in the whole log, from a bundle's `signatures.json`. Part of every bundle's verifier."""

from __future__ import annotations

import json
from typing import Any

from brightroot.base.ed25519 import signed
from brightroot.base.tree import includes

EVENT_WORD, TAP_WORD, HEAD_WORD = b"brightroot event 1\n", b"brightroot tap 1\n", b"brightroot head 1\n"


def _hex(text: Any) -> bytes:
    try:
        return bytes.fromhex(text)
    except (TypeError, ValueError):
        return b""


def check_head(head: dict[str, Any]) -> bool:
    """Whether the head is signed by the key that it names."""
    told = {name: head.get(name) for name in ("epoch", "root", "size")}
    statement = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode(
        "utf-8", "surrogatepass"
    )
    return signed(_hex(head.get("key")), HEAD_WORD + statement, _hex(head.get("signature")))


def check_proof(
    proof: dict[str, Any], records: list[dict[str, Any]]
) -> tuple[list[str], list[tuple[dict[str, Any], str]], list[str]]:
    """What was checked, what is wrong with which record, and what is wrong with the whole.

    A record is (digest, device, joint, by, kind, …) as the log tells. Never raises on what stands in the proof.
    """
    head, places, keys = (
        value if isinstance(value, dict) else {} for value in (proof.get(n) for n in ("head", "places", "keys"))
    )
    told = proof.get("signatures")
    by_digest: dict[str, list[dict[str, Any]]] = {}
    for one in told if isinstance(told, list) else []:
        if isinstance(one, dict):
            by_digest.setdefault(str(one.get("digest")), []).append(one)
    wrong: list[tuple[dict[str, Any], str]] = []
    whole = [] if check_head(head) else ["the signature of the whole log's head does not fit it"]
    server = str(head.get("key"))
    used: dict[tuple[str, str], set[str]] = {}
    named = {str(name): str(key) for name, key in keys.items()}
    able = _able(records, by_digest, named, server=server, epoch=str(head.get("epoch")))
    for record in records:
        found, device = by_digest.get(record["digest"], []), record["device"]
        if not any(one.get("form") == "event" for one in found):
            wrong.append((record, "no signature of it is here"))
        for one in found:
            form = device, str(one.get("form"))
            says = _wrong_signature(one, record, able[device, record["epoch"], form[1]])
            if says:
                wrong.append((record, says))
            used.setdefault(form, set()).add(str(one.get("key")))
        if not _in_place(places.get(record["digest"]), record["digest"], head):
            wrong.append((record, "its place in the whole log is not shown"))
    by = "; ".join(
        f"{device} ({form}) by {', '.join(sorted(k[:16] for k in used[device, form]))}" for device, form in sorted(used)
    )
    checked = [
        f"Signatures (Ed25519) of {len(records)} records: {by}.",
        f"Their places in the whole log of {head.get('size')} records, root {head.get('root')}, signed by {server[:16]}.",
    ]
    return checked, wrong, whole


def _able(
    records: list[dict[str, Any]],
    by_digest: dict[str, list[dict[str, Any]]],
    keys: dict[str, str],
    *,
    server: str,
    epoch: str,
) -> dict[tuple[str, str, str], set[str]]:
    """By device, epoch and form: the keys that may sign there.

    A device known here signs with its own key, or the server for it. A machine elsewhere may bear the same name, under
    an epoch of its own: where nothing of another epoch than the server's is signed by a known key, the key of its first
    record signs all of it. What stands in the server's log all the same has its place under the server's own signature.
    """
    first: dict[tuple[str, str, str], str] = {}
    known: set[tuple[str, str, str]] = set()
    for record in records:
        device = str(record["device"])
        for one in by_digest.get(record["digest"], []):
            chain, key = (device, str(record["epoch"]), str(one.get("form"))), str(one.get("key"))
            first.setdefault(chain, key)
            if device in keys and (chain[1] == epoch or key in (keys[device], server)):
                known.add(chain)
    return {chain: {keys[chain[0]], server} if chain in known else {key} for chain, key in first.items()}


def _wrong_signature(one: dict[str, Any], record: dict[str, Any], able: set[str]) -> str:
    key, form, statement = str(one.get("key")), one.get("form"), str(one.get("statement"))
    if key not in able:
        return "it is signed by a key that is neither its device's nor the server's"
    if form == "event":
        message = EVENT_WORD + str(record["digest"]).encode()
    elif form == "tap":
        message = TAP_WORD + statement.encode("utf-8", "surrogateescape")
        if not _tells(statement, record):
            return "what the device signed tells another kind, person or correction"
    else:
        return "a signature of an unknown form"
    return "" if signed(_hex(key), message, _hex(one.get("signature"))) else "its signature does not fit"


def _tells(statement: str, record: dict[str, Any]) -> bool:
    """Whether what the device signed is what the record says, as far as both say it: the facts were typed text then."""
    try:
        body = json.loads(statement.partition("\n")[2])
        return bool(
            body.get("kind") == record["kind"]
            and body.get("by", "") in ("", record["by"])
            and body.get("corrects", "") == record["corrects"]
        )
    except (ValueError, AttributeError, RecursionError):
        return False


def _in_place(place: Any, digest: str, head: dict[str, Any]) -> bool:
    if not isinstance(place, dict) or not isinstance(place.get("index"), int) or not isinstance(head.get("size"), int):
        return False
    path = place.get("path")
    steps = [_hex(step) for step in path] if isinstance(path, list) else []
    return includes(_hex(digest), place["index"], head["size"], steps, _hex(head.get("root")))
