"""A Merkle tree over a log that only grows, after RFC 6962: roots, and short proofs that a record is in it.

Hashes are of bytes already hashed once: a leaf is the SHA-256 of a stored record, as 32 bytes.
"""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256

EMPTY = sha256(b"").digest()


def leaf(entry: bytes) -> bytes:
    """The hash of one entry. The byte in front keeps leaves and branches apart."""
    return sha256(b"\x00" + entry).digest()


def branch(left: bytes, right: bytes) -> bytes:
    """The hash of two subtrees."""
    return sha256(b"\x01" + left + right).digest()


class Frontier:
    """The whole left-hand subtrees of a growing log: enough for its root, and log2(n) hashes long."""

    def __init__(self) -> None:
        self.size = 0
        self._peaks: list[bytes] = []

    def add(self, entry: bytes) -> None:
        """One entry more."""
        found, size = leaf(entry), self.size
        while size & 1:
            found, size = branch(self._peaks.pop(), found), size >> 1
        self._peaks.append(found)
        self.size += 1

    def root(self) -> bytes:
        """The root of all entries so far."""
        if not self._peaks:
            return EMPTY
        found = self._peaks[-1]
        for peak in reversed(self._peaks[:-1]):
            found = branch(peak, found)
        return found


def root(entries: Sequence[bytes]) -> bytes:
    """The root of those entries (RFC 6962, 2.1).

    >>> root([b""]).hex()[:16]
    '6e340b9cffb37a98'
    """
    tree = Frontier()
    for entry in entries:
        tree.add(entry)
    return tree.root()


def paths(entries: Sequence[bytes], indexes: Sequence[int]) -> list[list[bytes]]:
    """For each of those entries the hashes that lead from it to the root (RFC 6962, 2.1.1)."""
    rows = [[leaf(entry) for entry in entries]]
    while len(rows[-1]) > 1:
        row = rows[-1]
        above = [branch(row[at], row[at + 1]) for at in range(0, len(row) - 1, 2)]
        rows.append([*above, row[-1]] if len(row) % 2 else above)
    return [
        [
            row[at ^ 1]
            for row, at in zip(rows, (index >> step for step in range(len(rows))), strict=False)
            if at ^ 1 < len(row)
        ]
        for index in indexes
    ]


def consistency(entries: Sequence[bytes], old: int) -> list[bytes]:
    """The hashes that show that the first `old` entries are still the beginning (RFC 6962, 2.1.2)."""
    leaves = [leaf(entry) for entry in entries]
    return _consistent(leaves, old, whole=True) if 0 < old < len(leaves) else []


def _consistent(leaves: Sequence[bytes], old: int, *, whole: bool) -> list[bytes]:
    if old == len(leaves):
        return [] if whole else [_root(leaves)]
    cut = _cut(len(leaves))
    if old <= cut:
        return [*_consistent(leaves[:cut], old, whole=whole), _root(leaves[cut:])]
    return [*_consistent(leaves[cut:], old - cut, whole=False), _root(leaves[:cut])]


def _cut(count: int) -> int:
    """The largest power of two below `count`."""
    return 1 << (count - 1).bit_length() - 1


def _root(leaves: Sequence[bytes]) -> bytes:
    if len(leaves) == 1:
        return leaves[0]
    cut = _cut(len(leaves))
    return branch(_root(leaves[:cut]), _root(leaves[cut:]))


def includes(entry: bytes, index: int, size: int, path: Sequence[bytes], wanted: bytes) -> bool:
    """Whether the path leads from the entry at `index` to the root of a log of `size` (RFC 9162, 2.1.3.2)."""
    if not 0 <= index < size:
        return False
    at, last, found = index, size - 1, leaf(entry)
    for step in path:
        if not last:
            return False
        if at & 1 or at == last:
            found = branch(step, found)
            while not at & 1 and at:
                at, last = at >> 1, last >> 1
        else:
            found = branch(found, step)
        at, last = at >> 1, last >> 1
    return not last and found == wanted


def grew(old: int, old_root: bytes, size: int, new_root: bytes, path: Sequence[bytes]) -> bool:
    """Whether the log of `size` begins with the log of `old` (RFC 9162, 2.1.4.2)."""
    if old == size:
        return not path and old_root == new_root
    if old == 0:
        return not path and old_root == EMPTY
    if not 0 < old < size or not path:
        return False
    steps = list(path) if old & (old - 1) else [old_root, *path]
    at, last = old - 1, size - 1
    while at & 1:
        at, last = at >> 1, last >> 1
    one = two = steps[0]
    for step in steps[1:]:
        if not last:
            return False
        if at & 1 or at == last:
            one, two = branch(step, one), branch(step, two)
            while not at & 1 and at:
                at, last = at >> 1, last >> 1
        else:
            two = branch(two, step)
        at, last = at >> 1, last >> 1
    return not last and one == old_root and two == new_root
