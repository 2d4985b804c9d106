"""What one reading of a made photograph was worth: pixels, worst class, spots, scale, coverage. No picture is judged by eye."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter, minimum_filter

Arrays = Mapping[str, NDArray[Any]]
FINE_NM = (8.0, 16.0, 31.0, 40.0, 56.0, 78.0, 92.0, 125.0, 155.0)
FINE = (
    "silver",
    "light straw",
    "gold",
    "purple",
    "dark blue",
    "light blue",
    "pale",
    "second yellow",
    "magenta",
    "higher",
)
LOW_NM = 60.0


def scored(asked: Mapping[str, Any], answer: Mapping[str, Any], truth: Arrays, told: Arrays | None) -> dict[str, Any]:
    """The row of one photograph. `asked` is the list's row, `answer` the JSON, `told` the map (None where refused)."""
    row: dict[str, Any] = {
        "group": asked["group"], "index": asked["index"], "wanted": asked["refuse"], "answer": answer.get("answer", "error"),
        "reasons": [str(reason) for reason in answer.get("reasons", [])], "worst": asked["worst_class4"],
        "elapsed_s": answer.get("elapsed_s"), "had": [name for name in ("base", "card", "weld", "second") if asked.get(name)],
        "light": asked["light"], "tone": asked["tone"], "film_nm": asked["film_nm"], "bead_nm": asked["bead_nm"],
        "fraction4": [round(part, 4) for part in asked["fraction4"]],
    }  # fmt: skip
    if row["answer"] != "read" or told is None:
        return row
    row["worst_read"] = answer["worst_class4"]
    row["patterns"] = answer.get("patterns", [])
    row["fraction4_read"] = answer.get("fraction4")
    row.update(pixels(matched(truth, told), blur_px=float(asked["blur_px"])))
    return row


def matched(truth: Arrays, told: Arrays) -> dict[str, NDArray[Any]]:
    """Truth and map on the map's pixels: means of film, middle pixels of classes. Raises ValueError for a shape that fits not."""
    height, width = told["class4"].shape
    full = truth["class4"].shape
    factor = round(full[1] / width)
    if factor < 1 or abs(full[0] / factor - height) > 1 or abs(full[1] / factor - width) > 1:
        raise ValueError(f"map {told['class4'].shape} does not fit the photograph {full}")
    rows, columns = min(height, full[0] // factor), min(width, full[1] // factor)

    def block(name: str) -> NDArray[Any]:
        part = truth[name][: rows * factor, : columns * factor]
        return np.asarray(part[factor // 2 :: factor, factor // 2 :: factor])

    film = truth["equiv_thickness_nm"].astype(np.float32)[: rows * factor, : columns * factor]
    found = {name: block(name) for name in ("class4", "weldzone", "spot", "scale")}
    found["film"] = film.reshape(rows, factor, columns, factor).mean(axis=(1, 3))
    found |= {
        f"told_{name}": told[name][:rows, :columns] for name in ("class4", "equiv_thickness_nm", "low_nm", "high_nm")
    }
    found["factor"] = np.asarray(factor)
    return found


def pixels(at: Mapping[str, NDArray[Any]], *, blur_px: float) -> dict[str, Any]:
    """Everything that is counted by pixel, within the true zone."""
    zone, kind, told = at["weldzone"], at["class4"], at["told_class4"]
    reach = 2 * int(np.ceil(1 + 2 * blur_px / float(at["factor"]))) + 1
    inner = zone & (maximum_filter(kind, reach) == minimum_filter(kind, reach))
    film_zone = zone & ~at["scale"]
    worse, worse_inner = film_zone & (kind >= 2), inner & (kind == 2)
    missed = worse & (told <= 1)
    row: dict[str, Any] = {
        "zone_px": int(zone.sum()),
        "worse_px": int(worse.sum()), "worse_missed_px": int(missed.sum()),
        "worse_inner_px": int(worse_inner.sum()), "worse_inner_missed_px": int((worse_inner & (told <= 1)).sum()),
        "confusion4": _counts(kind[zone], np.minimum(told[zone], 4), 4, 5),
        "read_scale_px": int((film_zone & (told == 3)).sum()), "film_px": int(film_zone.sum()),
        "scale_px": int((zone & at["scale"]).sum()), "scale_found_px": int((zone & at["scale"] & (told == 3)).sum()),
    }  # fmt: skip
    film, said = at["film"], at["told_equiv_thickness_nm"].astype(np.float64)
    usable = film_zone & np.isfinite(said) & (told != 3)
    row["fine"] = _counts(np.digitize(film[usable], FINE_NM), np.digitize(said[usable], FINE_NM), 10, 10)
    thin = usable & (film < LOW_NM)
    error = np.abs(said[thin] - film[thin])
    row["thin_px"], row["mae_nm"] = int(thin.sum()), round(float(error.mean()), 3) if error.size else None
    row["median_nm"] = round(float(np.median(error)), 3) if error.size else None
    inside = (at["told_low_nm"] <= film) & (film <= at["told_high_nm"])
    row["covered_px"], row["usable_px"] = int((inside & usable).sum()), int(usable.sum())
    row["covered_by_nm"] = [
        [int((usable & part).sum()), int((usable & part & inside).sum())]
        for part in (np.digitize(film, FINE_NM) == k for k in range(10))
    ]
    row["width_nm"] = (
        round(float(np.median((at["told_high_nm"] - at["told_low_nm"])[usable])), 2) if usable.any() else None
    )
    row["spots"] = [
        round(float((told[at["spot"] == k] >= 2).mean()), 3)
        for k in range(1, int(at["spot"].max()) + 1)
        if (at["spot"] == k).any()
    ]
    return row


def _counts(true: NDArray[Any], said: NDArray[Any], rows: int, columns: int) -> list[list[int]]:
    flat = np.bincount(true.astype(np.int64) * columns + said.astype(np.int64), minlength=rows * columns)
    return [[int(n) for n in line] for line in flat[: rows * columns].reshape(rows, columns)]
