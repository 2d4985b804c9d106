"""The packed table that photographs of tint are read by, as arrays. `python -m benchmarks.tint_ways` makes the file."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brightroot.base.errors import Broken

HERE = Path(__file__).parents[1] / "library" / "optics" / "reading"
PARTS = ("levels_nm", "mean", "directions", "places")


@cache
def tint_ways(metal: str = "titanium") -> Mapping[str, NDArray[np.floating[Any]]]:
    """The parts of the table by name, in single precision. Raises Broken where the file is not whole."""
    path = HERE / f"{metal}.npz"
    try:
        with np.load(path, allow_pickle=False) as kept:
            return {name: kept[name].astype(np.float32) for name in PARTS}
    except (OSError, KeyError, ValueError) as fault:
        raise Broken(where=path.name, wanted=", ".join(PARTS), got=type(fault).__name__) from fault
