"""`brightroot coupons J-05 J-10 …`: the fewest test coupons that cover them."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import typer

from brightroot.app.may import Covering, coupons_for
from brightroot.base.errors import Refused
from brightroot.cli.output import FAIL, PASS, put
from brightroot.cli.wiring import place_at, speech
from brightroot.documents.who import coupon_line
from brightroot.model.codec import to_data
from brightroot.rules.coupons import Rates

RATES = ("coupon_h", "run_h_m", "hour_price", "specimen_price")


def run_coupons(
    arguments: list[str],
    *,
    stamp: str,
    on: str,
    code: str,
    cheapest: bool,
    store: Path | None,
    language: str,
    as_json: bool,
) -> None:
    """Print the coupons, what each covers and rests on, and what none covers and why. Exit 1 where one is uncovered."""
    rates, joints = _rates([a for a in arguments if "=" in a]), [a for a in arguments if "=" not in a]
    day = on or date.today().isoformat()
    made = coupons_for(place_at(store), joints, stamp=stamp, on=day, code=code, rates=rates, price_first=cheapest)
    if as_json:
        put(to_data(made))
    else:
        _print(made, language)
    raise typer.Exit(FAIL if made.plan.uncovered else PASS)


def _rates(told: list[str]) -> Rates:
    """`hour_price=55`: plain numbers, in hours and the shop's own money."""
    found: dict[str, float] = {}
    for name, _, text in (one.partition("=") for one in told):
        if name not in RATES:
            raise Refused(field=name, wanted=f"one of {', '.join(RATES)}", got=name, reason="refused.name")
        try:
            value = float(text)
        except ValueError:
            value = -1.0
        if not 0 <= value < 1e9:
            raise Refused(field=name, wanted="a number", got=text, reason="refused.number")
        found[name] = value
    return Rates(**found)


def _print(made: Covering, language: str) -> None:
    say = speech(language, "metric").say
    plan = made.plan
    if not plan.coupons:
        print(say("coupon.none"))
    for chosen in plan.coupons:
        print(coupon_line(chosen.coupon, say, size=chosen.size))
        print("  " + say("coupon.joints", joints=", ".join(chosen.joints)))
        if chosen.bends_count is not None:
            print("  " + say("coupon.bends", count=chosen.bends_count))
        if chosen.hours_h is not None:
            money = f", {say('coupon.price', price=f'{chosen.price:.0f}')}" if chosen.price is not None else ""
            print("  " + say("coupon.hours", hours=f"{chosen.hours_h:.1f}") + money)
        if chosen.waits_for:
            print("  " + say("coupon.waits", rows=", ".join(chosen.waits_for)))
    if made.already:
        print(say("coupon.already", joints=", ".join(made.already)))
    for missed in plan.uncovered:
        reasons = "; ".join(
            f"{row}: {say(found.asks) if found.asks else found.wanted}" for row, found in missed.reasons
        )
        print(say("coupon.uncovered", joint=missed.joint, reasons=reasons))
    if plan.coupons and plan.price is None:
        print(say("coupon.unpriced"))
    print(say("coupon.looked_at", grid=plan.grid_count, kinds=plan.kinds_count, code=made.code))
