"""The coupon planner against trying every choice of every coupon, on 200 small random lists of joints."""

import random
from functools import cache
from itertools import combinations, product

import pytest

from brightroot.base.units import read
from brightroot.library.load import load_library
from brightroot.model.clause import Outcome
from brightroot.model.qualification import Coupon, JointNeeds
from brightroot.rules.coupon_grid import LAYER_M, Offer
from brightroot.rules.coupons import Rates, _metal_laid, plan_coupons
from brightroot.rules.welders.book import book_of
from brightroot.rules.welders.checks import CHECKS, Laid
from brightroot.rules.welders.ranges import ranges_of

SEED = 20261125
BOOK = book_of(load_library().codes["asme-ix/2023"])
COVERS = (Outcome.PASS, Outcome.NOT_APPLICABLE)
PIPES = [("21.3 mm", "2.77 mm"), ("21.3 mm", "3.73 mm"), ("60.3 mm", "3.91 mm"), ("60.3 mm", "11.07 mm"),
         ("168.3 mm", "7.11 mm"), ("168.3 mm", "18.26 mm"), ("660 mm", "12.7 mm")]  # fmt: skip
METALS = [("51", "ti-2", "51"), ("52", "ti-12", "54"), ("61", "zr-702", "61")]


@cache
def length(text):
    return read(text, field="length_m")


def need(name, position="5G", pipe=PIPES[2], metal=METALS[0], **more):
    p, alloy, f = metal
    known = {"backing": False, "gas_backing": True, "insert": False, "filler_used": True, "filler_form": "solid",
             "current": "DCEN", "progression": "up", "metals": (alloy, alloy)}  # fmt: skip
    outside, wall = map(length, pipe)
    return JointNeeds(
        joint=name, position=position, deposit_m=wall, outer_diameter_m=outside, p_numbers=(p, p), f_number=f,
        **{**known, **more},
    )  # fmt: skip


def offers(pipes=PIPES):
    return [Offer(length(od), length(wall), size=f"{od} x {wall}") for od, wall in pipes]


def drawn(rng):
    return [
        need(f"J-{n}", rng.choice(["1G", "2G", "5G", "6G"]), rng.choice(PIPES), rng.choice(METALS))
        for n in range(rng.randint(1, 7))
    ]


def every_coupon(needs):
    """The whole grid, made in the plainest way."""
    for position, (p, _, f), (od, wall) in product(["1G", "2G", "5G", "6G"], METALS, PIPES):
        if f not in {n.f_number for n in needs}:
            continue
        layers = -(-length(wall).value // LAYER_M)
        yield Coupon(
            welded_on="", position=position, deposit_m=length(wall), layers_count=int(layers),
            outer_diameter_m=length(od), p_number=p, f_number=f, backing=False, gas_backing=True, insert=False,
            filler_used=True, filler_form="solid", current="DCEN", progression="up",
        )  # fmt: skip


@cache
def covers(coupon, one):
    laid = (Laid(BOOK, row, ranges_of(BOOK, coupon), one, frozenset()) for row in BOOK.table("welder_variables"))
    return all(CHECKS[str(each.row.cells["check"])](each).outcome in COVERS for each in laid)


def tried(needs):
    """The fewest coupons, and the least metal that so many take, by trying every choice of them."""
    sets = {}
    for coupon in every_coupon(needs):
        covered = frozenset(i for i, one in enumerate(needs) if covers(coupon, one))
        sets[covered] = min(sets.get(covered, 1e9), round(_metal_laid(coupon) * 1e9))
    wanted = frozenset().union(*sets)
    for count in range(len(needs) + 1):
        found = [c for c in combinations(sets, count) if frozenset().union(*c) >= wanted]
        if found:
            return count, min(sum(sets[one] for one in choice) for choice in found), len(needs) - len(wanted)
    raise AssertionError("no choice covers")


def test_it_equals_trying_everything():
    rng = random.Random(SEED)
    several = 0
    for _ in range(200):
        needs = drawn(rng)
        plan = plan_coupons(BOOK, needs, offers())
        count, metal, missed = tried(needs)
        got = sum(round(_metal_laid(c.coupon) * 1e9) for c in plan.coupons)
        assert (len(plan.coupons), got, len(plan.uncovered)) == (count, metal, missed), [n.joint for n in needs]
        assert {j for c in plan.coupons for j in c.joints} == {n.joint for n in needs} - {
            u.joint for u in plan.uncovered
        }
        several += count > 1
    assert several > 50


def test_one_small_coupon_in_6g_covers_all_of_one_metal():
    needs = [need("A", "1G", PIPES[4]), need("B", "2G", PIPES[2]), need("C", "5G", PIPES[0]), need("D", "6G", PIPES[2])]
    plan = plan_coupons(BOOK, needs, offers())
    (one,) = plan.coupons
    assert (one.coupon.position, one.coupon.outer_diameter_m.as_entered) == ("6G", "21.3 mm")
    assert one.joints == ("A", "B", "C", "D") and plan.uncovered == ()
    assert one.coupon.deposit_m.as_entered == "3.73 mm"  # twice it reaches the wall of A


def test_zirconium_rod_takes_a_coupon_of_its_own():
    plan = plan_coupons(BOOK, [need("T", metal=METALS[0]), need("Z", metal=METALS[2])], offers())
    assert [(c.coupon.f_number, c.joints) for c in plan.coupons] == [("51", ("T",)), ("61", ("Z",))]


def test_what_no_coupon_covers_says_why():
    odd = need("X", metal=("", "ti-5", "55"))
    plan = plan_coupons(BOOK, [need("A"), odd], offers())
    (missed,) = plan.uncovered
    assert missed.joint == "X" and [name for name, _ in missed.reasons] == ["qw-403.18"]
    assert missed.reasons[0][1].asks == "ask.welder_joint"
    assert [c.joints for c in plan.coupons] == [("A",)]


def test_a_wall_that_no_offered_pipe_reaches():
    plan = plan_coupons(BOOK, [need("T", pipe=("168.3 mm", "18.26 mm"))], offers(PIPES[:3]))
    assert [name for name, _ in plan.uncovered[0].reasons] == ["qw-404.30"]


def test_the_order_of_the_list_makes_no_difference():
    rng = random.Random(SEED + 1)
    for _ in range(20):
        needs, pipes = drawn(rng), offers()
        first = plan_coupons(BOOK, needs, pipes)
        rng.shuffle(needs)
        rng.shuffle(pipes)
        assert plan_coupons(BOOK, needs, pipes) == first


def test_rows_that_nobody_confirmed_are_named():
    (one,) = plan_coupons(BOOK, [need("A", "6G")], offers()).coupons
    assert {"qw-461.9.pipe-6g", "position.6g", "qw-408.8"} <= set(one.waits_for)
    (sure,) = plan_coupons(BOOK, [need("A", "6G")], offers(), confirmed=frozenset(BOOK.rows)).coupons
    assert sure.waits_for == () and sure.coupon == one.coupon


@pytest.mark.parametrize("missing", ["coupon_h", "run_h_m", "hour_price", "specimen_price"])
def test_no_rate_no_price(missing):
    rates = {"coupon_h": 6.0, "run_h_m": 2.0, "hour_price": 50.0, "specimen_price": 40.0}
    whole = plan_coupons(BOOK, [need("A")], offers(), rates=Rates(**rates))
    (one,) = whole.coupons
    assert one.bends_count == 4 and whole.price == one.price == one.hours_h * 50.0 + 4 * 40.0
    less = plan_coupons(BOOK, [need("A")], offers(), rates=Rates(**{**rates, missing: None}))
    assert less.price is None and (less.hours_h is None) == missing.endswith(("_h", "_m"))


def test_the_cheapest_may_be_another_choice_and_costs_no_more():
    rng = random.Random(SEED + 2)
    rates = Rates(coupon_h=1.0, run_h_m=5.0, hour_price=50.0, specimen_price=1.0)
    for _ in range(20):
        needs = drawn(rng)
        fewest, cheapest = (plan_coupons(BOOK, needs, offers(), rates=rates, price_first=p) for p in (False, True))
        assert (cheapest.price or 0) <= (fewest.price or 0) + 1e-6
        assert len(fewest.coupons) <= len(cheapest.coupons)


def test_no_joints_no_coupons():
    assert plan_coupons(BOOK, [], offers()).coupons == ()
    assert plan_coupons(BOOK, [need("A")], []).uncovered[0].joint == "A"
