"""The three themes, measured: contrast by the WCAG 2 formula from the tokens themselves."""

import colorsys
import re
from pathlib import Path

import pytest

import brightroot
from brightroot.render.draw.palette import PALETTES

CSS = (Path(brightroot.__file__).parent / "web" / "static" / "style.css").read_text(encoding="utf-8")
THEMES = ("hall", "hood", "sun")
AA, AAA, SHAPE = 4.5, 7.0, 3.0  # WCAG 2: 1.4.3, 1.4.6, 1.4.11


def block(selector):
    found = re.search(re.escape(selector) + r"\s*\{(.*?)\}", CSS, re.S)
    assert found, selector
    return dict(re.findall(r"--([\w-]+):\s*([^;]+);", found[1]))


def tokens(theme):
    hall = block(":root")
    return hall if theme == "hall" else hall | block(f'[data-theme="{theme}"]')


def colour(theme, name):
    value = tokens(theme)[name].strip()
    inner = re.fullmatch(r"var\(--([\w-]+)\)", value)
    return colour(theme, inner[1]) if inner else value


def luminance(hexed):
    digits = hexed.lstrip("#")
    digits = "".join(c * 2 for c in digits) if len(digits) == 3 else digits
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_measure_is_the_published_one():
    assert contrast("#000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#fff") == pytest.approx(4.48, abs=0.005)  # the well known grey that just fails AA
    assert contrast("#767676", "#fff") == pytest.approx(4.54, abs=0.005)  # and the one that just passes


@pytest.mark.parametrize("ground", ["paper", "wash"])
@pytest.mark.parametrize("theme", THEMES)
def test_every_word_is_readable(theme, ground):
    least = AA if theme == "hall" else AAA
    words = {"ink": least, "value": least, "ink-soft": AA, "gas": AA, "heat": AA}
    found = {name: contrast(colour(theme, name), colour(theme, ground)) for name in words}
    assert {name: ratio for name, ratio in found.items() if ratio < words[name]} == {}


@pytest.mark.parametrize("theme", THEMES)
def test_lines_and_focus_are_seen(theme):
    """A field's frame, a planned run's edge and the focus ring carry meaning without words."""
    found = {name: contrast(colour(theme, name), colour(theme, "paper")) for name in ("line", "focus", "gas", "heat")}
    assert {name: ratio for name, ratio in found.items() if ratio < SHAPE} == {}


def test_the_hood_never_flashes_and_the_sun_never_greys():
    assert luminance(colour("hood", "paper")) < 0.01 and luminance(colour("hood", "wash")) < 0.02
    assert contrast(colour("sun", "ink"), colour("sun", "paper")) == pytest.approx(21)
    assert "color-scheme: dark" in CSS.split('[data-theme="hood"]')[1].split("}")[0]


def test_no_traffic_light():
    """No hue between yellow-green and cyan anywhere, and no pure red: state is shape and word."""
    hexes = set(re.findall(r"#(?:[0-9a-fA-F]{6}|[0-9a-fA-F]{3})\b", CSS))
    assert hexes
    assert [h for h in sorted(hexes) if _hue_named(h) in ("green", "red")] == []


def _hue_named(hexed):
    digits = hexed.lstrip("#")
    digits = "".join(c * 2 for c in digits) if len(digits) == 3 else digits
    red, green, blue = (int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4))
    hue, saturation, _ = colorsys.rgb_to_hsv(red, green, blue)
    if saturation < 0.3:
        return "neutral"
    return "green" if 80 < hue * 360 < 170 else "red" if not 15 < hue * 360 < 345 else "other"


def test_drawings_take_the_themes_colours_by_the_names_the_sheet_gives():
    asked = set(re.findall(r"var\(--([\w-]+),", repr(PALETTES["page"])))
    assert {"ink", "paper", "gas", "heat"} <= asked <= set(block(":root"))
