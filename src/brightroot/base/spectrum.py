"""The wavelengths that every colour is summed over, and the arrays that stand on them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]

# CIE's own 5 nm steps from 380 to 780
WAVELENGTH_NM: tuple[float, ...] = tuple(float(w) for w in range(380, 785, 5))
