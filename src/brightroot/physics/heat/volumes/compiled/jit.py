"""How the march is compiled: kept on disk, IEEE throughout, no wrappers that nobody calls."""

from __future__ import annotations

from numba import njit

compiled = njit(cache=True, error_model="numpy", no_cfunc_wrapper=True)  # type: ignore[call-overload]
# for what is only called from compiled code: a third of the time to compile is in the way in from Python
compiled_within = njit(cache=True, error_model="numpy", no_cfunc_wrapper=True, no_cpython_wrapper=True)  # type: ignore[call-overload]
