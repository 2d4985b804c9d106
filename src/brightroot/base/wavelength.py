"""The wavelengths that every colour is summed over."""

from __future__ import annotations

# CIE's own 5 nm steps from 380 to 780
WAVELENGTH_NM: tuple[float, ...] = tuple(float(w) for w in range(380, 785, 5))
