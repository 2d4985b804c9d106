"""Look: a photograph and what was tapped on it, to classes, areas, odds and the sentence that may be said."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brightroot.base.errors import Refused
from brightroot.base.photo import Box, Photo, box_of
from brightroot.physics.tint.reading.field import CREDIBLE_1
from brightroot.physics.tint.reading.read import Asked, Reading, read_tint
from brightroot.physics.tint.reading.table import Table
from brightroot.physics.tint.reading.verdict import CLASS_NAMES

SURFACES = ("as-welded", "cleaned")
METALS = ("titanium", "zirconium", "stainless", "nickel")  # what may be said; only titanium is read
Arrays = Mapping[str, NDArray[Any]]


@dataclass(frozen=True, eq=False, slots=True)
class Looked:
    """A reading with the photograph it was made from."""

    photo: Photo
    asked: Asked
    reading: Reading

    def plain(self) -> dict[str, Any]:
        """As data: `answer`, and where it was read the classes, areas, patterns, odds and what would change them."""
        reading = self.reading
        told: dict[str, Any] = {
            "answer": reading.answer,
            "reasons": list(reading.reasons),
            "credible": CREDIBLE_1,
            "width_px": self.photo.width_px,
            "height_px": self.photo.height_px,
            "downscale": self.photo.factor,
            "measures": {name: round(value, 4) for name, value in reading.measures.items()},
            "notes": list(self.photo.notes),
        }
        if reading.verdict is None:
            return told
        verdict = reading.verdict
        return told | {
            "worst_class4": verdict.worst,
            "worst_class": CLASS_NAMES[verdict.worst],
            "fraction4": [round(share, 5) for share in verdict.fractions],
            "fine_classes": dict(verdict.fine),
            "patterns": list(verdict.patterns),
            "odds": dict(verdict.odds),
            "zones": [dict(row) for row in verdict.zones],
            "why": dict(verdict.why),
        }

    def maps(self) -> dict[str, NDArray[Any]]:
        """The arrays of the map, on the upright photograph made smaller by `downscale`."""
        reading = self.reading
        shape = self.photo.light_1.shape[:2]
        if reading.field is None or reading.verdict is None:
            empty = np.full(shape, np.nan, np.float32)
            return {
                "equiv_thickness_nm": empty, "class4": np.zeros(shape, np.uint8), "low_nm": empty, "high_nm": empty,
                "weldzone": np.zeros(shape, bool),
            }  # fmt: skip
        return {
            "equiv_thickness_nm": reading.field.nm, "class4": reading.verdict.classes, "low_nm": reading.field.low_nm,
            "high_nm": reading.field.high_nm, "weldzone": reading.zone,
        }  # fmt: skip


def look_at(photo: Photo, told: Mapping[str, str], ways: Arrays, *, second: Photo | None = None) -> Looked:
    """Read a photograph. `told`: base, card, weld as X,Y,W,H; metal; surface. Raises Refused for what cannot be meant."""
    asked = Asked(
        base=box_of("base", told.get("base", "")),
        card=box_of("card", told.get("card", "")),
        weld=box_of("weld", told.get("weld", "")),
        metal=_chosen("metal", told.get("metal") or "titanium", METALS),
        surface=_chosen("surface", told.get("surface") or "as-welded", SURFACES),
    )
    if second is not None and second.light_1.shape != photo.light_1.shape:
        raise Refused(
            field="second", wanted=f"the same view, {photo.width_px} × {photo.height_px}",
            got=f"{second.width_px} × {second.height_px}", reason="refused.photo_second",
        )  # fmt: skip
    return Looked(photo, asked, read_tint(photo, asked, table_of(ways), second=second))


def table_of(ways: Arrays) -> Table:
    """The packed table as the reading takes it."""
    return Table(ways["levels_nm"], ways["mean"], ways["directions"], ways["places"])


def _chosen(field: str, got: str, choices: tuple[str, ...]) -> str:
    if got not in choices:
        raise Refused(field=field, wanted="one of " + ", ".join(choices), got=got, reason="refused.choice")
    return got


__all__ = ["Box", "Looked", "look_at", "table_of"]
