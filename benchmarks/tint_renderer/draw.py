"""What one photograph is to show, drawn from a seed: group, pipe, light, camera, how it was taken, what was tapped."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from benchmarks.tint_renderer.camera import Camera, invented
from benchmarks.tint_renderer.film import Pair, perturbed
from benchmarks.tint_renderer.lights import apart, coloured, ordinary
from benchmarks.tint_renderer.shape import Pose
from benchmarks.tint_renderer.stain import Stain, drawn
from benchmarks.tint_renderer.tables import Floats

ANSWERED = {
    "silver": 24, "uniform": 60, "gradient": 54, "edge band": 28, "parallel lines": 28, "spots": 32, "scale": 30,
}  # fmt: skip
REFUSED = {
    "no reference": 12, "coloured light": 14, "mixed light": 14, "clipped": 14, "dark": 14, "blurred": 14,
    "cleaned": 14, "base tinted": 14,
}  # fmt: skip
COUNTS = ANSWERED | REFUSED
JUDGED_FROM = 10_000
METALS = {False: ("Ti/Johnson", "Ti/Rakic-LD"), True: ("Ti/Rakic-BB", "Ti/Palm", "Ti/Mash", "Ti/Johnson")}
FILMS = {
    False: ("TiO2/Siefke", "TiO2/Jolivet-amorphous", "TiO2/Bond-o"),
    True: ("TiO2/Bodurov", "TiO2/Zhukovsky", "TiO2/Devore-e", "TiO2/Sarkar"),
}


@dataclass(frozen=True, eq=False, slots=True)
class Shot:
    """Everything that a photograph is made from."""

    seed: int
    index: int
    group: str
    judging: bool
    pose: Pose
    stain: Stain
    pair: Pair
    camera: Camera
    light_name: str
    light: Floats
    second_light: Floats | None
    balance: tuple[float, float]  # error of red and blue gain
    exposure_1: float  # times the meter's
    noise: float  # full well
    blur_px: float
    motion_px: float
    quality: int  # 100: PNG
    vignette_1: float
    veil_1: float
    brushed_1: float
    cleaned: bool
    declared: bool
    base: bool
    card: bool
    weld: bool
    card_reflects: float
    orientation: int
    pair_of_lights: bool
    shift_px: tuple[int, int]


def group_of(index: int) -> str:
    """Groups in a fixed shuffled order, so that any first part of a set holds them in proportion."""
    names = [name for name, count in COUNTS.items() for _ in range(count)]
    order = np.random.default_rng(977).permutation(len(names))
    return str(names[order[index % len(names)]])


def shot(seed: int, index: int, *, group: str = "", width_px: int = 0) -> Shot:
    """The photograph of that index in the set of that seed."""
    rng = np.random.default_rng([seed, index, 1])
    judging = seed >= JUDGED_FROM
    group = group or group_of(index)
    width = width_px or int(rng.choice((640, 800, 960, 1024, 1280, 1600), p=(0.15, 0.2, 0.2, 0.2, 0.15, 0.1)))
    pose = _pose(rng, width)
    pattern = group if group in ANSWERED else str(rng.choice(("uniform", "gradient", "edge band", "silver")))
    room = pose.width_px * pose.mm_px / 2 - abs(pose.weld_mm)
    stain = drawn(rng, pattern, pose.bead_mm, room)
    name, lit = coloured(rng) if group == "coloured light" else ordinary(rng, judging=judging)
    second = None
    if group == "mixed light":
        (lit, second), name = apart(rng), "two lights"
    base, card = ((True, False), (True, True), (False, True))[int(rng.choice(3, p=(0.4, 0.35, 0.25)))]
    declared, cleaned = False, group == "cleaned"
    if cleaned:
        stain = Stain("silver", 2.0, 1.5, stain.half_mm, stain.fade_mm, base_nm=1.0, rough_1=0.02)
        declared = bool(rng.uniform() < 0.4)
    if group == "base tinted":
        base, card = True, bool(rng.uniform() < 0.5)
        stain = _tinted_base(rng, stain)
    if group == "no reference":
        base = card = False
    exposure, well = rng.uniform(0.8, 1.1), 10 ** rng.uniform(2.9, 4.0)
    exposure = {"clipped": rng.uniform(3.0, 6.0), "dark": rng.uniform(0.012, 0.035)}.get(group, exposure)
    if group == "dark":
        well = 10 ** rng.uniform(2.4, 3.0)
    blurred = group == "blurred"
    quality = int(rng.integers(60, 96)) if rng.uniform() < 0.88 else 100
    tag = int(rng.choice((1, 6, 3, 8), p=(0.85, 0.07, 0.04, 0.04))) if quality < 100 else 1
    return Shot(
        seed=seed, index=index, group=group, judging=judging, pose=pose, stain=stain,
        pair=perturbed(rng, METALS[judging], FILMS[judging]), camera=invented(rng, judging=judging),
        light_name=name, light=lit, second_light=second,
        balance=(float(np.exp(rng.normal(0, 0.05))), float(np.exp(rng.normal(0, 0.06)))),
        exposure_1=exposure, noise=well,
        blur_px=width * rng.uniform(0.010, 0.025) if blurred else rng.uniform(0.3, 0.9) * width / 1000,
        motion_px=width * rng.uniform(0.0, 0.04) if blurred else 0.0,
        quality=quality,
        vignette_1=rng.uniform(0.0, 0.35), veil_1=rng.uniform(0.0, 0.03),
        brushed_1=rng.uniform(0.8, 1.5) if cleaned else rng.uniform(0.2, 1.0),
        cleaned=cleaned, declared=declared, base=base, card=card, weld=bool(rng.uniform() < 0.8),
        card_reflects=rng.uniform(0.16, 0.22), orientation=tag,
        pair_of_lights=group == "scale" or (group in ("silver", "uniform", "gradient") and bool(rng.uniform() < 0.2)),
        shift_px=(int(rng.integers(-2, 3)), int(rng.integers(-2, 3))),
    )  # fmt: skip


def _pose(rng: np.random.Generator, width: int) -> Pose:
    height = int(width * rng.choice((3 / 4, 2 / 3, 9 / 16), p=(0.6, 0.25, 0.15)))
    bead = rng.uniform(4.5, 9.0)
    view = bead * rng.uniform(6.5, 10.5)
    mm_px = view / width
    return Pose(
        width_px=width, height_px=height, mm_px=mm_px, radius_mm=height * mm_px * rng.uniform(0.38, 0.75),
        middle_1=rng.uniform(0.44, 0.56), turned_rad=rng.uniform(-0.14, 0.14), tilted_rad=rng.uniform(-0.3, 0.3),
        nearness_1=rng.uniform(0.02, 0.12), weld_mm=view * rng.uniform(-0.08, 0.08), bead_mm=bead,
        ripple_mm=rng.uniform(0.8, 1.7), crown_mm=rng.uniform(0.06, 0.16) * bead / 6, wobble_mm=rng.uniform(0.05, 0.2),
    )  # fmt: skip


def _tinted_base(rng: np.random.Generator, stain: Stain) -> Stain:
    thick = rng.uniform(15.0, 62.0)
    return Stain(
        stain.pattern, max(stain.film_nm, thick), max(stain.bead_nm, thick * 0.7), stain.half_mm, stain.fade_mm,
        stain.band_mm, stain.sides, base_nm=thick, rough_1=stain.rough_1,
    )  # fmt: skip
