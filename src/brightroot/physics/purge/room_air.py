"""Oxygen in the room where argon is let go, taken as mixed. It is a forecast, and a forecast lets nobody in.

Argon is heavier than air: a pit, a sump or a vessel fills from the bottom unmixed, and there these figures are far too
kind. Only a reading, taken where the head will be, says what the air is.
"""

from __future__ import annotations

import math

from brightroot.base.errors import Refused
from brightroot.base.formula import formula
from brightroot.base.source import Standing
from brightroot.physics.demand import fraction, not_negative, positive, said

FRESH_AIR_FRAC = 0.2095
HOLDS = {"argon_flow_m3_s": (0.0, 0.02), "ventilation_m3_s": (0.0, 50.0), "room_m3": (0.5, 1e5)}


@formula(
    result="room_oxygen_frac",
    equation="c = 20.95 %·[1 − (R/Q_v)·(1 − e^(−Q_v·t/V))], R < Q_v",
    hand="20.95 % × (1 − {argon_flow_m3_s:m³/h.2} / {ventilation_m3_s:m³/h.1} × (1 − e^(−{ventilation_m3_s:m³/h.1} ×"
    " {elapsed_s:h.2} h / {room_m3:m³.0}))) = {room_oxygen_frac:%.1} %",
    source="derivation/room-air",
    where="exhaust form",
    standing=Standing.DERIVED,
    holds=HOLDS,
)
def exhaust_oxygen_frac(*, argon_flow_m3_s: float, ventilation_m3_s: float, room_m3: float, elapsed_s: float) -> float:
    """Oxygen in a mixed room with a fan drawing out, so that fresh air makes up what the argon does not.

    A fan that draws no more than the argon brings is refused: that room is sealed as far as air goes.

    >>> c = exhaust_oxygen_frac(argon_flow_m3_s=20 / 6e4, ventilation_m3_s=17.3 / 3600, room_m3=50, elapsed_s=36000)
    >>> round(c * 100, 1)
    19.5
    """
    not_negative(argon_flow_m3_s=argon_flow_m3_s, elapsed_s=elapsed_s)
    positive(ventilation_m3_s=ventilation_m3_s, room_m3=room_m3)
    _fan_beats_argon(argon_flow_m3_s=argon_flow_m3_s, ventilation_m3_s=ventilation_m3_s)
    filled = -math.expm1(-ventilation_m3_s * elapsed_s / room_m3)
    return FRESH_AIR_FRAC * (1 - argon_flow_m3_s / ventilation_m3_s * filled)


@formula(
    result="room_oxygen_frac",
    equation="c = c_∞ + (20.95 % − c_∞)·e^(−(Q_v + R)·t/V), c_∞ = 20.95 %·Q_v/(Q_v + R)",
    hand="settles at 20.95 % × {ventilation_m3_s:m³/h.1} / ({ventilation_m3_s:m³/h.1} + {argon_flow_m3_s:m³/h.2});"
    " after {elapsed_s:h.2} h = {room_oxygen_frac:%.1} %",
    source="derivation/room-air",
    where="supply form",
    standing=Standing.DERIVED,
    holds=HOLDS,
)
def supply_oxygen_frac(*, argon_flow_m3_s: float, ventilation_m3_s: float, room_m3: float, elapsed_s: float) -> float:
    """Oxygen in a mixed room with fresh air blown in, which leaves with the argon where it can.

    >>> c = supply_oxygen_frac(argon_flow_m3_s=20 / 6e4, ventilation_m3_s=16.1 / 3600, room_m3=50, elapsed_s=360000)
    >>> round(c * 100, 1)
    19.5
    """
    not_negative(argon_flow_m3_s=argon_flow_m3_s, elapsed_s=elapsed_s)
    positive(ventilation_m3_s=ventilation_m3_s, room_m3=room_m3)
    through_m3_s = ventilation_m3_s + argon_flow_m3_s
    settled_frac = FRESH_AIR_FRAC * ventilation_m3_s / through_m3_s
    return settled_frac + (FRESH_AIR_FRAC - settled_frac) * math.exp(-through_m3_s * elapsed_s / room_m3)


@formula(
    result="room_oxygen_frac",
    equation="c = 20.95 %·e^(−R·t/V)",
    hand="20.95 % × e^(−{argon_flow_m3_s:m³/h.2} × {elapsed_s:h.2} h / {room_m3:m³.1} m³) = {room_oxygen_frac:%.1} %",
    source="derivation/room-air",
    where="sealed form",
    standing=Standing.DERIVED,
    holds={"argon_flow_m3_s": HOLDS["argon_flow_m3_s"], "room_m3": HOLDS["room_m3"]},
)
def sealed_oxygen_frac(*, argon_flow_m3_s: float, room_m3: float, elapsed_s: float) -> float:
    """Oxygen in a mixed room without any fresh air, where argon pushes room air out.

    >>> round(sealed_oxygen_frac(argon_flow_m3_s=20 / 6e4, room_m3=10, elapsed_s=36 * 60) * 100, 1)
    19.5
    """
    not_negative(argon_flow_m3_s=argon_flow_m3_s, elapsed_s=elapsed_s)
    positive(room_m3=room_m3)
    return FRESH_AIR_FRAC * math.exp(-argon_flow_m3_s * elapsed_s / room_m3)


@formula(
    result="limit_reached_s",
    equation="t = (V/R)·ln(20.95 %/c_limit)",
    hand="{room_m3:m³.1} m³ / {argon_flow_m3_s:m³/h.2} m³/h × ln(20.95 / {limit_frac:%.1}) × 60"
    " = {limit_reached_s:min.0} min",
    source="derivation/room-air",
    where="sealed form",
    standing=Standing.DERIVED,
    holds={"argon_flow_m3_s": (1e-7, 0.02), "room_m3": HOLDS["room_m3"], "limit_frac": (0.15, 0.2095)},
)
def sealed_limit_reached_s(*, argon_flow_m3_s: float, room_m3: float, limit_frac: float) -> float:
    """Time until a sealed mixed room falls to the limit (19.5 % is the usual one).

    >>> round(sealed_limit_reached_s(argon_flow_m3_s=20 / 6e4, room_m3=10, limit_frac=0.195) / 60)
    36
    """
    positive(argon_flow_m3_s=argon_flow_m3_s, room_m3=room_m3)
    _under_fresh_air(limit_frac)
    return room_m3 / argon_flow_m3_s * math.log(FRESH_AIR_FRAC / limit_frac)


def exhaust_limit_reached_s(
    *, argon_flow_m3_s: float, ventilation_m3_s: float, room_m3: float, limit_frac: float
) -> float | None:
    """Time until a mixed room with an exhaust fan falls to the limit; None where the fan keeps it above for good.

    >>> exhaust_limit_reached_s(argon_flow_m3_s=20 / 6e4, ventilation_m3_s=20 / 3600, room_m3=50, limit_frac=0.195)
    """
    positive(argon_flow_m3_s=argon_flow_m3_s, ventilation_m3_s=ventilation_m3_s, room_m3=room_m3)
    _fan_beats_argon(argon_flow_m3_s=argon_flow_m3_s, ventilation_m3_s=ventilation_m3_s)
    _under_fresh_air(limit_frac)
    needed = (1 - limit_frac / FRESH_AIR_FRAC) * ventilation_m3_s / argon_flow_m3_s
    return None if needed >= 1 else -room_m3 / ventilation_m3_s * math.log1p(-needed)


def supply_limit_reached_s(
    *, argon_flow_m3_s: float, ventilation_m3_s: float, room_m3: float, limit_frac: float
) -> float | None:
    """Time until a mixed room with fresh air blown in falls to the limit; None where that air keeps it above for good.

    >>> round(supply_limit_reached_s(argon_flow_m3_s=20 / 6e4, ventilation_m3_s=8 / 3600, room_m3=10, limit_frac=0.195) / 60)
    49
    """
    positive(argon_flow_m3_s=argon_flow_m3_s, ventilation_m3_s=ventilation_m3_s, room_m3=room_m3)
    _under_fresh_air(limit_frac)
    through_m3_s = ventilation_m3_s + argon_flow_m3_s
    settled_frac = FRESH_AIR_FRAC * ventilation_m3_s / through_m3_s
    if settled_frac >= limit_frac:
        return None
    return room_m3 / through_m3_s * math.log((FRESH_AIR_FRAC - settled_frac) / (limit_frac - settled_frac))


@formula(
    result="ventilation_m3_s",
    equation="Q_v = R·20.95/(20.95 − c_limit)",
    hand="{argon_flow_m3_s:m³/h.2} m³/h × 20.95 / (20.95 − {limit_frac:%.1}) = {ventilation_m3_s:m³/h.1} m³/h",
    source="derivation/room-air",
    where="exhaust form, settled",
    standing=Standing.DERIVED,
    holds={"argon_flow_m3_s": HOLDS["argon_flow_m3_s"], "limit_frac": (0.15, 0.2095)},
)
def exhaust_needed_m3_s(*, argon_flow_m3_s: float, limit_frac: float) -> float:
    """Exhaust that keeps a mixed room at the limit for good.

    >>> round(exhaust_needed_m3_s(argon_flow_m3_s=20 / 6e4, limit_frac=0.195) * 3600, 1)
    17.3
    """
    not_negative(argon_flow_m3_s=argon_flow_m3_s)
    _under_fresh_air(limit_frac)
    return argon_flow_m3_s * FRESH_AIR_FRAC / (FRESH_AIR_FRAC - limit_frac)


@formula(
    result="ventilation_m3_s",
    equation="Q_v = R·c_limit/(20.95 − c_limit)",
    hand="{argon_flow_m3_s:m³/h.2} m³/h × {limit_frac:%.1} / (20.95 − {limit_frac:%.1})"
    " = {ventilation_m3_s:m³/h.1} m³/h",
    source="derivation/room-air",
    where="supply form, settled",
    standing=Standing.DERIVED,
    holds={"argon_flow_m3_s": HOLDS["argon_flow_m3_s"], "limit_frac": (0.15, 0.2095)},
)
def supply_needed_m3_s(*, argon_flow_m3_s: float, limit_frac: float) -> float:
    """Fresh air blown in that keeps a mixed room at the limit for good.

    >>> round(supply_needed_m3_s(argon_flow_m3_s=20 / 6e4, limit_frac=0.195) * 3600, 1)
    16.1
    """
    not_negative(argon_flow_m3_s=argon_flow_m3_s)
    _under_fresh_air(limit_frac)
    return argon_flow_m3_s * limit_frac / (FRESH_AIR_FRAC - limit_frac)


def _under_fresh_air(limit_frac: float) -> None:
    fraction(limit_frac=limit_frac)
    if not 0 < limit_frac < FRESH_AIR_FRAC:
        got = said(limit_frac, name="room_oxygen_frac")
        raise Refused(field="limit_frac", wanted="a limit between nothing and fresh air, 20.95 %", got=got)


def _fan_beats_argon(*, argon_flow_m3_s: float, ventilation_m3_s: float) -> None:
    if ventilation_m3_s <= argon_flow_m3_s:
        wanted = f"more than the argon let go, {said(argon_flow_m3_s, name='ventilation_m3_s')}; else take it as sealed"
        got = said(ventilation_m3_s, name="ventilation_m3_s")
        raise Refused(field="ventilation_m3_s", wanted=wanted, got=got)
