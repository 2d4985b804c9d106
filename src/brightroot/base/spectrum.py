"""Arrays that stand on the wavelengths of colour. Apart from `wavelength`, so that the library is read without numpy."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from brightroot.base.wavelength import WAVELENGTH_NM as WAVELENGTH_NM

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]
