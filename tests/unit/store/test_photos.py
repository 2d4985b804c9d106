"""Photographs: what is decoded and how, and what is refused by name before it is unpacked."""

import io

import numpy as np
import pytest
from PIL import Image

from brightroot.base.errors import Refused
from brightroot.store.photos import read_photo


def stored(picture, kind="PNG", **how):
    kept = io.BytesIO()
    picture.save(kept, kind, **how)
    return kept.getvalue()


def ramp(width=120, height=90):
    x = np.linspace(0, 255, width)
    return Image.fromarray(np.stack([np.tile(x, (height, 1))] * 3, -1).astype(np.uint8))


def test_a_photograph_becomes_linear_light():
    photo = read_photo(stored(Image.new("RGB", (100, 80), (188, 188, 188))))
    assert photo.light_1.shape == (80, 100, 3)
    assert photo.light_1.mean() == pytest.approx(0.5029, abs=1e-3)  # IEC 61966-2-1 at 188


def test_a_photograph_taken_upright_lies_upright():
    exif = Image.Exif()
    exif[0x0112] = 6
    photo = read_photo(stored(ramp(), "JPEG", exif=exif, quality=95))
    assert (photo.width_px, photo.height_px) == (90, 120)
    assert photo.light_1[5].mean() < photo.light_1[-5].mean()


def test_a_large_photograph_is_made_smaller_by_a_whole_factor():
    photo = read_photo(stored(ramp(2000, 1504), "JPEG"))
    assert photo.factor == 4
    assert photo.light_1.shape == (376, 500, 3)
    assert (photo.width_px, photo.height_px) == (2000, 1504)


def test_sixteen_bits_are_read():
    import struct
    import zlib

    row = b"\x00" + struct.pack(">HHH", 48316, 48316, 48316) * 70

    def block(name, content):
        return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))

    head = struct.pack(">IIBBBBB", 70, 70, 16, 2, 0, 0, 0)
    png = b"\x89PNG\r\n\x1a\n" + block(b"IHDR", head) + block(b"IDAT", zlib.compress(row * 70)) + block(b"IEND", b"")
    assert read_photo(png).light_1.mean() == pytest.approx(0.503, abs=0.01)


def test_heic_is_read_where_its_extra_is_there():
    heif = pytest.importorskip("pillow_heif")
    kept = io.BytesIO()
    heif.from_pillow(ramp(128, 96)).save(kept)
    assert read_photo(kept.getvalue()).kind == "HEIF"


def grain():
    return Image.fromarray(np.random.default_rng(3).integers(0, 255, (90, 120, 3), dtype=np.uint8))


def moving():
    frames = [Image.new("RGB", (80, 80), colour) for colour in ("red", "blue")]
    return stored(frames[0], "PNG", save_all=True, append_images=frames[1:])


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", "photo_size"),
        (b"GIF89a" + bytes(200), "photo_kind"),
        (b"<svg/>" * 40, "photo_kind"),
        (stored(Image.new("RGB", (1, 1))), "photo_small"),
        (stored(Image.new("CMYK", (90, 90)), "JPEG"), "photo_cmyk"),
        (stored(Image.new("L", (90, 90))), "photo_grey"),
        (stored(ramp(), "JPEG")[:900], "photo_broken"),
        (stored(grain())[:4000], "photo_broken"),
        (b"\xff\xd8\xff" + stored(ramp()), "photo_broken"),
        (moving(), "photo_animated"),
    ],
)
def test_what_is_no_plain_photograph_is_refused_by_name(content, reason):
    with pytest.raises(Refused) as told:
        read_photo(content)
    assert told.value.reason == f"refused.{reason}"
    assert told.value.field == "photo"


def test_broken_files_are_refused_and_nothing_else_happens():
    rng = np.random.default_rng(5)
    whole = [stored(ramp(), "JPEG"), stored(ramp())]
    for n in range(60):
        content = bytearray(whole[n % 2])
        for at in rng.integers(0, len(content), 12):
            content[at] = int(rng.integers(0, 256))
        try:
            read_photo(bytes(content[: int(rng.integers(20, len(content) + 1))]))
        except Refused as refused:
            assert refused.field == "photo"


def test_more_pixels_than_a_photograph_has_are_refused_before_they_are_unpacked(monkeypatch):
    monkeypatch.setattr("brightroot.store.photos.MOST_PIXELS", 5_000)
    monkeypatch.setattr(Image.Image, "load", lambda image: pytest.fail("unpacked"))
    with pytest.raises(Refused) as told:
        read_photo(stored_ramp)
    assert told.value.reason == "refused.photo_size"


stored_ramp = stored(ramp())
