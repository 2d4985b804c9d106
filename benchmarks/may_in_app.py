"""How long one `may` takes through the application: logs read, records folded, the answer with every variable.

A simulated shop of 301 joints and 40 welders, 12,000 entries in one file. `python benchmarks/may_in_app.py [--write]`
"""

import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from brightroot.app.may import may_weld
from brightroot.app.people import record_qualification
from brightroot.app.plan_joint import declare
from brightroot.app.ports import Place
from brightroot.base.instant import utc_of
from brightroot.cli.demo import SMALL, facts
from brightroot.library.load import load_library
from brightroot.store.logs import open_store

JOINTS, WELDERS, RUNS = 301, 40, 10
RESULTS = Path(__file__).parent / "results" / "may_in_app.json"
NOW_S = 1_772_700_000.0
COUPON = {
    "code": "asme-ix/2023", "welded_on": "2026-01-12", "position": "6G", "pipe": "60.3 x 3.91 mm", "deposit_m": "3.91 mm",
    "layers_count": "3", "metal": "Gr 2", "filler": "ERTi-2", "filler_form": "solid", "backing": "no",
    "gas_backing": "yes", "insert": "no", "current": "DCEN", "progression": "up", "visual_test": "passed",
    "bend_test": "passed",
}  # fmt: skip
DONE = ("arc.started", "arc.stopped", "shield.lifted", "bead.brushed")


def shop(path: Path) -> Place:
    """The simulated shop. The plan of one joint serves all of them."""
    place = Place(load_library(), open_store(path), lambda: NOW_S)
    declare(place, facts("J-0", position="5G", pipe=SMALL), by="W-1")
    planned = place.store.events("J-0")
    for number in range(1, JOINTS):
        name = f"J-{number}"
        for event in planned:
            place.store.append(name, event.at_utc, event.by, event.kind, event.data)
        for run in range(1, RUNS + 1):
            at = utc_of(NOW_S - 86400 * (number % 150) - 600 * (RUNS - run))
            for kind in DONE:
                place.store.append(name, at, f"W-{(number + run) % WELDERS}", kind, {"run_count": run})
    for welder in range(WELDERS):
        record_qualification(place, f"W-{welder}", COUPON, by="E-1")
    return place


def measured(ask: Callable[[int], object], count: int) -> dict[str, float]:
    """Milliseconds of processor time: the machine may have other work."""
    took = []
    for n in range(count):
        start = time.process_time()
        ask(n)
        took.append(1000 * (time.process_time() - start))
    took.sort()
    return {"median_ms": round(took[count // 2], 2), "p95_ms": round(took[int(0.95 * (count - 1))], 2)}


def measure() -> dict[str, object]:
    """Asked the first time, asked again, and asked after one more arc of the same welder."""
    with tempfile.TemporaryDirectory() as folder:
        place = shop(Path(folder) / "shop.sqlite3")
        cold = measured(lambda n: may_weld(place, f"W-{n}", f"J-{n + 150}"), WELDERS)
        warm = measured(lambda n: may_weld(place, f"W-{n % WELDERS}", f"J-{n % 50 + 150}"), 200)

        def after(n: int) -> None:
            place.store.append("J-3", utc_of(NOW_S + n), "W-7", "arc.stopped", {"run_count": 3})
            may_weld(place, "W-7", "J-150")

        grown = measured(after, 20)
        entries = sum(len(place.store.stored(joint)) for joint in place.store.joints())
    return {
        "joints": JOINTS,
        "welders": WELDERS,
        "entries": entries,
        "first": cold,
        "again": warm,
        "after_an_arc": grown,
    }


if __name__ == "__main__":
    found = measure()
    print(json.dumps(found, indent=1))
    if "--write" in sys.argv:
        commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=True)
        RESULTS.write_text(json.dumps({"commit": commit.stdout.strip(), "simulated": True, **found}, indent=1) + "\n")
