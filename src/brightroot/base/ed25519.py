"""Checking an Ed25519 signature with nothing but whole numbers, after RFC 8032. Slow, short, and for checking only.

It stands in every bundle's own verifier, so that a signature can be checked years later where no library is at hand.
It is not made for secrets: keys are made and used elsewhere.
"""

from __future__ import annotations

from hashlib import sha512

PRIME = 2**255 - 19
ORDER = 2**252 + 27742317777372353535851937790883648493
CURVE = -121665 * pow(121666, PRIME - 2, PRIME) % PRIME
ROOT_OF_MINUS_1 = pow(2, (PRIME - 1) // 4, PRIME)
Point = tuple[int, int, int, int]


def signed(public_key: bytes, message: bytes, signature: bytes) -> bool:
    """Whether the signature of that message was made with the key that belongs to `public_key`."""
    if len(public_key) != 32 or len(signature) != 64:
        return False
    key, nonce = _point(public_key), _point(signature[:32])
    factor = int.from_bytes(signature[32:], "little")
    if key is None or nonce is None or factor >= ORDER:
        return False
    digest = int.from_bytes(sha512(signature[:32] + public_key + message).digest(), "little") % ORDER
    left, right = _times(factor, BASE), _sum(nonce, _times(digest, key))
    return (left[0] * right[2] - right[0] * left[2]) % PRIME == 0 and (
        left[1] * right[2] - right[1] * left[2]
    ) % PRIME == 0


def _sum(p: Point, q: Point) -> Point:
    a, b = (p[1] - p[0]) * (q[1] - q[0]) % PRIME, (p[1] + p[0]) * (q[1] + q[0]) % PRIME
    c, d = 2 * p[3] * q[3] * CURVE % PRIME, 2 * p[2] * q[2] % PRIME
    e, f, g, h = b - a, d - c, d + c, b + a
    return e * f % PRIME, g * h % PRIME, f * g % PRIME, e * h % PRIME


def _times(factor: int, point: Point) -> Point:
    found: Point = (0, 1, 1, 0)
    while factor:
        if factor & 1:
            found = _sum(found, point)
        point, factor = _sum(point, point), factor >> 1
    return found


def _across(y: int, sign: int) -> int | None:
    """The other coordinate of a point, or None where there is none."""
    if y >= PRIME:
        return None
    square = (y * y - 1) * pow(CURVE * y * y + 1, PRIME - 2, PRIME) % PRIME
    if not square:
        return None if sign else 0
    x = pow(square, (PRIME + 3) // 8, PRIME)
    if (x * x - square) % PRIME:
        x = x * ROOT_OF_MINUS_1 % PRIME
    if (x * x - square) % PRIME:
        return None
    return x if x & 1 == sign else PRIME - x


def _point(packed: bytes) -> Point | None:
    number = int.from_bytes(packed, "little")
    y = number & ((1 << 255) - 1)
    x = _across(y, number >> 255)
    return None if x is None else (x, y, 1, x * y % PRIME)


_BASE_Y = 4 * pow(5, PRIME - 2, PRIME) % PRIME
_BASE_X = _across(_BASE_Y, 0) or 0
BASE: Point = (_BASE_X, _BASE_Y, 1, _BASE_X * _BASE_Y % PRIME)
