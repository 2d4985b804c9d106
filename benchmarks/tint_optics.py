"""Film colours against `tmm` and `colour-science` over every pair, light, angle and film: the largest ΔE2000 of each kind."""

from __future__ import annotations

import csv
import json
import subprocess
import warnings
from pathlib import Path
from typing import Any

import numpy as np
from tmm.tmm_core import coh_tmm  # type: ignore[import-untyped]

with warnings.catch_warnings():
    warnings.filterwarnings("ignore", message='.*"Matplotlib" related API features are not available')
    import colour

from brightroot.app.optics_case import answer_optics_case
from brightroot.library.load import OURS, load_library

RESULT = Path(__file__).parent / "results" / "tint_optics.json"
FILMS_NM = (0.0, 7.0, 25.0, 38.5, 56.0, 85.0, 116.0, 155.0)
ANGLES_deg = (0.0, 20.0, 45.0, 60.0)
OBSERVER = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
OPTICS = load_library().optics


def read(role: str, name: str) -> Any:
    """Columns of a shipped table, read without our own reader."""
    text = Path(OURS, "optics", role, f"{name}.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return np.array([[float(cell) for cell in row.values()] for row in rows]).T


def by_tmm(metal: str, film: str, nm: float, waves: Any, angle_deg: float) -> Any:
    """Unpolarised reflectance as the other program has it."""
    (mw, mn, mk), (fw, fn, fk) = read("substrates", metal), read("films", film)
    metals = np.interp(waves, mw * 1000, mn) + 1j * np.interp(waves, mw * 1000, mk)
    films = np.interp(waves, fw * 1000, fn) + 1j * np.interp(waves, fw * 1000, fk)
    at_rad = np.radians(angle_deg)
    rows = zip(waves, films, metals, strict=True)
    return np.array(
        [sum(coh_tmm(way, [1, f, m], [np.inf, nm, np.inf], at_rad, w)["R"] for way in "sp") / 2 for w, f, m in rows]
    )


def lab(spectrum: Any, light: str, waves: Any) -> Any:
    """Lab as the other program has it, by its plain sum over the given wavelengths."""
    shape = colour.SpectralShape(380, 780, waves[1] - waves[0])
    seen, lit = OBSERVER.copy().align(shape), colour.SDS_ILLUMINANTS[light].copy().align(shape)
    given = colour.SpectralDistribution(spectrum, waves)
    xyz = colour.sd_to_XYZ(given, seen, lit, method="Integration") / 100
    white = colour.sd_to_XYZ(colour.sd_ones(shape), seen, lit, method="Integration") / 100
    return colour.XYZ_to_Lab(xyz, colour.XYZ_to_xy(white))


def main() -> None:
    """Each pair is written down as it is done."""
    same, other = np.arange(380.0, 781.0, 5.0), np.arange(380.0, 781.0, 1.0)
    worst = {light: {"same_sum": 0.0, "each_nm": 0.0} for light in OPTICS.lights}
    count = 0
    for metal in OPTICS.substrates:
        for film in OPTICS.films:
            for nm in FILMS_NM:
                for angle_deg in ANGLES_deg:
                    coarse = by_tmm(metal, film, nm, same, angle_deg)
                    fine = by_tmm(metal, film, nm, other, angle_deg) if angle_deg == 20.0 else None
                    for light in OPTICS.lights:
                        case = {"substrate": metal, "film": film, "thickness_nm": nm}
                        got = answer_optics_case(
                            {**case, "angle_deg": angle_deg, "illuminant": light}, optics=OPTICS
                        )["Lab"]  # fmt: skip
                        kinds = [("same_sum", lab(coarse, light, same))]
                        if fine is not None:
                            kinds += [("each_nm", lab(fine, light, other))]
                        for kind, wanted in kinds:
                            found = float(colour.delta_E(got, wanted, method="CIE 2000"))
                            worst[light][kind] = max(worst[light][kind], found)
                        count += 1
            _write({"cases": count, "worst_delta_e_2000": worst})


def _write(data: dict[str, Any]) -> None:
    found = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=False)
    text = json.dumps({"commit": found.stdout.strip(), **data}, indent=1, sort_keys=True)
    RESULT.write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
