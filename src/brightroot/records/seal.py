"""Sealing a log: each event is stored as bytes that carry the hash of the bytes before it in its chain.

A chain is one joint on one device in one epoch; `seq` counts 1, 2, 3 … in it. What is hashed is what was stored,
never JSON written again, so a later program cannot change a hash by writing a number differently.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from hashlib import sha256
from itertools import groupby, pairwise

from brightroot.base.errors import Broken
from brightroot.model.codec import canonical, from_data, to_data
from brightroot.model.event import Event


@dataclass(frozen=True, slots=True)
class Chain:
    """One chain as found: how many records, and the digest of its last one."""

    joint: str
    device: str
    epoch: str
    events_count: int
    head: str


@dataclass(frozen=True, slots=True)
class ChainFault:
    """Where a chain does not hold. `what`: changed | missing | doubled | out of place."""

    joint: str
    device: str
    epoch: str
    seq: int
    what: str
    says: str


@dataclass(frozen=True, slots=True)
class ChainReport:
    """Every chain with its head, and every fault. A cut-off end is no fault here: only a kept head can show it."""

    events_count: int
    chains: tuple[Chain, ...]
    faults: tuple[ChainFault, ...]

    @property
    def holds(self) -> bool:
        return not self.faults


@dataclass(frozen=True, slots=True)
class _Link:
    event: Event
    digest: str
    place: int

    @property
    def chain(self) -> tuple[str, str, str]:
        return self.event.joint, self.event.device, self.event.epoch


def sealed(event: Event, prev: str) -> bytes:
    """The bytes to store: the event with the digest of the bytes before it ('' for the first of a chain)."""
    return canonical(to_data(replace(event, prev=prev)))


def digest(stored: bytes) -> str:
    """SHA-256 of stored bytes, in hex.

    >>> digest(b"")[:12]
    'e3b0c44298fc'
    """
    return sha256(stored).hexdigest()


def opened(stored: bytes) -> Event:
    """The event in stored bytes. Raises Broken where they are not one."""
    try:
        return from_data(json.loads(stored), Event)
    except Exception as fault:  # JSON, UTF-8 and cattrs each have their own; all mean that this is no event
        where = stored[:60].decode("utf-8", "replace")
        raise Broken(where=where, wanted="a stored event", got=type(fault).__name__) from fault


def check_chains(stored: Iterable[bytes]) -> ChainReport:
    """Check seq and prev of every chain among the stored bytes, whatever order the chains are mixed in."""
    links: list[_Link] = []
    faults: list[ChainFault] = []
    for place, one in enumerate(stored, start=1):
        try:
            links.append(_Link(opened(one), digest(one), place))
        except Broken as broken:
            faults.append(ChainFault("", "", "", place, "changed", f"entry {place} cannot be read: {broken}"))
    faults += [fault for chain in _by_chain(links) for fault in _faults_of(chain)]
    return ChainReport(len(links), tuple(_chain_of(chain) for chain in _by_chain(links)), tuple(faults))


def log_head(stored: Iterable[bytes]) -> str:
    """One hash for the whole log of a joint: over its chains in order, each with its count and its head.

    It is printed on the dossier: whoever cuts off or rewrites the log cannot rewrite the paper.
    """
    links = [_Link(opened(one), digest(one), place) for place, one in enumerate(set(stored))]
    chains = (_chain_of(chain) for chain in _by_chain(links))
    return digest(canonical([[c.joint, c.device, c.epoch, c.events_count, c.head] for c in chains]))


def _by_chain(links: list[_Link]) -> list[list[_Link]]:
    """Each chain on its own, in order of seq; records that share a seq stand by their digest, then as they came."""
    ordered = sorted(links, key=lambda link: (*link.chain, link.event.seq, link.digest, link.place))
    return [list(chain) for _, chain in groupby(ordered, key=lambda link: link.chain)]


def _chain_of(chain: list[_Link]) -> Chain:
    return Chain(*chain[0].chain, len(chain), chain[-1].digest)


def _fault(link: _Link, what: str, says: str, *, seq: int | None = None) -> ChainFault:
    return ChainFault(*link.chain, link.event.seq if seq is None else seq, what, says)


def _faults_of(chain: list[_Link]) -> list[ChainFault]:
    first = chain[0]
    faults = _gaps(chain) + _changed(chain)
    if first.event.seq < 1 or (first.event.seq == 1 and first.event.prev):
        faults.append(_fault(first, "out of place", "a chain starts with number 1, which follows nothing"))
    for one, after in pairwise(chain):
        if one.event.seq == after.event.seq:
            faults.append(_fault(after, "doubled", f"number {after.event.seq} is there more than once"))
        elif after.place < one.place:
            faults.append(_fault(after, "out of place", f"it stands before number {one.event.seq}"))
    return sorted(faults, key=lambda fault: fault.seq)


def _gaps(chain: list[_Link]) -> list[ChainFault]:
    found = []
    for before, after in zip([0, *(link.event.seq for link in chain)], chain, strict=False):
        gap = after.event.seq - before - 1
        if gap > 0:
            says = f"{gap} missing between number {before} and number {after.event.seq}"
            found.append(_fault(after, "missing", says, seq=before + 1))
    return found


def _changed(chain: list[_Link]) -> list[ChainFault]:
    """Each record is vouched for by the one after it; a record that was changed can vouch for nothing itself."""
    found = []
    vouched: dict[int, set[str]] = {}  # number -> the digests that the sound records after it were chained to
    for link in reversed(chain):
        seq = link.event.seq
        if seq in vouched and link.digest not in vouched[seq]:
            found.append(_fault(link, "changed", "its bytes are not those that the record after it was chained to"))
        else:
            vouched.setdefault(seq - 1, set()).add(link.event.prev)
    return found
