"""The table of the photo reader's evidence, from the rows of all photographs: each wanted figure beside what was got."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

Rows = Sequence[Mapping[str, Any]]
SPOT_FOUND = 0.5  # of a spot's pixels told purple or worse


def table(rows: Rows) -> dict[str, Any]:
    """Every figure that the run shows."""
    read = [r for r in rows if r["answer"] == "read"]
    due = [r for r in rows if not r["wanted"]]
    answered = [r for r in read if not r["wanted"]]
    return {
        "photographs": len(rows), "answered": len(answered), "errors": sum(r["answer"] == "error" for r in rows),
        "refused_where_wanted": _share([r["answer"] == "refused" for r in rows if r["wanted"]]),
        "refused_needlessly": _share([r["answer"] == "refused" for r in due]),
        "worst_right": _share([r["worst_read"] == r["worst"] for r in answered]),
        "worst_right_by_truth": {
            str(k): _share([r["worst_read"] == k for r in answered if r["worst"] == k]) for k in range(4)
        },
        "worst_too_good": sum(r["worst"] >= 2 and r["worst_read"] <= 1 for r in answered),
        "worst_knife_edge": sum(r["worst_read"] != r["worst"] and knife_edge(r) for r in answered),
        **_pixels(answered),
        **_spots_and_scale(answered),
        "read_though_refusal_wanted": _groups([r for r in rows if r["wanted"]], _slipped),
        "by_group": _groups(due, _group),
        "elapsed_s": _quantiles([r["elapsed_s"] for r in read if r["elapsed_s"] is not None]),
    }  # fmt: skip


def knife_edge(row: Mapping[str, Any]) -> bool:
    """The class read would be right if half a per cent were a quarter or a whole one."""
    shares = row["fraction4"]
    near = {max(k for k in range(4) if shares[k] >= least) for least in (0.0025, 0.01)}
    return row["worst_read"] in near


def _pixels(rows: Rows) -> dict[str, Any]:
    inner = sum(r["worse_inner_px"] / r["zone_px"] for r in rows)
    thin = [r["mae_nm"] for r in rows if r["mae_nm"] is not None and r["thin_px"] > 0.02 * r["zone_px"]]
    return {
        "worse_called_silver_or_straw": _missed(rows),
        "the_same_off_borders": _part(sum(r["worse_inner_missed_px"] / r["zone_px"] for r in rows), inner),
        "mae_below_60_nm": round(float(np.mean(thin)), 3) if thin else None,
        "mae_below_60_nm_median": round(float(np.median(thin)), 3) if thin else None,
        "covered_90": _mean([r["covered_px"] / r["usable_px"] for r in rows if r["usable_px"]]),
        "covered_by_nm": [_covered([r["covered_by_nm"][k] for r in rows]) for k in range(10)],
        "set_width_nm": _quantiles([r["width_nm"] for r in rows if r["width_nm"] is not None]),
        "confusion4": _normal([r["confusion4"] for r in rows]),
        "fine": _normal([r["fine"] for r in rows]),
    }  # fmt: skip


def _spots_and_scale(rows: Rows) -> dict[str, Any]:
    spots = [share >= SPOT_FOUND for r in rows for share in r["spots"]]
    two = [r for r in rows if "second" in r["had"]]
    scaled = [r for r in two if r["scale_px"]]
    recalls = [r["scale_found_px"] / r["scale_px"] for r in scaled]
    return {
        "spots": len(spots), "spots_found": _share(spots),
        "scale_photographs": len(scaled), "scale_recall": round(float(np.mean(recalls)), 4) if recalls else None,
        "scale_recall_low_tenth": round(float(np.quantile(recalls, 0.1)), 4) if recalls else None,
        "scale_false_two_lights": round(float(np.mean([r["read_scale_px"] / r["film_px"] for r in two])), 5) if two else None,
        "scale_false_one_light": _mean([r["read_scale_px"] / r["film_px"] for r in rows if "second" not in r["had"]]),
    }  # fmt: skip


def _group(rows: Rows) -> dict[str, Any]:
    read = [r for r in rows if r["answer"] == "read"]
    if not read:
        return {"photographs": len(rows), "refused": len(rows)}
    return {
        "photographs": len(rows), "refused": len(rows) - len(read),
        "worst_right": _share([r["worst_read"] == r["worst"] for r in read]),
        "worse_missed": _missed(read),
        "mae_nm": _mean([r["mae_nm"] for r in read if r["mae_nm"] is not None]),
        "covered_90": _mean([r["covered_px"] / r["usable_px"] for r in read if r["usable_px"]]),
    }  # fmt: skip


def _missed(rows: Rows) -> float | None:
    missed = sum(r["worse_missed_px"] / r["zone_px"] for r in rows)
    return _part(missed, sum(r["worse_px"] / r["zone_px"] for r in rows))


def _covered(counts: Sequence[Sequence[int]]) -> list[float | None]:
    whole = sum(n for n, _ in counts)
    return [whole, _part(sum(inside for _, inside in counts), whole)]


def _slipped(rows: Rows) -> float | None:
    return _share([r["answer"] == "read" for r in rows])


def _groups(rows: Rows, show: Any) -> dict[str, Any]:
    names = dict.fromkeys(r["group"] for r in rows)
    return {name: show([r for r in rows if r["group"] == name]) for name in sorted(names)}


def _normal(tables: Sequence[Any]) -> list[list[float]]:
    """Each photograph weighs alike; rows then sum to 1."""
    total = sum((np.asarray(t, float) / max(1.0, float(np.sum(t))) for t in tables), np.zeros(()))
    if not np.ndim(total):
        return []
    whole = np.maximum(total.sum(axis=1, keepdims=True), 1e-12)
    return [[round(float(v), 5) for v in line] for line in total / whole]


def _share(said: Sequence[bool]) -> float | None:
    return round(sum(said) / len(said), 4) if said else None


def _part(some: float, whole: float) -> float | None:
    return round(float(some / whole), 5) if whole else None


def _mean(values: Sequence[float]) -> float | None:
    return round(float(np.mean(values)), 5) if len(values) else None


def _quantiles(values: Sequence[float]) -> dict[str, float]:
    return (
        {name: round(float(np.quantile(values, q)), 3) for name, q in (("median", 0.5), ("p95", 0.95))}
        if values
        else {}
    )
