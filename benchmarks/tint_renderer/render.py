"""One photograph and its truth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, uniform_filter1d

from benchmarks.tint_renderer.camera import Image, noisy, toned
from benchmarks.tint_renderer.draw import Shot
from benchmarks.tint_renderer.film import physical_nm, reflectance
from benchmarks.tint_renderer.shape import Surface, blotches, surface
from benchmarks.tint_renderer.stain import Cover, cover
from benchmarks.tint_renderer.tables import Floats, light

EQUIVALENT_NM: Floats = np.arange(0.0, 300.0, 1.0)
ANGLES_RAD: Floats = np.radians([0, 15, 30, 45, 60, 75])
EDGES_NM = (8.0, 31.0)
Bytes = NDArray[np.uint8]


@dataclass(frozen=True, eq=False, slots=True)
class Photograph:
    """Upright pixels (two pictures where the light was moved) and what is true of them."""

    pictures: tuple[Bytes, ...]
    film_nm: Image
    class4: Bytes
    zone: NDArray[np.bool_]
    spot: Bytes
    scale: Image
    facts: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Lamp:
    """How the scene is lit: the surroundings' slope, the lamp's direction, strength and width, a strip overhead."""

    toward: tuple[float, float, float]
    strength: float
    narrow: float
    slope: float
    strip: float
    strip_at: float


def photograph(shot: Shot) -> Photograph:
    """Render it."""
    rng = np.random.default_rng([shot.seed, shot.index, 2])
    seen = surface(rng, shot.pose, brushed=shot.brushed_1, cleaned=shot.cleaned)
    pose = shot.pose
    stained = cover(rng, shot.stain, seen, bead_mm=pose.bead_mm, mm_px=pose.mm_px, radius_mm=pose.radius_mm)
    stained, card_box = _with_card(rng, shot, seen, stained)
    lit_by = tables(shot)
    lamps = [_lamp(rng, None)]
    if shot.pair_of_lights:
        lamps.append(_lamp(rng, lamps[0]))
    pictures = []
    for number, lamp in enumerate(lamps):
        things = np.random.default_rng([shot.seed, shot.index, 3])  # the same bench and flakes under both lights
        scene = _scene(things, shot, seen, stained, card_box, lit_by, lamp)
        if number and any(shot.shift_px):
            scene = np.roll(scene, shot.shift_px, axis=(0, 1))
        pictures.append(_taken(rng, shot, scene, stained))
    return _judged(rng, shot, seen, stained, card_box, tuple(pictures))


def _lamp(rng: np.random.Generator, other: Lamp | None) -> Lamp:
    for _ in range(50):
        tilt, turn = rng.uniform(0.15, 0.9), rng.uniform(0, 2 * np.pi)
        toward = (np.sin(tilt) * np.cos(turn), -abs(np.sin(tilt) * np.sin(turn)), np.cos(tilt))
        if other is None or float(np.dot(toward, other.toward)) < 0.8:
            break
    return Lamp(
        toward,
        rng.uniform(0.6, 3.0),
        rng.uniform(4, 30),
        rng.uniform(0.1, 0.6),
        rng.uniform(0, 1.2),
        rng.uniform(-0.7, 0.1),
    )


def tables(shot: Shot) -> list[NDArray[np.float32]]:
    """Per light: linear sRGB of one unit of radiance, angle by equivalent nm, with the film's small unevenness in a pixel."""
    sensitivity, pair = shot.camera.sensitivity, shot.pair
    spectra = [shot.light] if shot.second_light is None else [shot.light, shot.second_light]
    spectra = [s * 2 / (sensitivity[1] @ s) for s in spectra]
    day = light("D65")
    neutral = (sensitivity @ day)[1] / (sensitivity @ day)
    raw = sensitivity @ np.sum(spectra, axis=0)
    # an automatic balance reaches any white light, and no coloured one
    least, most = (0.45, 1.9) if shot.group == "coloured light" else (0.25, 4.0)
    gains = np.clip(raw[1] / raw, least * neutral, most * neutral)
    gains = gains * [shot.balance[0], 1.0, shot.balance[1]]
    matrix = shot.camera.matrix * gains
    found = []
    films = physical_nm(pair, EQUIVALENT_NM)
    for spectrum in spectra:
        weights = sensitivity * spectrum
        weights = weights / weights[1].sum() if len(spectra) == 1 else weights / 2
        rows = []
        for angle in ANGLES_RAD:
            r = np.mean(
                [reflectance(pair, film_nm=films * f, angle_rad=float(angle)) for f in (0.97, 1.0, 1.03)], axis=0
            )
            r = 0.92 * r + 0.08 * r * r * 1.6  # some light meets the metal twice
            rows.append(r @ weights.T @ matrix.T)
        plain = weights.sum(axis=1) @ matrix.T
        found.append(np.concatenate([np.asarray(rows), np.tile(plain, (1, len(films), 1))]).astype(np.float32))
    return found


def look_up(table: NDArray[np.float32], film_nm: Image, facing: Image) -> Image:
    """The table at the nearest of its steps, first made fine: half a degree and a quarter of a nanometre."""
    fine = np.linspace(0, 75, 151)
    a = np.interp(np.radians(fine), ANGLES_RAD, np.arange(len(ANGLES_RAD)))
    i = np.minimum(a.astype(int), len(ANGLES_RAD) - 2)
    u = (a - i)[:, None, None]
    by_angle = (1 - u) * table[i] + u * table[i + 1]
    t = np.arange(0, EQUIVALENT_NM[-1] - 1, 0.25)
    j, v = t.astype(int), (t % 1)[:, None]
    whole = ((1 - v) * by_angle[:, j] + v * by_angle[:, j + 1]).astype(np.float32).reshape(-1, 3)
    row = (np.degrees(np.arccos(np.clip(facing, 0.26, 1.0))) * 2 + 0.5).astype(np.int32)
    column = (np.clip(film_nm * 4 + 0.5, 0, len(t) - 1)).astype(np.int32)
    return np.asarray(whole.take(row * np.int32(len(t)) + column, axis=0))


def _scene(
    rng: np.random.Generator, shot: Shot, seen: Surface, stained: Cover, card_box: list[int] | None,
    lit_by: list[NDArray[np.float32]], lamp: Lamp,
) -> Image:  # fmt: skip
    """Linear light at the sensor, before exposure."""
    n = seen.normal
    facing = np.clip(n[..., 2], 0.05, 1)
    mirrored = 2 * facing[..., None] * n
    mirrored[..., 2] -= 1
    toward = np.asarray(lamp.toward, np.float32)
    rough = 0.06 + 0.10 * shot.brushed_1
    narrow = 1 / (1 / lamp.narrow + rough**2 * (1 - 0.5 * seen.bead))
    glare = lamp.strength * np.exp(narrow * (mirrored @ toward - 1))
    dome = (
        0.75 - lamp.slope * mirrored[..., 1] + lamp.strip * np.exp(-(((mirrored[..., 1] - lamp.strip_at) / 0.16) ** 2))
    )
    dome = np.maximum(dome, 0.08) * (0.55 + 0.45 * np.clip(1 + mirrored[..., 2], 0, 1))
    texture = 1 + (0.07 + 0.10 * shot.brushed_1) * np.clip(seen.tooth, -2.5, 2.5)
    diffuse = np.maximum(n @ toward, 0)
    height, width = facing.shape
    x = np.linspace(-1, 1, width, dtype=np.float32)[None]
    parts = [(dome + glare) * texture]
    soft = [0.8 + 0.9 * lamp.strength * diffuse]
    flat = [0.8 + 0.9 * lamp.strength * max(float(toward[2]), 0.0)]
    if len(lit_by) == 2:  # the first light is the lamp from one side, the second the surroundings
        side = 1 / (1 + np.exp(-(x * 4 + 0.4)))
        parts = [(0.3 * dome + glare) * texture * 1.6 * side, dome * texture * 1.6 * (1 - side)]
        soft, flat = [soft[0] * side, soft[0] * (1 - side)], [flat[0] * side, flat[0] * (1 - side)]
    total = np.zeros((height, width, 3), np.float32)
    bench = 0.10 + 0.03 * blotches(rng, facing.shape, width / 12)
    colour = np.asarray(rng.uniform(0.7, 1.3, 3), np.float32)
    flakes = np.clip(1 + 0.12 * blotches(rng, facing.shape, max(1.5, width / 500)), 0.4, 1.6)
    powder = np.asarray(shot.stain.scale_rgb, np.float32) * flakes[..., None]
    for table, mirror, matt, level in zip(lit_by, parts, soft, flat):
        metal = look_up(table, stained.film_nm, facing) * mirror[..., None]
        plain = table[-1, 0]
        mix = stained.scale[..., None]
        pipe = (1 - mix) * metal + mix * powder * plain * (0.85 * matt[..., None])
        behind = np.maximum(bench, 0.02)[..., None] * colour * plain * np.broadcast_to(level, facing.shape)[..., None]
        lit = np.where(seen.on[..., None], pipe * np.clip(seen.plain_z * 5, 0, 1)[..., None], behind)
        if card_box:
            cx, cy, cw, ch = card_box
            view = np.broadcast_to(level, facing.shape)[cy : cy + ch, cx : cx + cw, None]
            lit[cy : cy + ch, cx : cx + cw] = shot.card_reflects * plain * view
        total += lit
    total = gaussian_filter(total, (0.5, 0.5, 0))
    y = np.linspace(-1, 1, height, dtype=np.float32)[:, None]
    total *= (1 - shot.vignette_1 * (x * x + y * y) / 2)[..., None]
    return np.asarray(total + shot.veil_1 * total.mean(axis=(0, 1)))


def _taken(rng: np.random.Generator, shot: Shot, scene: Image, stained: Cover) -> Bytes:
    """Metered on the weld's brighter parts, blurred, noisy, toned."""
    bright = scene.max(axis=-1)[stained.zone > 0]
    linear = scene * np.float32(shot.exposure_1 * 0.9 / max(float(np.quantile(bright, 0.985)), 1e-6))
    if shot.motion_px > 1:
        linear = uniform_filter1d(linear, int(shot.motion_px) + 1, axis=1)
    linear = gaussian_filter(linear, (shot.blur_px, shot.blur_px, 0))
    out = toned(noisy(rng, linear, full_well=shot.noise, read=0.002), shot.camera)
    return np.asarray(np.clip(out * 255 + 0.5, 0, 255), np.uint8)


def _with_card(rng: np.random.Generator, shot: Shot, seen: Surface, stained: Cover) -> tuple[Cover, list[int] | None]:
    """Where the grey card lies: in a corner, off the zone; what it hides is no weld."""
    if not shot.card:
        return stained, None
    height, width = seen.on.shape
    w, h = int(width * rng.uniform(0.10, 0.16)), int(height * rng.uniform(0.14, 0.2))
    best, weld = None, _bounds(stained.zone > 0)
    for _ in range(60):
        x, y = int(rng.integers(2, width - w - 2)), int(rng.integers(2, height - h - 2))
        hidden = float(stained.zone[y : y + h, x : x + w].mean()) + _shared([x, y, w, h], weld)
        if best is None or hidden < best[0]:
            best = (hidden, x, y)
        if hidden == 0 and rng.uniform() < 0.5:
            break
    assert best is not None
    _, x, y = best
    zone, spot = stained.zone.copy(), stained.spot.copy()
    zone[y : y + h, x : x + w] = 0
    spot[y : y + h, x : x + w] = 0
    return Cover(stained.film_nm, stained.scale, zone, spot), [x, y, w, h]


def _judged(
    rng: np.random.Generator, shot: Shot, seen: Surface, stained: Cover, card_box: list[int] | None,
    pictures: tuple[Bytes, ...],
) -> Photograph:  # fmt: skip
    zone = stained.zone > 0
    class4 = np.digitize(stained.film_nm, EDGES_NM).astype(np.uint8)
    class4[stained.scale > 0.5] = 3
    shares = [float((class4[zone] == c).mean()) for c in range(4)]
    worst = max(c for c in range(4) if shares[c] >= 0.005)
    weld_box = _bounds(zone)
    refuse = shot.group if shot.group in _REASONS else ""
    card = None
    if card_box:
        x, y, w, h = card_box
        card = [x + w // 6, y + h // 6, w - w // 3, h - h // 3]
    base = _base_box(rng, shot, seen, stained, card_box, pictures[0]) if shot.base else None
    # nobody draws the weld's rectangle over a reference: where the picture leaves no room, it is not told
    apart = all(_shared(box, weld_box) == 0 for box in (base, card) if box)
    facts = {
        "group": shot.group, "pattern": shot.stain.pattern, "worst_class4": worst, "fraction4": shares,
        "refuse": refuse, "base": base,
        "card": card, "weld": weld_box if shot.weld and apart else None, "weld_true": weld_box,
        "surface": "cleaned" if shot.declared else "as-welded", "spots": int(stained.spot.max()),
        "light": shot.light_name, "tone": shot.camera.tone, "quality": shot.quality, "mm_px": shot.pose.mm_px,
        "film_nm": shot.stain.film_nm, "bead_nm": shot.stain.bead_nm, "base_nm": shot.stain.base_nm,
        "orientation": shot.orientation, "blur_px": shot.blur_px, "seed": shot.seed,
        "megapixels": round(zone.size / 1e6, 2),
    }  # fmt: skip
    return Photograph(
        pictures, stained.film_nm, class4, zone, stained.spot.astype(np.uint8), stained.scale.astype(np.float32), facts
    )


_REASONS = ("no reference", "coloured light", "mixed light", "clipped", "dark", "blurred", "cleaned", "base tinted")


def _base_box(
    rng: np.random.Generator, shot: Shot, seen: Surface, stained: Cover, card_box: list[int] | None, picture: Bytes
) -> list[int]:
    """Base metal as a sensible person taps it: off the zone, as bright as the weld is, not in a glare."""
    height, width = seen.on.shape
    w, h = max(24, int(width * 0.07)), max(20, int(height * 0.08))
    grey = picture.astype(np.float32).mean(axis=-1)
    want = float(np.median(grey[stained.zone > 0]))
    away = shot.stain.half_mm + shot.stain.fade_mm + 0.8
    good = seen.on & (np.abs(seen.along_mm) > away) & (seen.plain_z > 0.5)
    if card_box:
        x, y, cw, ch = card_box
        good[max(0, y - 4) : y + ch + 4, max(0, x - 4) : x + cw + 4] = False
    best, weld = (1e9, 0, 0), _bounds(stained.zone > 0)
    for _ in range(400):
        x, y = int(rng.integers(0, width - w)), int(rng.integers(0, height - h))
        share = float(good[y : y + h, x : x + w].mean())
        cost = (
            1000 * (1 - share)
            + 300 * _shared([x, y, w, h], weld)
            + abs(float(grey[y : y + h, x : x + w].mean()) - want)
        )
        best = min(best, (cost, x, y))
    return [best[1], best[2], w, h]


def _bounds(area: NDArray[np.bool_]) -> list[int]:
    rows, columns = np.nonzero(area)
    return [int(columns.min()), int(rows.min()), int(np.ptp(columns)) + 1, int(np.ptp(rows)) + 1]


def _shared(one: list[int], two: list[int]) -> float:
    """How much of the first rectangle lies on the second."""
    wide = min(one[0] + one[2], two[0] + two[2]) - max(one[0], two[0])
    high = min(one[1] + one[3], two[1] + two[3]) - max(one[1], two[1])
    return max(0, wide) * max(0, high) / (one[2] * one[3])
