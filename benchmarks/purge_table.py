"""The table of the filter's evidence, from the rows of all purges: errors, coverage, P(never), leaks, false alarms."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from typing import Any

import numpy as np

from benchmarks.purge_scores import COUNTS
from benchmarks.purge_simulator.draw import TARGETS_PPM

METHODS = ("filter", "two_point", "exponential_floor")
Rows = Sequence[Mapping[str, Any]]


def table(rows: Rows) -> dict[str, Any]:
    """Everything that the run shows, from its rows."""
    groups = {name: [row for row in rows if row["group"] == name] for name in dict.fromkeys(r["group"] for r in rows)}
    return {
        "purges": {group: len(part) for group, part in groups.items()},
        "errors": {
            str(target): {m: _by_count(rows, partial(errors, method=m, target=target)) for m in METHODS}
            for target in TARGETS_PPM
        },
        "coverage_20": {
            method: {
                name: _by_count(part, partial(coverage, method=method, target=20))
                for name, part in {"all": rows, **groups}.items()
            }
            for method in ("filter", "exponential_floor")
        },
        "coverage_all_targets": {
            str(target): _by_count(rows, partial(coverage, method="filter", target=target)) for target in TARGETS_PPM
        },
        "errors_20_by_group": {
            group: _by_count(part, partial(errors, method="filter", target=20)) for group, part in groups.items()
        },
        "gas_now": _by_count(rows, now_coverage),
        "monitor_shows_20": _by_count(rows, partial(shown, target=20)),
        "never": never(rows),
        "leak": leaks(rows),
        "false_alarms": false_alarms(rows),
        "frozen": frozen(rows),
        "calibration": calibration(rows),
        "each_look_s": {"median": _q([r["each_s"] for r in rows], 0.5), "p95": _q([r["each_s"] for r in rows], 0.95)},
        "oxygen_missed_1": max(abs(r["missed_1"]) for r in rows),
    }  # fmt: skip


def _by_count(rows: Rows, show: Callable[[list[Mapping[str, Any]]], Any]) -> dict[str, Any]:
    return {
        str(count): show([row["counts"][str(count)] for row in rows if str(count) in row["counts"]]) for count in COUNTS
    }


def _q(values: Iterable[float], share: float) -> float | None:
    found = list(values)
    return round(float(np.quantile(found, share)), 4) if found else None


def _share(flags: Iterable[bool]) -> float | None:
    found = list(flags)
    return round(sum(found) / len(found), 4) if found else None


def errors(part: Rows, method: str, target: int) -> dict[str, Any]:
    """Errors of the time to the target where it is reached.

    Of the whole time since the purge began; the same where the target still lay ahead; and of the time that was left then.
    """
    whole, ahead, left, silent = [], [], [], 0
    for at in part:
        found = at["targets"][str(target)]
        if found["fate"] != "reachable":
            continue
        p50 = found[method][1]
        if p50 is None:
            silent += 1
            continue
        off = abs(p50 - found["true_s"])
        whole.append(off / max(found["true_s"], 1.0))
        if found["true_s"] > at["at_s"]:
            ahead.append(whole[-1])
            left.append(off / (found["true_s"] - at["at_s"]))
    shown: dict[str, Any] = {"n": len(whole), "no_answer": silent, "n_ahead": len(ahead)}
    for name, values in (("whole", whole), ("ahead", ahead), ("left", left)):
        shown |= {f"{name}_median": _q(values, 0.5), f"{name}_p90": _q(values, 0.9)}
    return shown


def coverage(part: Rows, method: str, target: int) -> dict[str, Any]:
    """The share of reachable targets whose time lay within the 5 to 95 % interval; one left open is a miss."""
    inside = []
    for at in part:
        found = at["targets"][str(target)]
        if found["fate"] == "reachable":
            low, _, high, _ = found[method]
            inside.append(low is not None and low <= found["true_s"] <= high)
    return {"n": len(inside), "inside_1": _share(inside)}


def now_coverage(part: Rows) -> dict[str, Any]:
    """The share of looks where the gas at the vent, and at the root, lay within its own interval."""
    return {place: _share(at[place][1] <= at[place][0] <= at[place][3] for at in part) for place in ("vent", "root")}


def shown(part: Rows, target: int) -> dict[str, Any]:
    """The second clock: when the monitor shows the target."""
    rows = [at["targets"][str(target)] for at in part]
    rows = [row for row in rows if row["shown_s"] is not None and row["shows"][0] is not None]
    return {
        "n": len(rows),
        "inside_1": _share(row["shows"][0] <= row["shown_s"] <= row["shows"][2] for row in rows),
        "whole_median": _q([abs(row["shows"][1] / row["shown_s"] - 1) for row in rows if row["shown_s"] > 0], 0.5),
    }


def never(rows: Rows) -> dict[str, Any]:
    """P(never): at least 0.9 within 5 volumes of the plateau where the target is never reached, and where it is, not over 0.5."""
    held = [pair for row in rows for pair in row["plateau"].values()]
    held_20 = [row["plateau"]["20"] for row in rows if "20" in row["plateau"]]
    wrong = {
        str(count): {str(target): _over_half(rows, str(count), target, 1.0) for target in TARGETS_PPM}
        for count in COUNTS
    }
    clear = {
        str(count): {str(target): _over_half(rows, str(count), target, 0.9) for target in TARGETS_PPM}
        for count in COUNTS
    }
    return {
        "unreachable_20": {"n": len(held_20), "held_1": _share(p >= 0.9 for p, _ in held_20)},
        "unreachable_20_by_over_10_percent": _margin(held_20),
        "unreachable_any": {"n": len(held), "held_1": _share(p >= 0.9 for p, _ in held)},
        "unreachable_any_by_over_10_percent": _margin(held),
        "reachable_over_half_at_count": wrong,
        "reachable_by_over_10_percent_over_half_at_count": clear,
        "reachable_over_half_at_any_look_20": _share(row["surest"]["20"] > 0.5 for row in rows if "20" in row["surest"]),
        "undecided_20": sum(at["targets"]["20"]["fate"] == "undecided" for r in rows for at in list(r["counts"].values())[:1]),
    }  # fmt: skip


def _over_half(rows: Rows, count: str, target: int, share: float) -> float | None:
    """How often P(never) is over one half where the target is reached and the end lies below that share of it."""
    part = [
        row["counts"][count]["targets"][str(target)]
        for row in rows
        if count in row["counts"] and row["end_ppm"] < share * target
    ]
    return _share(found["filter"][3] > 0.5 for found in part if found["fate"] == "reachable")


def _margin(held: Sequence[Sequence[float]]) -> dict[str, Any]:
    clear = [p for p, over in held if over > 1.1]
    return {"n": len(clear), "held_1": _share(p >= 0.9 for p in clear)}


def leaks(rows: Rows) -> dict[str, Any]:
    """Leaks that open: said to be one within 90 s of the rise passing 30 % of what the monitor shows, and how late."""
    due = [row["alarm"] for row in rows if row["alarm"] and row["alarm"]["due_s"] is not None]

    def share(part: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
        return {
            "n": len(part),
            "flagged_1": _share(a["flagged_s"] is not None and a["flagged_s"] <= a["due_s"] + 90 for a in part),
        }

    return {
        "all": share(due),
        "opened_above_200_ppm": share([a for a in due if a["at_opening_ppm"] > 200]),
        "opened_below_200_ppm": share([a for a in due if a["at_opening_ppm"] <= 200]),
        "late_median_s": _q([a["flagged_s"] - a["due_s"] for a in due if a["flagged_s"] is not None], 0.5),
        "never_flagged": sum(a["flagged_s"] is None for a in due),
        "not_due": sum(row["alarm"] is not None and row["alarm"]["due_s"] is None for row in rows),
        "said_before_it_opened": sum(bool(row["alarm"]["early"]) for row in rows if row["alarm"]),
    }  # fmt: skip


def false_alarms(rows: Rows) -> dict[str, Any]:
    """Purges without a leak to speak of in which the verdict was ever leak, and without a stuck monitor ever check_instrument."""
    sound = [r for r in rows if r["group"] not in ("leak floor", "leak opens", "handled", "supply floor")]
    said = dict.fromkeys(dict.fromkeys(row["group"] for row in rows), 0)
    for row in rows:
        said[row["group"]] += "leak" in row["verdicts"]
    stuck = [r["group"] for r in rows if r["group"] != "frozen" and "check_instrument" in r["verdicts"]]
    stuck_by = {group: stuck.count(group) for group in dict.fromkeys(stuck)}
    return {
        "n": len(sound),
        "leak": sum("leak" in r["verdicts"] for r in sound),
        "leak_1": _share("leak" in r["verdicts"] for r in sound),
        "leak_by_group": said,
        "check_instrument": len(stuck),
        "check_instrument_by_group": stuck_by,
        "stalled_where_20_is_reached_1": _share(
            "stalled" in r["verdicts"] for r in sound if "20" in r["surest"] and "20" not in r["plateau"]
        ),
    }


def frozen(rows: Rows) -> dict[str, Any]:
    """Stuck monitors: in how many the verdict came to be check_instrument."""
    stuck = [row for row in rows if row["group"] == "frozen"]
    return {"n": len(stuck), "flagged_1": _share("check_instrument" in row["verdicts"] for row in stuck)}


def calibration(rows: Rows) -> dict[str, Any]:
    """What the picture is drawn from: the share of times below each stated quantile, and how often never came true."""
    quantiles, sure = {}, []
    for count in COUNTS:
        found = [
            at["targets"]["20"] for row in rows for at in [row["counts"].get(str(count))]
            if at is not None and at["targets"]["20"]["fate"] == "reachable" and at["targets"]["20"]["filter"][0] is not None
        ]  # fmt: skip
        quantiles[str(count)] = {
            stated: _share(one["true_s"] <= one["filter"][n] for one in found)
            for n, stated in enumerate(("0.05", "0.5", "0.95"))
        }
    pairs = [
        (one["filter"][3], one["fate"] == "never")
        for row in rows for at in row["counts"].values() for one in at["targets"].values() if one["fate"] != "undecided"
    ]  # fmt: skip
    for low in np.arange(0, 1, 0.1):
        inside = [(p, was) for p, was in pairs if low <= p < low + 0.1 or (low > 0.85 and p >= 1)]
        if inside:
            sure.append(
                [round(float(np.mean([p for p, _ in inside])), 3), _share(was for _, was in inside), len(inside)]
            )
    return {"time_below_quantile_1": quantiles, "said_never_was_never_n": sure}
