"""The coupon planner against trying every choice, on 200 small random lists, and its time on large ones.

Simulated joints from one seed. `python benchmarks/coupon_cover.py [--write]`
"""

import json
import random
import subprocess
import sys
import time
from functools import cache
from itertools import combinations, product
from pathlib import Path
from typing import Any

from brightroot.base.units import Reading, read
from brightroot.library.load import load_library
from brightroot.model.clause import Outcome
from brightroot.model.qualification import Coupon, JointNeeds
from brightroot.rules.coupon_grid import LAYER_M, Offer
from brightroot.rules.coupons import plan_coupons
from brightroot.rules.welders.book import book_of
from brightroot.rules.welders.checks import CHECKS, Laid
from brightroot.rules.welders.ranges import ranges_of

SEED = 20261126
COUNT = 200
LARGE = (300, 1000, 3000)
POSITIONS = ("1G", "2G", "5G", "6G")
PIPES = (("21.3 mm", "2.77 mm"), ("21.3 mm", "3.73 mm"), ("48.3 mm", "5.08 mm"), ("88.9 mm", "11.13 mm"),
         ("168.3 mm", "3.40 mm"), ("168.3 mm", "18.26 mm"), ("660 mm", "12.7 mm"))  # fmt: skip
METALS = (("51", "ti-2", "51"), ("52", "ti-12", "54"), ("53", "ti-9", "53"), ("61", "zr-702", "61"), ("8", "ss-316l", "6"),
          ("43", "ni-625", "43"))  # fmt: skip
WELDED: dict[str, Any] = {"backing": False, "gas_backing": True, "insert": False, "filler_used": True, "filler_form": "solid",
          "current": "DCEN", "progression": "up"}  # fmt: skip
RESULTS = Path(__file__).parent / "results" / "coupon_cover.json"
BOOK = book_of(load_library().codes["asme-ix/2023"])


@cache
def length(text: str) -> Reading:
    return read(text, field="length_m")


def need(rng: random.Random, number: int) -> JointNeeds:
    """One joint, drawn from the tables above."""
    (p, metal, f), (outside, wall) = rng.choice(METALS), rng.choice(PIPES)
    return JointNeeds(
        joint=f"J-{number:04d}", position=rng.choice(POSITIONS), deposit_m=length(wall), outer_diameter_m=length(outside),
        p_numbers=(p, p), metals=(metal, metal), f_number=f, **WELDED,
    )  # fmt: skip


def offers() -> list[Offer]:
    return [Offer(length(outside), length(wall), size=f"{outside} x {wall}") for outside, wall in PIPES]


def small(index: int) -> list[JointNeeds]:
    """The list of that number: two to seven joints."""
    rng = random.Random(SEED + index)
    return [need(rng, number) for number in range(rng.randint(2, 7))]


@cache
def covers(coupon: Coupon, one: JointNeeds) -> bool:
    laid = (Laid(BOOK, row, ranges_of(BOOK, coupon), one, frozenset()) for row in BOOK.table("welder_variables"))
    good = (Outcome.PASS, Outcome.NOT_APPLICABLE)
    return all(CHECKS[str(each.row.cells["check"])](each).outcome in good for each in laid)


def tried(needs: list[JointNeeds]) -> tuple[int, int]:
    """The least count of coupons by trying every choice of the whole grid, and how many joints none covers."""
    sets = set()
    for position, (p, _, f), (outside, wall) in product(POSITIONS, METALS, PIPES):
        layers = int(-(-length(wall).value // LAYER_M))
        coupon = Coupon(
            welded_on="", position=position, deposit_m=length(wall), layers_count=layers,
            outer_diameter_m=length(outside), p_number=p, f_number=f, **WELDED,
        )  # fmt: skip
        sets.add(frozenset(i for i, one in enumerate(needs) if covers(coupon, one)))
    reached = frozenset().union(*sets)
    sets = {one for one in sets if not any(one < other for other in sets)}  # who covers less is never needed
    for count in range(len(needs) + 1):
        if any(frozenset().union(*choice) >= reached for choice in combinations(sorted(sets, key=sorted), count)):
            return count, len(needs) - len(reached)
    raise AssertionError("no choice covers")


def outcome(index: int) -> dict[str, list[int]]:
    """What the planner says of one small list, and what trying everything says."""
    needs = small(index)
    plan = plan_coupons(BOOK, needs, offers())
    return {"planned": [len(plan.coupons), len(plan.uncovered)], "tried": list(tried(needs))}


def timed(count: int) -> dict[str, float]:
    """How long a large list takes."""
    rng = random.Random(SEED - count)
    needs = [need(rng, number) for number in range(count)]
    start = time.perf_counter()
    plan = plan_coupons(BOOK, needs, offers())
    took = time.perf_counter() - start
    return {"joints": count, "kinds": plan.kinds_count, "grid": plan.grid_count, "coupons": len(plan.coupons),
            "seconds": round(took, 3)}  # fmt: skip


def sample() -> list[int]:
    """The 2 % that the tests make again."""
    return sorted(random.Random(SEED).sample(range(COUNT), COUNT // 50))


def main() -> int:
    lists = [outcome(index) for index in range(COUNT)]
    wrong = [index for index, one in enumerate(lists) if one["planned"] != one["tried"]]
    large = [timed(count) for count in LARGE]
    print(f"{COUNT} lists, {len(wrong)} differ; several coupons in {sum(one['tried'][0] > 1 for one in lists)}")
    for one in large:
        print(one)
    if "--write" in sys.argv:
        commit = subprocess.run(
            ["git", "rev-parse", "HEAD"], capture_output=True, text=True, check=False
        ).stdout.strip()
        told = {"simulated": True, "commit": commit or "unknown", "seed": SEED, "lists": lists, "large": large}
        RESULTS.write_text(json.dumps(told, indent=1) + "\n", encoding="utf-8")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
