"""Signing keys and signatures, beside the logs: every event is signed once by the device that it is chained under.

A key lies where its device is: with the server for itself and for phones on plain HTTP, in the phone's own browser where
that can keep one. What a phone signed itself is kept as it came; the server then signs the event made of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat, PublicFormat
from sqlalchemy import Column, Connection, Integer, LargeBinary, Table, Text, UniqueConstraint, insert, select

from brightroot.store.engine import METADATA, keep_new

EVENT, TAP, HEAD = b"brightroot event 1\n", b"brightroot tap 1\n", b"brightroot head 1\n"

KEYS = Table(
    "device_keys",
    METADATA,
    Column("device", Text, primary_key=True),
    Column("public_key", Text, nullable=False),
    Column("private_key", LargeBinary),  # None: only the device has it
    Column("made", Text, nullable=False),
)
SIGNATURES = Table(
    "signatures",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("digest", Text, nullable=False, index=True),  # of the event's stored bytes
    Column("form", Text, nullable=False),  # event: over the digest; tap: over the statement
    Column("public_key", Text, nullable=False),
    Column("statement", LargeBinary, nullable=False),
    Column("signature", LargeBinary, nullable=False),
    UniqueConstraint("digest", "form", "public_key"),
)


@dataclass(frozen=True, slots=True)
class Tap:
    """What a device signed itself, as it came."""

    statement: bytes
    signature: bytes
    public_key: str


class Keys:
    """The private keys that this server holds, opened once."""

    def __init__(self, own: str) -> None:
        self.own = own
        self._open: dict[str, Ed25519PrivateKey | None] = {}

    def of(self, connection: Connection, device: str) -> Ed25519PrivateKey:
        """The key that signs for a device: its own where it lies here, else the server's. The server's is made at need."""
        if device not in self._open:
            row = connection.execute(select(KEYS).where(KEYS.c.device == device)).first()
            if row is None and device == self.own:
                make_key(connection, device)
                return self.of(connection, device)
            held = row.private_key if row is not None else None
            self._open[device] = Ed25519PrivateKey.from_private_bytes(held) if held else None
        return self._open[device] or self.of(connection, self.own)

    def sign_event(self, connection: Connection, device: str, digest: str, tap: Tap | None) -> None:
        """Sign one event as it is saved, in the same commit."""
        key = self.of(connection, device)
        rows = [_row(digest, "event", public_hex(key), b"", key.sign(EVENT + digest.encode()))]
        if tap is not None:
            rows.append(_row(digest, "tap", tap.public_key, tap.statement, tap.signature))
        connection.execute(insert(SIGNATURES), rows)


def make_key(connection: Connection, device: str, *, public_key: str = "") -> str:
    """A key for that device, made here unless the device told its own public one; the public key in hex."""
    private = None if public_key else Ed25519PrivateKey.generate()
    raw = private.private_bytes(Encoding.Raw, PrivateFormat.Raw, NoEncryption()) if private else None
    told = public_hex(private) if private else public_key
    made = datetime.now(UTC).isoformat(timespec="seconds")
    connection.execute(insert(KEYS), {"device": device, "public_key": told, "private_key": raw, "made": made})
    return told


def public_hex(key: Ed25519PrivateKey) -> str:
    """The public key in hex."""
    return key.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw).hex()


def holds(public_key: str, message: bytes, signature: bytes) -> bool:
    """Whether the signature is that key's over that message."""
    try:
        Ed25519PublicKey.from_public_bytes(bytes.fromhex(public_key)).verify(signature, message)
    except (InvalidSignature, ValueError):
        return False
    return True


def signatures_of(connection: Connection, digests: list[str]) -> list[dict[str, Any]]:
    """Every signature over those events, as plain values."""
    c, found = SIGNATURES.c, []
    for start in range(0, len(digests), 500):
        rows = connection.execute(select(SIGNATURES).where(c.digest.in_(digests[start : start + 500])).order_by(c.id))
        found += [
            {
                "digest": row.digest,
                "form": row.form,
                "key": row.public_key,
                "statement": row.statement.decode("utf-8", "surrogateescape"),
                "signature": row.signature.hex(),
            }
            for row in rows
        ]
    return found


def keep_signatures(connection: Connection, told: list[dict[str, Any]]) -> None:
    """Signatures that came with events from elsewhere; those that stand here already stay."""
    rows = [
        _row(one["digest"], one["form"], one["key"], one["statement"].encode("utf-8", "surrogateescape"),
             bytes.fromhex(one["signature"]))
        for one in told
    ]  # fmt: skip
    if rows:
        keep_new(connection, SIGNATURES, rows)


def _row(digest: str, form: str, public_key: str, statement: bytes, signature: bytes) -> dict[str, Any]:
    return {
        "digest": digest, "form": form, "public_key": public_key, "statement": statement, "signature": signature,
    }  # fmt: skip
