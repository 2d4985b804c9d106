"""Files that are no plain photograph: two dozen ways of being broken, drawn from a seed."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Callable
from functools import cache

import numpy as np
from PIL import Image

Rng = np.random.Generator
SIDE = 160


@cache
def _picture(kind: str, mode: str = "RGB", side: int = SIDE) -> bytes:
    y, x = np.mgrid[0:side, 0:side].astype(float)
    grain = 1 + 0.10 * np.random.default_rng(0).standard_normal((side, side))
    band = (np.abs(x - side / 2) < side / 8)[..., None]  # a straw weld with ripples on grey metal
    pixels = np.where(band, (168.0, 140.0, 92.0), (150.0, 147.0, 143.0)) * grain[..., None]
    pixels = pixels * np.where(band, 1 + 0.15 * np.sin(y / 2)[..., None], 1.0)
    image = Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8)).convert(mode)
    out = io.BytesIO()
    image.save(out, kind, **({"quality": 85} if kind == "JPEG" else {}))
    return out.getvalue()


def _base(rng: Rng) -> bytes:
    return _picture(str(rng.choice(("JPEG", "PNG"))))


def truncated(rng: Rng) -> bytes:
    """Cut off anywhere."""
    whole = _base(rng)
    return whole[: int(rng.integers(0, len(whole)))]


def flipped(rng: Rng) -> bytes:
    """A few bytes changed anywhere."""
    whole = bytearray(_base(rng))
    for _ in range(int(rng.integers(1, 40))):
        whole[int(rng.integers(0, len(whole)))] = int(rng.integers(0, 256))
    return bytes(whole)


def head_flipped(rng: Rng) -> bytes:
    """The first hundreds of bytes changed."""
    whole = bytearray(_base(rng))
    for _ in range(int(rng.integers(1, 12))):
        whole[int(rng.integers(2, min(640, len(whole))))] = int(rng.integers(0, 256))
    return bytes(whole)


def piece_moved(rng: Rng) -> bytes:
    """A piece cut out, doubled, or put elsewhere."""
    whole = _base(rng)
    a, b = sorted(int(v) for v in rng.integers(0, len(whole), 2))
    c = int(rng.integers(0, len(whole)))
    return (whole[:a] + whole[b:], whole[:b] + whole[a:], whole[:c] + whole[a:b] + whole[c:])[int(rng.integers(3))]


def noise(rng: Rng) -> bytes:
    """Noise, with or without the first bytes of a picture."""
    heads = (
        b"",
        b"\xff\xd8\xff\xe0",
        b"\x89PNG\r\n\x1a\n",
        b"\x00\x00\x00\x18ftypheic",
        b"GIF89a",
        b"RIFF\0\0\0\0WEBP",
    )
    return heads[int(rng.integers(len(heads)))] + rng.bytes(int(rng.integers(0, 5000)))


def few_pixels(rng: Rng) -> bytes:
    """One pixel, or one row or column of them."""
    size = ((1, 1), (1, int(rng.integers(2, 5000))), (int(rng.integers(2, 5000)), 1), (2, 2))[int(rng.integers(4))]
    out = io.BytesIO()
    Image.new("RGB", size, (200, 180, 160)).save(out, str(rng.choice(("JPEG", "PNG"))))
    return out.getvalue()


def huge_head(rng: Rng) -> bytes:
    """A head that promises 200 megapixels and more over a small body."""
    wide, high = int(rng.integers(10_000, 65_536)), int(rng.integers(12_000, 65_536))
    if rng.uniform() < 0.5:
        whole = bytearray(_picture("JPEG"))
        at = whole.index(b"\xff\xc0")
        whole[at + 5 : at + 9] = struct.pack(">HH", high, wide)
        return bytes(whole)
    factor = int(rng.choice((1, 1, 1000, 32000)))
    head = struct.pack(">IIBBBBB", min(wide * factor, 2**31 - 1), min(high * factor, 2**31 - 1), 8, 2, 0, 0, 0)
    whole_png = _picture("PNG")
    return whole_png[:8] + _chunk(b"IHDR", head) + whole_png[33:]


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


@cache
def _zeros(megabytes: int) -> bytes:
    packer = zlib.compressobj(9)
    parts = [packer.compress(bytes(1 << 20)) for _ in range(megabytes)]
    return b"".join(parts) + packer.flush()


def bomb(rng: Rng) -> bytes:
    """A small file that unpacks to hundreds of megabytes: pixels, text, colour profile."""
    kind = int(rng.integers(4))
    whole = _picture("PNG")
    if kind == 0:  # pixels, honest head
        wide, high = ((14_000, 14_000), (10_900, 10_900), (29_000, 4_000))[int(rng.integers(3))]
        head = struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0)
        return whole[:8] + _chunk(b"IHDR", head) + _chunk(b"IDAT", _zeros(360)) + _chunk(b"IEND", b"")
    if kind == 1:  # far more pixels than the head says
        return whole[:33] + _chunk(b"IDAT", _zeros(360)) + _chunk(b"IEND", b"")
    if kind == 2:
        return whole[:33] + b"".join(_chunk(b"zTXt", b"a\0\0" + _zeros(90)) for _ in range(4)) + whole[33:]
    return whole[:33] + _chunk(b"iCCP", b"p\0\0" + _zeros(90)) + whole[33:]


def other_mode(rng: Rng) -> bytes:
    """CMYK, greys, palettes, one bit, see-through, 16 bits."""
    kind = int(rng.integers(8))
    if kind < 2:
        return _picture("JPEG", ("CMYK", "L")[kind])
    if kind < 6:
        return _picture("PNG", ("L", "P", "1", "RGBA")[kind - 2])
    if kind == 6:
        out = io.BytesIO()
        Image.fromarray(rng.integers(0, 65_535, (SIDE, SIDE), dtype=np.uint16)).save(out, "PNG")
        return out.getvalue()
    body = b"".join(b"\0" + rng.bytes(SIDE * 6) for _ in range(SIDE))  # 16 bits a colour
    head = struct.pack(">IIBBBBB", SIDE, SIDE, 16, 2, 0, 0, 0)
    return _picture("PNG")[:8] + _chunk(b"IHDR", head) + _chunk(b"IDAT", zlib.compress(body)) + _chunk(b"IEND", b"")


def animated(rng: Rng) -> bytes:
    """Pictures that move, or several in one file."""
    frames = [Image.new("RGB", (SIDE, SIDE), (k * 40 % 255, 90, 120)) for k in range(int(rng.integers(2, 6)))]
    kind = str(rng.choice(("PNG", "GIF", "WEBP", "TIFF", "MPO")))
    out = io.BytesIO()
    frames[0].save(out, kind, save_all=True, append_images=frames[1:])
    return out.getvalue()


def mislabelled(rng: Rng) -> bytes:
    """Another kind of file under a photograph's name."""
    kind = str(rng.choice(("BMP", "GIF", "TIFF", "WEBP", "PPM", "PDF", "ICO", "text", "zip", "svg", "html")))
    written = {
        "text": b"a photograph\n" * 9, "zip": b"PK\x03\x04" + rng.bytes(300), "svg": b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        "html": b"<!doctype html><script>1</script>",
    }  # fmt: skip
    body = written.get(kind) or _picture(kind)
    return (b"\xff\xd8\xff" + body) if rng.uniform() < 0.2 else body


def exif_lies(rng: Rng) -> bytes:
    """EXIF with impossible turns, sizes, offsets that run in circles, or noise."""
    kind = int(rng.integers(5))
    tag = Image.Exif()
    image = Image.open(io.BytesIO(_picture("JPEG")))
    image.load()
    out = io.BytesIO()
    if kind == 0:
        tag[0x0112] = int(rng.choice((0, 2, 4, 5, 6, 7, 8, 9, 99, 65_535)))
        image.save(out, "JPEG", exif=tag)
    elif kind == 1:
        tag[0x0112], tag[0x0100], tag[0x0101] = 6, 1, int(rng.integers(0, 2**31))
        image.save(out, "JPEG", exif=tag)
    elif kind == 2:
        tag[0x010F], tag[0x0132] = "\0\x07'\"<b>{}" * 50, "9999:99:99 99:99:99"
        image.save(out, "JPEG", exif=tag)
    elif kind == 3:  # a directory that points at itself, or far away
        entry = struct.pack("<HHII", 0x8769, 4, 1, int(rng.choice((8, 0, 2**32 - 1, 70_000))))
        turn = struct.pack(
            "<HHII", 0x0112, int(rng.integers(0, 14)), int(rng.choice((1, 2**30))), int(rng.integers(0, 2**32))
        )
        image.save(out, "JPEG", exif=b"Exif\0\0II*\0\x08\0\0\0\x02\0" + turn + entry + struct.pack("<I", 8))
    else:
        image.save(out, "JPEG", exif=b"Exif\0\0" + rng.bytes(int(rng.integers(1, 3000))))
    return out.getvalue()


def profile_lies(rng: Rng) -> bytes:
    """A colour profile that is noise, cut off, or of another kind of colour."""
    from PIL import ImageCms

    whole = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    moved = bytearray(whole)
    for _ in range(20):
        moved[int(rng.integers(0, len(moved)))] = int(rng.integers(0, 256))
    choices = (rng.bytes(400), whole[: int(rng.integers(1, len(whole)))], lab, bytes(moved), b"")
    image = Image.open(io.BytesIO(_base(rng)))
    image.load()
    out = io.BytesIO()
    image.save(out, str(rng.choice(("JPEG", "PNG"))), icc_profile=choices[int(rng.integers(5))])
    return out.getvalue()


def many_scans(rng: Rng) -> bytes:
    """A progressive JPEG whose scans are repeated, hundreds of times."""
    image = Image.open(io.BytesIO(_picture("PNG")))
    out = io.BytesIO()
    image.save(out, "JPEG", progressive=True)
    whole = out.getvalue()
    at = whole.rindex(b"\xff\xda")
    return whole[:at] + whole[at:-2] * int(rng.integers(2, 400)) + whole[-2:]


def heif(rng: Rng) -> bytes:
    """HEIC, whole or broken."""
    import pillow_heif

    out = io.BytesIO()
    pillow_heif.from_pillow(Image.open(io.BytesIO(_picture("PNG", "RGB", 96)))).save(out, quality=80)
    whole = bytearray(out.getvalue())
    if rng.uniform() < 0.4:
        return bytes(whole[: int(rng.integers(8, len(whole)))])
    for _ in range(int(rng.integers(0, 12))):
        whole[int(rng.integers(4, len(whole)))] = int(rng.integers(0, 256))
    return bytes(whole)


def plain(rng: Rng) -> bytes:
    """A whole photograph: what is mutated is where it is said to have been tapped."""
    return _base(rng)


KINDS: tuple[Callable[[Rng], bytes], ...] = (
    truncated, flipped, head_flipped, piece_moved, noise, few_pixels, huge_head, bomb, other_mode, animated, mislabelled,
    exif_lies, profile_lies, many_scans, heif, plain,
)  # fmt: skip
BOXES = (
    "20,20,30,30", "", "0,0,160,160", "-5,3,10,10", "150,150,60,60", "1e9,1e9,3,3", "nan,1,2,3", "1,2,3", "inf,0,9,9", "5,5,0,0",
    "5,5,1e-9,1e-9", "abc", "1,2,3,4,5", "70,10,20,140", "159,159,1,1", "0,0,1e300,1e300",
)  # fmt: skip


def mutant(seed: int, index: int) -> tuple[str, bytes, dict[str, str]]:
    """Kind, file, and where base, card and weld were tapped. Most of the time the taps are sound."""
    rng = np.random.default_rng([seed, index])
    make = KINDS[index % len(KINDS)]
    content = make(rng)
    taps = {"base": "5,5,30,30", "card": "", "weld": "60,10,40,140"}
    if make is plain or rng.uniform() < 0.2:
        taps = {name: str(rng.choice(BOXES)) for name in taps}
    return make.__name__, content, taps
