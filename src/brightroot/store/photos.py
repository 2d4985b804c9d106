"""Bytes of a photograph to linear light. Everything that is no plain photograph is refused by name before it is unpacked."""

from __future__ import annotations

import io
import warnings
from collections.abc import Callable
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms, ImageFile, ImageOps, UnidentifiedImageError

from brightroot.base.errors import Refused
from brightroot.base.photo import Light, Photo

MOST_BYTES = 60_000_000
MOST_PIXELS = 120_000_000
MOST_SIDE = 30_000
LEAST_SIDE = 64
WORK_PIXELS = 520_000  # what is read pixel by pixel; more is made smaller by a whole factor
KINDS = {b"\xff\xd8\xff": "JPEG", b"\x89PNG\r\n\x1a\n": "PNG"}
HEIF_BRANDS = (b"heic", b"heix", b"mif1", b"msf1", b"hevc", b"heim", b"heis")
DECODE = "a JPEG, PNG or HEIC photograph that can be opened whole"


def read_photo(content: bytes, *, work_pixels: int = WORK_PIXELS) -> Photo:
    """Decode, upright, to linear sRGB, smaller by a whole factor where it is large.

    Raises Refused for what is truncated, mislabelled, animated, CMYK, one pixel, or larger than a photograph is.
    """
    if not 0 < len(content) <= MOST_BYTES:
        raise _no("at most 60 MB", f"{len(content)} bytes", "refused.photo_size")
    kind = _kind(content)
    image = _opened(content, kind)
    _measured(image)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            return _read(image, kind, work_pixels)
    except Refused:
        raise
    except Exception as fault:  # the decoders raise a dozen kinds of their own
        raise _no(DECODE, f"{kind}, broken: {type(fault).__name__}", "refused.photo_broken") from fault


def _no(wanted: str, got: str, reason: str) -> Refused:
    return Refused(field="photo", wanted=wanted, got=got, reason=reason)


def _kind(content: bytes) -> str:
    """By what the file begins with; its name and label are not asked."""
    for head, kind in KINDS.items():
        if content.startswith(head):
            return kind
    if content[4:8] == b"ftyp" and content[8:12] in HEIF_BRANDS:
        return "HEIF"
    raise _no(DECODE, "a file that begins like none of them", "refused.photo_kind")


def _opened(content: bytes, kind: str) -> Image.Image:
    if kind == "HEIF":
        _heif()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            return Image.open(io.BytesIO(content), formats=(kind,))
    except Image.DecompressionBombError as fault:
        raise _no(f"at most {MOST_PIXELS // 1_000_000} megapixels", "far more", "refused.photo_size") from fault
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, KeyError, EOFError) as fault:
        raise _no(DECODE, f"{kind}, broken: {type(fault).__name__}", "refused.photo_broken") from fault
    except Exception as fault:
        raise _no(DECODE, f"{kind}, broken: {type(fault).__name__}", "refused.photo_broken") from fault


def _heif() -> None:
    try:
        import pillow_heif
    except ImportError as fault:
        raise _no(
            "a JPEG or PNG, or the extra: pip install brightroot[photos]", "HEIC", "refused.photo_heic"
        ) from fault
    register: Callable[[], None] = pillow_heif.register_heif_opener
    register()


def _measured(image: Image.Image) -> None:
    """Sizes and kinds that are told by the head of the file, before anything is unpacked."""
    width, height = image.size
    if width * height > MOST_PIXELS or max(width, height) > MOST_SIDE:
        raise _no(f"at most {MOST_PIXELS // 1_000_000} megapixels", f"{width} × {height}", "refused.photo_size")
    if min(width, height) < LEAST_SIDE:
        raise _no(f"at least {LEAST_SIDE} pixels each way", f"{width} × {height}", "refused.photo_small")
    if image.mode in ("CMYK", "YCCK"):
        raise _no("red, green and blue", "CMYK, which is for printing", "refused.photo_cmyk")
    if image.mode in ("1", "L", "LA", "I", "F") or image.mode.startswith("I;"):
        raise _no("a picture in colour", "shades of grey", "refused.photo_grey")
    # a second picture in a HEIF file is a thumbnail or a burst; in the others it moves
    if image.format != "HEIF" and int(getattr(image, "n_frames", 1)) > 1 and image.format != "MPO":
        raise _no("one picture", f"{getattr(image, 'n_frames', 2)} pictures that move", "refused.photo_animated")


def _read(image: Image.Image, kind: str, work_pixels: int) -> Photo:
    width, height = image.size
    factor = _factor(width * height, work_pixels)
    done = 1
    if kind == "JPEG":
        # the decoder itself leaves out what is not needed: an eighth of the side costs a tenth of the time
        done = max(n for n in (1, 2, 4, 8) if factor % n == 0)
        if done > 1:
            image.draft(None, (width // done, height // done))
            done = max(1, round(width / image.size[0]))
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    image.load()
    turned = int(image.getexif().get(0x0112, 1) or 1)
    profile = image.info.get("icc_profile")
    upright = ImageOps.exif_transpose(image) if 2 <= turned <= 8 else image
    size = (height, width) if 5 <= turned <= 8 else (width, height)
    # means of whole blocks; a rest at the right and lower edge that fills no block is left out
    left, whole = factor // done, (size[0] // factor, size[1] // factor)
    small = upright.reduce(left) if left > 1 else upright
    small = small.crop((0, 0, *whole)) if small.size != whole else small
    samples, notes = _samples(small, profile)
    return Photo(samples, *size, factor=factor, kind=kind, notes=notes)


def _factor(pixels: int, work_pixels: int) -> int:
    """The least whole factor that brings a photograph to the working size; for large ones an even one.

    >>> _factor(12_000_000, 520_000), _factor(300_000, 520_000), _factor(2_000_000, 520_000)
    (8, 1, 2)
    """
    least = int(np.ceil(np.sqrt(pixels / work_pixels)))
    return least if least <= 2 else next(n for n in (4, 8, 16, 24) if n >= least)


def _samples(image: Image.Image, profile: bytes | None) -> tuple[Light, tuple[str, ...]]:
    """Linear light, and notes on what was done to get it."""
    notes: tuple[str, ...] = ()
    if image.mode != "RGB":
        image = image.convert("RGB")
    if profile:
        image, told = _as_srgb(image, profile)
        notes = (told,)
    light: Light = _table()[np.asarray(image, dtype=np.uint8)]
    return light, notes


def _as_srgb(image: Image.Image, profile: bytes) -> tuple[Image.Image, str]:
    """A profile that names another colour space is obeyed; one that cannot be read is left aside and noted."""
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        if "srgb" in (ImageCms.getProfileDescription(source) or "").lower():
            return image, "srgb_profile"
        changed = ImageCms.profileToProfile(
            image, source, ImageCms.createProfile("sRGB"), ImageCms.Intent.RELATIVE_COLORIMETRIC, outputMode="RGB"
        )
        return (changed or image), "other_profile"
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return image, "bad_profile"


@lru_cache(maxsize=1)
def _table() -> Light:
    return _linear(np.arange(256, dtype=np.float32) / np.float32(255.0))


def _linear(value: NDArray[Any]) -> Light:
    """The sRGB curve undone."""
    light: Light = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4).astype(np.float32)
    return light


def preview(content: bytes, *, longest: int = 1600) -> bytes:
    """An upright JPEG to look at and tap on. Raises Refused as `read_photo` does."""
    photo = read_photo(content, work_pixels=1_200_000)
    return _stored(_coded(photo.light_1), "JPEG", longest)


def overlay(photo: Photo, classes: NDArray[np.uint8], zone: NDArray[np.bool_]) -> bytes:
    """The photograph in greys with each class hatched in its own way and edged, so that it needs no colour to be read.

    Silver is left plain; straw is dotted, purple or beyond hatched, scale cross-hatched.
    """
    grey = _coded(photo.light_1) @ np.array([0.3, 0.5, 0.2], np.float32)
    side = max(2, int(np.sqrt(grey.size) / 90))
    y, x = np.mgrid[: grey.shape[0], : grey.shape[1]]
    rising, falling = (x + y) % (3 * side) < side, (x - y) % (3 * side) < side
    dots = (x % (3 * side) < side) & (y % (3 * side) < side)
    shown = np.where(zone, 60 + 0.75 * grey, 150 + 0.4 * grey)
    shown = np.where(zone & (classes == 1) & dots, 30, shown)
    shown = np.where(zone & (classes == 2) & rising, 0, shown)
    shown = np.where(zone & (classes == 3) & (rising | falling), 0, shown)
    where = np.where(zone, classes.astype(np.int16), 9)
    edge = np.zeros(where.shape, bool)
    edge[:, 1:] |= where[:, 1:] != where[:, :-1]
    edge[1:] |= where[1:] != where[:-1]
    shown = np.where(edge, 0, shown)
    return _stored(np.clip(shown, 0, 255).astype(np.float32), "PNG", 1000)


def _coded(light: Light) -> Light:
    """Linear light to the eight-bit sRGB curve, as floats from 0 to 255."""
    low = light <= 0.0031308
    coded: Light = np.where(low, 12.92 * light, 1.055 * np.maximum(light, 1e-6) ** (1 / 2.4) - 0.055).astype(np.float32)
    return np.clip(coded * 255, 0, 255)


def _stored(picture: Light, kind: str, longest: int) -> bytes:
    image = Image.fromarray(picture.astype(np.uint8))
    image.thumbnail((longest, longest))
    kept = io.BytesIO()
    if kind == "PNG":
        image.quantize(32).save(kept, kind, optimize=False)
    else:
        image.save(kept, kind, quality=85)
    return kept.getvalue()
