"""Pictures made for tests: every orientation a camera writes, every format, and bad ones."""

from __future__ import annotations

import io

import pillow_heif
from PIL import Image
from PIL.ExifTags import GPS, IFD, Base

RED, GREEN, BLUE, WHITE = (220, 30, 30), (30, 180, 60), (40, 60, 220), (245, 245, 245)
#: What somebody sees: red top left, green top right, blue bottom left, white bottom right; wider than high.
WIDE, HIGH = 240, 160
#: Orientation -> how a camera held that way has stored the picture.
_STORED = {
    1: (),
    2: (Image.Transpose.FLIP_LEFT_RIGHT,),
    3: (Image.Transpose.ROTATE_180,),
    4: (Image.Transpose.FLIP_TOP_BOTTOM,),
    5: (Image.Transpose.TRANSPOSE,),
    6: (Image.Transpose.ROTATE_90,),
    7: (Image.Transpose.TRANSVERSE,),
    8: (Image.Transpose.ROTATE_270,),
}


def scene() -> Image.Image:
    """Return the picture as it should be looked at."""
    image = Image.new("RGB", (WIDE, HIGH), RED)
    image.paste(GREEN, (WIDE // 2, 0, WIDE, HIGH // 2))
    image.paste(BLUE, (0, HIGH // 2, WIDE // 2, HIGH))
    image.paste(WHITE, (WIDE // 2, HIGH // 2, WIDE, HIGH))
    return image


def exif(orientation: int) -> Image.Exif:
    """Return what a camera writes beside the picture: which way up, which camera, where it was."""
    tags = Image.Exif()
    tags[Base.Orientation] = orientation
    tags[Base.Make] = "Lanternworks"
    tags[Base.DateTime] = "2026:05:04 10:00:00"
    place = tags.get_ifd(IFD.GPSInfo)
    place[GPS.GPSLatitudeRef], place[GPS.GPSLatitude] = "N", (44.0, 28.0, 33.0)
    place[GPS.GPSLongitudeRef], place[GPS.GPSLongitude] = "W", (72.0, 41.0, 12.0)
    return tags


def photo(kind: str = "JPEG", orientation: int = 1, *, larger: int = 1) -> bytes:
    """Return a photo as a camera held some way would send it."""
    image = scene().resize((WIDE * larger, HIGH * larger), Image.Resampling.NEAREST)
    for turn in _STORED[orientation]:
        image = image.transpose(turn)
    out = io.BytesIO()
    if kind == "HEIF":
        pillow_heif.register_heif_opener()
        image.save(out, "HEIF", quality=95, exif=exif(orientation).tobytes())
    else:
        image.save(out, kind, exif=exif(orientation).tobytes())
    return out.getvalue()


def corners(content: bytes) -> list[str]:
    """Return which colours stand in the corners: top left, top right, bottom left, bottom right."""
    image = Image.open(io.BytesIO(content)).convert("RGB")
    wide, high = image.size
    spots = [(wide // 8, high // 8), (wide - wide // 8, high // 8), (wide // 8, high - high // 8)]
    spots.append((wide - wide // 8, high - high // 8))
    names = {"red": RED, "green": GREEN, "blue": BLUE, "white": WHITE}
    seen = [image.getpixel(spot) for spot in spots]
    return [
        min(names, key=lambda name: sum(abs(a - b) for a, b in zip(names[name], pixel, strict=True)))
        for pixel in seen
    ]
