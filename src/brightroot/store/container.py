"""The container of a bundle: a zip in its one form, written and read here alone. Part of every bundle's verifier."""

from __future__ import annotations

import zlib
from struct import pack, unpack_from


def packed(files: dict[str, bytes]) -> bytes:
    """The files as a zip in its one form: names in order, nothing compressed, 1980-01-01, fixed attributes.

    There is one way only to write a set of files, so every byte of the container can be checked by writing it again.
    """
    return b"".join(part for part, _ in parts_of(files))


def parts_of(files: dict[str, bytes]) -> list[tuple[bytes, str]]:
    """The pieces of the container, each with the name of the file that it belongs to ('' for the closing record)."""
    parts, listing, at = [], [], 0
    for name in sorted(files):
        content, label = files[name], name.encode("utf-8", "surrogateescape")
        common = pack("<HHHHHLLLHH", 20, 0, 0, 0, 33, zlib.crc32(content), len(content), len(content), len(label), 0)
        head = b"PK\3\4" + common + label
        entry = b"PK\1\2" + pack("<H", 0x0314) + common + pack("<HHHLL", 0, 0, 0, 0o644 << 16, at) + label
        parts.append((head + content, name))
        listing.append((entry, name))
        at += len(head) + len(content)
    size, count = sum(len(entry) for entry, _ in listing), len(files)
    end = b"PK\5\6" + pack("<HHHHLLH", 0, 0, count, count, size, at, 0)
    return [*parts, *listing, (end, "")]


def walked(data: bytes) -> dict[str, bytes]:
    """The files as the headers in front of them tell."""
    found, at = {}, 0
    while data[at : at + 4] == b"PK\3\4" and at + 30 <= len(data):
        size, label, extra = unpack_from("<LHH", data, at + 22)
        start = at + 30 + label + extra
        found[data[at + 30 : at + 30 + label].decode("utf-8", "surrogateescape")] = data[start : start + size]
        at = start + size
    return found


def listed(data: bytes) -> dict[str, bytes]:
    """The files as the directory at the end tells."""
    found, at = {}, data.find(b"PK\1\2", int.from_bytes(data[-6:-2], "little"))
    while at >= 0 and data[at : at + 4] == b"PK\1\2" and at + 46 <= len(data):
        size, label, extra, note = unpack_from("<LHHH", data, at + 24)
        start: int = unpack_from("<L", data, at + 42)[0]
        name = data[at + 46 : at + 46 + label].decode("utf-8", "surrogateescape")
        found[name] = data[start + 30 + label : start + 30 + label + size]
        at += 46 + label + extra + note
    return found
