"""How long it takes to say who may weld what: one pair with its whole answer, and 3,000 joints by 40 welders.

Simulated welders and joints from one seed. `python benchmarks/may_speed.py [--write]`
"""

import json
import statistics
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

from brightroot.base.units import read
from brightroot.library.load import load_library
from brightroot.model.clause import Outcome
from brightroot.model.qualification import Confirmation, Coupon, JointNeeds, LastUse, Qualification, TestDone
from brightroot.rules.welders.book import book_of
from brightroot.rules.welders.many import Welder, may_many
from brightroot.rules.welders.may import may

SEED = 20261125
ON = "2026-11-25"
SIZES = (("1/2", 0.84), ("1", 1.315), ("1-1/2", 1.9), ("2-1/2", 2.875), ("4", 4.5), ("6", 6.625), ("10", 10.75))
METALS = (("51", "51"), ("51", "52"), ("61", "61"), ("8", "6"), ("43", "43"))
WALLS_MM = (1.65, 2.77, 3.4, 5.08, 8.56, 12.7, 18.3)
RESULTS = Path(__file__).parent / "results" / "may_speed.json"


def coupon(rng: Any) -> Any:
    """A coupon as records have them; now and then with something not recorded."""
    nps, outside = SIZES[rng.integers(len(SIZES))]
    p, f = METALS[rng.integers(len(METALS))]
    return Coupon(
        welded_on=f"2026-{rng.integers(4, 11):02d}-15",
        position=str(rng.choice(["2G", "5G", "6G", "2G+5G"])),
        deposit_m=read(f"{rng.choice(WALLS_MM):g} mm", field="deposit_m"),
        layers_count=int(rng.integers(1, 6)),
        outer_diameter_m=read(f"{outside:g} in", field="outer_diameter_m"),
        p_number=p,
        f_number=f,
        backing=False,
        gas_backing=True,
        insert=None if rng.random() < 0.1 else False,
        filler_used=True,
        filler_form="solid",
        current="DCEN",
        progression="up",
        nps=nps,
        tests=(TestDone("visual", "passed"), TestDone("bend", "passed")),
    )


def welders(rng: Any, count: Any) -> Any:
    """Each with one to three coupons and a use of the process."""
    return tuple(
        Welder(
            f"W-{n:02d}",
            tuple(
                Qualification(f"Q-{n:02d}-{m}", f"W-{n:02d}", "asme-ix/2023", coupon(rng))
                for m in range(rng.integers(1, 4))
            ),
            (LastUse("2026-10-01", "GTAW"),) if rng.random() < 0.9 else (),
        )
        for n in range(1, count + 1)
    )


def joints(rng: Any, count: Any) -> Any:
    """Every one of its own wall, so that no two are alike in everything."""
    made = []
    for n in range(1, count + 1):
        nps, outside = SIZES[rng.integers(len(SIZES))]
        p, f = METALS[rng.integers(len(METALS))]
        made.append(
            JointNeeds(
                joint=f"J-{n:04d}",
                position=str(rng.choice(["1G", "2G", "5G", "6G"])),
                deposit_m=read(f"{rng.uniform(1.6, 20.0):.3f} mm", field="deposit_m"),
                outer_diameter_m=read(f"{outside:g} in", field="outer_diameter_m"),
                nps=nps,
                p_numbers=(p,),
                f_number=f,
                backing=False,
                gas_backing=True,
                insert=False,
                filler_used=True,
                filler_form="solid",
                current="DCEN",
                progression="up",
            )
        )
    return tuple(made)


def confirmations(book: Any) -> Any:
    """Every row of the book, as if somebody had read them all."""
    return tuple(Confirmation(book.code, row, "W-01", "2026-11-01T08:00:00Z", "2023") for row in book.rows)


def measure(joint_count: Any = 3000, welder_count: Any = 40, pairs: Any = 300) -> Any:
    """Seconds of the whole table and milliseconds of one answer, and that both say the same."""
    rng = np.random.default_rng(SEED)
    book = book_of(load_library().codes["asme-ix/2023"])
    people, needs, told = welders(rng, welder_count), joints(rng, joint_count), confirmations(book)
    began = time.perf_counter()
    table = may_many(book, people, needs, on=ON, confirmations=told)
    table_s = time.perf_counter() - began
    taken, cpu, differ = [], [], 0
    for _ in range(pairs):
        who, what = people[rng.integers(len(people))], needs[rng.integers(len(needs))]
        began, worked = time.perf_counter(), time.process_time()
        one = may(book, who.qualifications, what, on=ON, uses=who.uses, confirmations=told)
        taken.append(1000 * (time.perf_counter() - began))
        cpu.append(1000 * (time.process_time() - worked))
        differ += one.outcome is not table.outcome(who.stamp, what.joint)
    counts = {o.value: int(sum(table.outcome(w, "J-0001") is o for w in table.welders)) for o in Outcome}
    return {
        "seed": SEED,
        "simulated": True,
        "joints": joint_count,
        "welders": welder_count,
        "table_s": round(table_s, 4),
        "one_median_ms": round(statistics.median(taken), 3),
        "one_worst_ms": round(max(taken), 3),  # on a machine that others use at the same time
        "one_worst_cpu_ms": round(max(cpu), 3),
        "pairs_compared": pairs,
        "pairs_that_differ": differ,
        "first_joint": counts,
    }


if __name__ == "__main__":
    found = measure()
    found["commit"] = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True
    ).stdout.strip()
    print(json.dumps(found, indent=1))
    if "--write" in sys.argv:
        RESULTS.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")
