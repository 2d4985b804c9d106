"""Lights of a shop, a cupboard and a sky: mixtures that are in no table, from separate pools for training and judging."""

from __future__ import annotations

import numpy as np

from benchmarks.tint_renderer.tables import LAMBDA_NM, Floats, daylight, glowing, light


def ordinary(rng: np.random.Generator, *, judging: bool) -> tuple[str, Floats]:
    """One light that a welder may honestly work under."""
    kinds = ("led", "sky", "lamp", "tube", "led mixed")
    kind = str(rng.choice(kinds, p=(0.35, 0.25, 0.1, 0.1, 0.2)))
    if kind == "led":
        return kind, led(rng)
    if kind == "sky":
        return kind, daylight(rng.uniform(4800, 8500))
    if kind == "lamp":
        return kind, glowing(rng.uniform(2700, 3400))
    if kind == "tube":
        return kind, light(str(rng.choice(("FL7", "FL11") if judging else ("FL2", "LED-V1"))))
    names = ("LED-B2", "LED-B4", "LED-B5") if judging else ("LED-B1", "LED-B3", "LED-B5")
    one, two = (light(str(name)) for name in rng.choice(names, 2))
    share = rng.uniform(0, 1)
    return kind, share * one + (1 - share) * two


def led(rng: np.random.Generator) -> Floats:
    """A white LED: a blue die and a phosphor or two."""
    blue = np.exp(-0.5 * ((LAMBDA_NM - rng.uniform(444, 460)) / rng.uniform(8, 12)) ** 2)
    phosphor = np.exp(-0.5 * ((LAMBDA_NM - rng.uniform(545, 585)) / rng.uniform(48, 62)) ** 2)
    red = np.exp(-0.5 * ((LAMBDA_NM - rng.uniform(610, 640)) / rng.uniform(30, 50)) ** 2)
    return np.asarray(rng.uniform(0.4, 1.3) * blue + phosphor + rng.uniform(0, 0.6) * red)


def coloured(rng: np.random.Generator) -> tuple[str, Floats]:
    """Light that no camera's balance makes white: a sodium lamp, coloured LEDs, a red or green work light."""
    kind = str(rng.choice(("sodium", "red", "green", "blue", "magenta")))
    narrow = {
        "sodium": [(589, 6, 1.0), (568, 12, 0.12), (615, 14, 0.15)],
        "red": [(625, 14, 1.0), (560, 60, 0.04)],
        "green": [(525, 20, 1.0), (560, 60, 0.05)],
        "blue": [(465, 14, 1.0), (560, 60, 0.05)],
        "magenta": [(460, 14, 0.7), (630, 14, 1.0)],
    }[kind]
    spectrum = sum(a * np.exp(-0.5 * ((LAMBDA_NM - c) / w) ** 2) for c, w, a in narrow)
    return kind, np.asarray(spectrum + 0.002)


def apart(rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Two lights that a camera cannot balance at once: a warm lamp and the sky, or a coloured LED and white."""
    if rng.uniform() < 0.65:
        return glowing(rng.uniform(2300, 2900)), daylight(rng.uniform(7500, 12000))
    return daylight(rng.uniform(5500, 7500)), coloured(rng)[1]
