"""Who is let in: PINs as argon2id hashes, sessions, one-time codes and devices' secrets. Nothing here is ever evidence.

No secret is kept as it is: of a token or a code only the SHA-256 is stored, of a PIN only the slow hash.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from hashlib import sha256
from itertools import pairwise
from threading import BoundedSemaphore

from argon2 import PasswordHasher
from argon2.exceptions import Argon2Error, InvalidHashError
from sqlalchemy import Column, ColumnElement, Connection, Float, Integer, Table, Text, delete, insert, select, update

from brightroot.base.errors import Refused
from brightroot.store.engine import METADATA
from brightroot.store.keys import make_key
from brightroot.store.logs import Store

FREE_TRIES = 5  # wrong PINs on one device before a wait; every further one doubles it
FIRST_WAIT_S, LONGEST_WAIT_S = 30.0, 3600.0
FREE_TRIES_ANYWHERE = 20  # of one stamp on all devices together
FREE_TRIES_OF_DEVICE = 30  # of all stamps on one device
FORGOTTEN_S = 86_400.0  # after a day without a wrong PIN the count starts anew
IDLE_S, LONGEST_S = 12 * 3600.0, 7 * 86_400.0  # of a session
CODE_S = 900.0
SHORTEST_PIN = 6
LONGEST_PIN = 200
# no 0/O, 1/I/L: a code is read aloud and typed with a glove
LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"

PINS = Table("pins", METADATA, Column("stamp", Text, primary_key=True), Column("hash", Text, nullable=False))
TRIES = Table(
    "pin_tries",
    METADATA,
    Column("stamp", Text, primary_key=True),
    Column("device", Text, primary_key=True),  # '': all devices together
    Column("wrong", Integer, nullable=False),
    Column("last_s", Float, nullable=False),
)
SESSIONS = Table(
    "sessions",
    METADATA,
    Column("token", Text, primary_key=True),  # its SHA-256
    Column("stamp", Text, nullable=False),
    Column("device", Text, nullable=False),
    Column("made_s", Float, nullable=False),
    Column("last_s", Float, nullable=False),
)
CODES = Table(
    "codes",
    METADATA,
    Column("code", Text, primary_key=True),  # its SHA-256
    Column("opens", Text, nullable=False),  # device:<name> or person:<stamp>
    Column("ends_s", Float, nullable=False),
)
SECRETS = Table(
    "device_secrets",
    METADATA,
    Column("device", Text, primary_key=True),
    Column("secret", Text, nullable=False),  # its SHA-256
)


@dataclass(frozen=True, slots=True)
class Session:
    """Somebody signed in on a device."""

    stamp: str
    device: str
    made_s: float


class Doors:
    """The locks of one store. `now_s` tells the time; `hasher` is handed in by tests that cannot wait."""

    def __init__(self, store: Store, now_s: Callable[[], float], *, hasher: PasswordHasher | None = None) -> None:
        self._run = store.locked
        self._run(lambda connection: METADATA.create_all(connection, tables=[PINS, TRIES, SESSIONS, CODES, SECRETS]))
        self._look = store.glance
        self._now_s = now_s
        self._hasher = hasher or PasswordHasher()  # argon2id, 64 MiB, three passes
        self._nobody = self._hasher.hash(secrets.token_hex(8))  # as slow for a stamp that is not here
        self._at_once = BoundedSemaphore(2)  # so that wrong PINs cannot fill the memory

    # codes ----------------------------------------------------------------------------------------------------
    def new_code(self, opens: str, *, lasts_s: float = CODE_S) -> str:
        """A one-time code of ten letters and digits for a device or a person; an older one for the same is void."""
        code = "".join(secrets.choice(LETTERS) for _ in range(10))
        row = {"code": _hash(code), "opens": opens, "ends_s": self._now_s() + lasts_s}

        def write(connection: Connection) -> None:
            connection.execute(delete(CODES).where(CODES.c.opens == opens))
            connection.execute(insert(CODES), row)

        self._run(write)
        return f"{code[:5]}-{code[5:]}"

    def spend(self, code: str, kind: str) -> str:
        """What the code opens; it opens it once. Raises Refused where it is wrong, spent or too old."""
        key, now_s = _hash(plain_code(code)), self._now_s()

        def take(connection: Connection) -> str | None:
            row = connection.execute(select(CODES).where(CODES.c.code == key)).first()
            if row is None or not row.opens.startswith(f"{kind}:"):
                return None
            connection.execute(delete(CODES).where(CODES.c.code == key))
            return str(row.opens).partition(":")[2] if row.ends_s >= now_s else None

        found = self._run(take)
        if found is None:
            raise Refused(field="code", wanted="a code that is fresh and unused", got="another", reason="access.code")
        return found

    # devices --------------------------------------------------------------------------------------------------
    def admit(self, device: str, *, public_key: str = "") -> tuple[str, str]:
        """A device's secret, to be kept in its cookie, and its public key: its own, or one made and held here."""
        secret = secrets.token_urlsafe(32)

        def write(connection: Connection) -> str:
            connection.execute(insert(SECRETS), {"device": device, "secret": _hash(secret)})
            return make_key(connection, device, public_key=public_key)

        return f"{device}.{secret}", self._run(write)

    def device(self, cookie: str) -> str:
        """The device whose secret stands in the cookie, or ''."""
        name, _, secret = cookie.partition(".")
        query = select(SECRETS.c.secret).where(SECRETS.c.device == name)
        kept = self._look(lambda connection: connection.scalar(query))
        return name if kept is not None and secrets.compare_digest(kept, _hash(secret)) else ""

    def shut_out(self, device: str) -> None:
        """Void a device's secret and every session on it."""

        def write(connection: Connection) -> None:
            connection.execute(delete(SECRETS).where(SECRETS.c.device == device))
            connection.execute(delete(SESSIONS).where(SESSIONS.c.device == device))

        self._run(write)

    # people ---------------------------------------------------------------------------------------------------
    def set_pin(self, stamp: str, pin: str) -> None:
        """Keep a PIN or passphrase, as its slow hash. Every session of that person ends."""
        pin = fit_pin(pin, stamp)
        with self._at_once:
            row = {"stamp": stamp, "hash": self._hasher.hash(pin)}

        def write(connection: Connection) -> None:
            connection.execute(delete(PINS).where(PINS.c.stamp == stamp))
            connection.execute(insert(PINS), row)
            connection.execute(delete(TRIES).where(TRIES.c.stamp == stamp))
            connection.execute(delete(SESSIONS).where(SESSIONS.c.stamp == stamp))

        self._run(write)

    def fit(self, pin: str, stamp: str) -> str:
        """Refused where a PIN is too short or too simple."""
        return fit_pin(pin, stamp)

    def has_pin(self, stamp: str) -> bool:
        """Whether a PIN is kept for that stamp."""
        return (
            self._run(lambda connection: connection.scalar(select(PINS.c.stamp).where(PINS.c.stamp == stamp)))
            is not None
        )

    def sign_in(self, stamp: str, pin: str, device: str) -> str:
        """A session's token. Raises Refused where stamp and PIN do not fit, or while one must wait.

        A try within a wait is not looked at and lengthens nothing. The attempt is counted before the slow check,
        so that many at once gain nothing over one after the other.
        """
        stamp = stamp.strip()[:LONGEST_PIN]
        wait_s, kept = self._run(lambda connection: self._counted(connection, stamp, device))
        if wait_s > 0:
            raise Refused(
                field="pin",
                wanted="a wait",
                got=f"{wait_s:.0f} s",
                reason="access.wait",
                params={"wait": f"{wait_s:.0f}"},
            )
        if not self._fits(kept or self._nobody, pin[: LONGEST_PIN + 1]) or kept is None:
            raise Refused(field="pin", wanted="your stamp and its PIN", got="something else", reason="access.wrong")
        token = secrets.token_urlsafe(32)
        now_s = self._now_s()
        row = {"token": _hash(token), "stamp": stamp, "device": device, "made_s": now_s, "last_s": now_s}

        def write(connection: Connection) -> None:
            for key in ((stamp, device), (stamp, ""), ("", device)):
                connection.execute(delete(TRIES).where(*_tried(*key)))
            connection.execute(delete(SESSIONS).where(SESSIONS.c.made_s < now_s - LONGEST_S))
            connection.execute(insert(SESSIONS), row)

        self._run(write)
        return token

    def session(self, token: str) -> Session | None:
        """The session of that token while it lasts; it is kept alive by use."""
        if not token:
            return None
        key, now_s = _hash(token), self._now_s()
        row = self._look(lambda connection: connection.execute(select(SESSIONS).where(SESSIONS.c.token == key)).first())
        if row is None or now_s - row.last_s > IDLE_S or now_s - row.made_s > LONGEST_S:
            return None
        if now_s - row.last_s > 60:
            used = update(SESSIONS).where(SESSIONS.c.token == key).values(last_s=now_s)
            self._run(lambda connection: connection.execute(used))
        return Session(row.stamp, row.device, row.made_s)

    def sign_out(self, token: str) -> None:
        """End one session."""
        key = _hash(token)
        self._run(lambda connection: connection.execute(delete(SESSIONS).where(SESSIONS.c.token == key)))

    def sign_out_everywhere(self, stamp: str) -> int:
        """End every session of a person; how many there were."""
        gone = delete(SESSIONS).where(SESSIONS.c.stamp == stamp)
        return self._run(lambda connection: int(connection.execute(gone).rowcount))

    def forget(self, stamp: str) -> None:
        """A person who is gone: their PIN and their sessions."""
        self._run(lambda connection: connection.execute(delete(PINS).where(PINS.c.stamp == stamp)))
        self.sign_out_everywhere(stamp)

    def sessions(self) -> tuple[Session, ...]:
        """Everybody signed in at this moment."""
        now_s = self._now_s()
        rows = self._look(lambda connection: connection.execute(select(SESSIONS).order_by(SESSIONS.c.made_s)).all())
        open_rows = (r for r in rows if now_s - r.last_s <= IDLE_S and now_s - r.made_s <= LONGEST_S)
        return tuple(Session(row.stamp, row.device, row.made_s) for row in open_rows)

    def _counted(self, connection: Connection, stamp: str, device: str) -> tuple[float, str | None]:
        """Count one try, unless it falls within a wait; the wait, and the hash to compare with."""
        now_s, wait_s = self._now_s(), 0.0
        counts: dict[tuple[str, str], int] = {}
        for key, free in (
            ((stamp, device), FREE_TRIES),
            ((stamp, ""), FREE_TRIES_ANYWHERE),
            (("", device), FREE_TRIES_OF_DEVICE),
        ):
            row = connection.execute(select(TRIES).where(*_tried(*key))).first()
            fresh = row is not None and now_s - row.last_s < FORGOTTEN_S
            counts[key] = row.wrong if row is not None and fresh else 0
            if row is not None and fresh and row.wrong >= free:
                lasts_s = min(LONGEST_WAIT_S, FIRST_WAIT_S * 2.0 ** min(row.wrong - free, 20))
                wait_s = max(wait_s, row.last_s + lasts_s - now_s)
        if wait_s > 0:
            return wait_s, None
        connection.execute(delete(TRIES).where(TRIES.c.last_s < now_s - FORGOTTEN_S))
        for key, wrong in counts.items():
            connection.execute(delete(TRIES).where(*_tried(*key)))
            row_now = {"stamp": key[0], "device": key[1], "wrong": wrong + 1, "last_s": now_s}
            connection.execute(insert(TRIES), row_now)
        return 0.0, connection.scalar(select(PINS.c.hash).where(PINS.c.stamp == stamp))

    def _fits(self, kept: str, pin: str) -> bool:
        with self._at_once:
            try:
                return self._hasher.verify(kept, pin)
            except (Argon2Error, InvalidHashError):
                return False


def _tried(stamp: str, device: str) -> tuple[ColumnElement[bool], ColumnElement[bool]]:
    return TRIES.c.stamp == stamp, TRIES.c.device == device


def fit_pin(pin: str, stamp: str) -> str:
    """A PIN that is not the first that anybody would try. Raises Refused."""
    plain = "".join(ch for ch in pin.lower() if ch.isalnum())
    steps = {ord(b) - ord(a) for a, b in pairwise(plain)}
    easy = len(plain) < SHORTEST_PIN or len(steps) < 2 or plain == "".join(c for c in stamp.lower() if c.isalnum())
    if easy or not SHORTEST_PIN <= len(pin) <= LONGEST_PIN:
        wanted = "at least six digits or letters, not all alike and not in a row"
        raise Refused(field="pin", wanted=wanted, got="fewer or simpler ones", reason="access.pin")
    return pin


def plain_code(code: str) -> str:
    """A code as typed, without dashes and blanks, in capitals."""
    return "".join(ch for ch in code.upper() if ch.isalnum())[:40]


def _hash(secret: str) -> str:
    return sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()
