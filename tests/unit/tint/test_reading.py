"""A photograph of tint read: a drawn pipe with bands of known film, and everything that is not read."""

import numpy as np
import pytest

from brightroot.app.look import look_at, table_of
from brightroot.base.errors import Refused
from brightroot.base.photo import Box, Photo, box_of
from brightroot.library.load import load_library
from brightroot.physics.tint.reading.colours import prior
from brightroot.physics.tint.reading.order import steps, unwrapped
from brightroot.physics.tint.table import linear_rgb_table
from brightroot.store.tint_ways import tint_ways

ROWS, COLUMNS = 240, 360
BASE, WELD, CARD = "10,100,40,40", "90,0,180,240", "312,20,30,30"


def colour_of(film_nm):
    """Linear channels of films on the reference pair in daylight, a perfect white 1."""
    optics = load_library().optics
    return linear_rgb_table(
        substrate=optics.substrate("Ti/Johnson").at(), film=optics.film("TiO2/Siefke").at(),
        illuminant=optics.light("D65").table(), observer=optics.observer.table(), thickness_nm=film_nm, relative=False,
    )  # fmt: skip


def drawn(profile_nm, *, light=(1.0, 1.0, 1.0), level=0.45, ripples=0.12, seed=1):
    """A flat weld, film given across it, ripples on the bead, a grey card; no camera but the observer."""
    rng = np.random.default_rng(seed)
    film = np.broadcast_to(np.asarray(profile_nm, float), (ROWS, COLUMNS))
    grid = np.arange(0.0, 200.0, 1.0)
    table = np.maximum(colour_of(grid), 0)
    seen = np.stack([np.interp(film, grid, table[:, c]) for c in range(3)], axis=-1)
    y, x = np.mgrid[:ROWS, :COLUMNS]
    bead = np.exp(-(((x - COLUMNS / 2) / 28.0) ** 4))
    relief = np.exp(
        bead * ripples * np.sin(y * 1.1 + 0.002 * (x - COLUMNS / 2) ** 2) + rng.normal(0, 0.012, (ROWS, COLUMNS))
    )
    picture = seen * relief[..., None] * level / 0.55
    picture[14:56, 306:348] = 0.30
    picture *= np.asarray(light)
    return Photo(np.clip(picture, 0, 1).astype(np.float32), COLUMNS, ROWS, 1, "PNG")


def hump(top_nm, wide=60.0):
    x = np.arange(COLUMNS)
    return 1.5 + (top_nm - 1.5) * np.exp(-(((x - COLUMNS / 2) / wide) ** 4))


def look(photo, **told):
    return look_at(photo, {"base": BASE, "card": CARD, "weld": WELD, **told}, tint_ways())


@pytest.mark.parametrize(("top_nm", "worst"), [(1.5, 0), (22.0, 1), (50.0, 2), (104.0, 2)])
def test_the_worst_class_is_found(top_nm, worst):
    answer = look(drawn(hump(top_nm))).plain()
    assert answer["answer"] == "read", answer["reasons"]
    assert answer["worst_class4"] == worst
    assert sum(answer["fraction4"]) == pytest.approx(1.0, abs=1e-3)


def test_second_yellow_is_not_called_straw():
    """Its colour is straw's; the way to it from clean metal leads through purple and blue."""
    looked = look(drawn(hump(108.0)))
    middle = looked.reading.field.nm[:, COLUMNS // 2 - 15 : COLUMNS // 2 + 15]
    assert 85 < np.median(middle) < 135
    assert looked.plain()["fine_classes"]["second yellow"] > 0.2


def test_film_is_read_to_a_few_nanometres():
    profile = hump(45.0)
    field = look(drawn(profile)).reading.field
    off = np.abs(field.nm[:, 95:265] - profile[None, 95:265])
    assert np.median(off) < 3.0


def test_the_map_has_what_was_promised():
    maps = look(drawn(hump(22.0))).maps()
    assert {name: part.dtype.name for name, part in maps.items()} == {
        "equiv_thickness_nm": "float32", "class4": "uint8", "low_nm": "float32", "high_nm": "float32", "weldzone": "bool",
    }  # fmt: skip
    zone = maps["weldzone"]
    assert (maps["low_nm"][zone] <= maps["equiv_thickness_nm"][zone] + 1e-3).all()
    assert (maps["equiv_thickness_nm"][zone] <= maps["high_nm"][zone] + 1e-3).all()


@pytest.mark.parametrize(
    ("photo", "told", "reason"),
    [
        ({}, {"base": "", "card": ""}, "no_reference"),
        ({}, {"surface": "cleaned"}, "cleaned_declared"),
        ({}, {"metal": "zirconium"}, "metal_not_defended"),
        ({}, {"base": "340,100,40,40"}, "base_off_picture"),
        ({}, {"base": "150,100,40,40"}, "base_on_weld"),
        ({}, {"card": "150,100,40,40"}, "card_on_weld"),
        ({}, {"weld": "90,0,180,300"}, "weld_off_picture"),
        ({"light": (1.0, 0.4, 0.2)}, {}, "coloured_light"),
        ({"level": 0.012}, {}, "dark"),
        ({"level": 3.0}, {}, "clipped"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_reason(photo, told, reason):
    answer = look(drawn(hump(22.0), **photo), **told).plain()
    assert answer["answer"] == "refused"
    assert reason in answer["reasons"]
    assert "worst_class4" not in answer


def test_a_blurred_photograph_is_refused():
    from scipy.ndimage import gaussian_filter

    photo = drawn(hump(22.0))
    soft = gaussian_filter(photo.light_1, (9, 9, 0)).astype(np.float32)
    assert "blurred" in look(Photo(soft, COLUMNS, ROWS, 1, "PNG")).reading.reasons


def test_base_metal_that_is_tinted_itself_is_refused():
    answer = look(drawn(np.full(COLUMNS, 25.0))).plain()
    assert "base_tinted" in answer["reasons"]


def test_a_path_settles_what_a_colour_leaves_open():
    """Two levels fit the middle alike; its neighbours have only one of them."""
    table = table_of(tint_ways())
    levels = table.levels_nm
    fits = np.full((1, 5, len(levels)), 1e-4, np.float32)
    low, high = int(np.argmin(abs(levels - 12))), int(np.argmin(abs(levels - 108)))
    fits[0, :, low] = 1.0
    fits[0, 2, high] = 1.0
    fits /= fits.sum(axis=2, keepdims=True)
    settled = unwrapped(fits, steps(levels, prior(table)))
    assert settled[0, 2, low] > 20 * settled[0, 2, high]


@pytest.mark.parametrize("told", ["1,2,3", "a,b,c,d", "1,2,0,4", "-1,2,3,4", "1,2,3,inf", "1,2,nan,4"])
def test_a_rectangle_that_is_none_is_refused(told):
    with pytest.raises(Refused) as refused:
        box_of("base", told)
    assert refused.value.field == "base"


def test_boxes_share():
    assert Box(0, 0, 10, 10).shares_with(Box(20, 20, 5, 5)) == 0.0


def test_the_packed_table_is_the_one_that_its_program_draws():
    from benchmarks.tint_ways import SEED, table

    few = table(ways=18, seed=SEED)
    again = table(ways=18, seed=SEED)
    assert np.allclose(few.mean, again.mean)
    shipped = table_of(tint_ways())
    assert shipped.mean.shape == few.mean.shape
    # a handful of ways lies within what the shipped table spans
    spread = np.sqrt((shipped.directions**2).sum(axis=0))
    assert (np.abs(few.mean - shipped.mean) < 4 * spread + 0.05).all()


def test_scale_needs_the_light_to_move():
    """A matt patch on blue keeps its brightness where the metal about it grows darker."""
    rng = np.random.default_rng(4)
    first, second = (drawn(hump(52.0), seed=n).light_1.copy() for n in (1, 2))
    second[:] = second * 0.6
    second[14:56, 306:348] = first[14:56, 306:348]
    for picture in (first, second):
        picture[100:140, 160:200] = 0.22 + rng.normal(0, 0.004, (40, 40, 1))
    photos = [Photo(part.astype(np.float32), COLUMNS, ROWS, 1, "PNG") for part in (first, second)]
    told = {"base": BASE, "card": CARD, "weld": WELD}
    alone = look_at(photos[0], told, tint_ways()).reading.verdict
    both = look_at(photos[0], told, tint_ways(), second=photos[1]).reading.verdict
    assert (alone.classes == 3).sum() == 0
    assert (both.classes[104:136, 164:196] == 3).mean() > 0.5
    assert (both.classes[:, :150] == 3).mean() < 0.01
