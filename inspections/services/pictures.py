"""Pictures by their content: what they are, how large, and smaller copies the right way up."""

from __future__ import annotations

import io
import math
import struct
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache

import pillow_heif
from PIL import Image, ImageFile, UnidentifiedImageError

from inspections.errors import InspectionsError

#: Formats by what the bytes say, never by the file's name -> extension and media type.
FORMATS = {
    "JPEG": ("jpg", "image/jpeg"),
    "MPO": ("jpg", "image/jpeg"),
    "PNG": ("png", "image/png"),
    "WEBP": ("webp", "image/webp"),
    "HEIF": ("heic", "image/heic"),
}
MEDIA_TYPES = dict(FORMATS.values())
#: A JPEG of several pictures opens as JPEG and says MPO of itself.
_OPENED_AS = ("JPEG", "PNG", "WEBP", "HEIF")
#: More pixels than any tablet's camera makes; a small file may still unpack to a huge picture.
MOST_PIXELS = 100_000_000
LEAST_SIDE = 16
#: Orientation as a camera writes it -> what turns the picture upright; those from 5 on lie on their side.
_UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_FIRST_ON_ITS_SIDE = 5
_ORIENTATION = 0x0112
#: What reading a damaged picture may end in.
BROKEN = (ArithmeticError, EOFError, LookupError, OSError, SyntaxError, TypeError, ValueError, struct.error)
_SWITCH = threading.Lock()


@dataclass(frozen=True)
class Picture:
    """What a picture's bytes say of it; width and height as it is looked at."""

    extension: str
    width: int
    height: int


def picture_look(content: bytes) -> Picture:
    """Say what a picture is; refuse what is no picture, broken, or too large to unpack."""
    with _whole_only(), _opened(content) as image:
        width, height = image.size
        if width * height > MOST_PIXELS:
            raise InspectionsError(
                "photo_too_many_pixels",
                f"The photo has {width} x {height} pixels, too many to unpack. Set the camera to a smaller"
                " picture and take it again.",
            )
        if min(width, height) < LEAST_SIDE:
            raise InspectionsError(
                "photo_too_small", "The photo shows nothing: it is too small. Take it again."
            )
        extension = FORMATS[image.format or ""][0]
        _unpack_quickly(image)
        on_its_side = _orientation(image) >= _FIRST_ON_ITS_SIDE
    return Picture(extension, *((height, width) if on_its_side else (width, height)))


def picture_copy(content: bytes, *, longest: int, quality: int) -> bytes:
    """Return a JPEG copy turned upright, no side longer than `longest`, without place, time or camera."""
    with _opened(content) as image:
        # A camera's JPEG unpacks much faster at a half or a quarter of its size.
        scale = longest / max(image.size)
        image.draft("RGB", (math.ceil(image.width * scale), math.ceil(image.height * scale)))
        turn = _UPRIGHT.get(_orientation(image))
        profile = image.info.get("icc_profile")
        image.thumbnail((longest, longest), Image.Resampling.LANCZOS)
        plain = _on_white(image)
        plain = plain if turn is None else plain.transpose(turn)
        out = io.BytesIO()
        plain.save(out, "JPEG", quality=quality, optimize=True, progressive=True, icc_profile=profile)
    return out.getvalue()


def _opened(content: bytes) -> Image.Image:
    _know_heif()
    try:
        with warnings.catch_warnings():
            # The limit above is the one that holds; Pillow would only warn at its own.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            return Image.open(io.BytesIO(content), formats=_OPENED_AS)
    except (UnidentifiedImageError, Image.DecompressionBombError, *BROKEN) as error:
        raise InspectionsError(
            "photo_not_a_picture",
            "That file is no photo that can be read here. Send a JPEG, HEIC, PNG or WebP picture.",
        ) from error


@contextmanager
def _whole_only() -> Iterator[None]:
    """Have Pillow refuse pictures cut short: the maker of papers tells it, for the whole process, not to."""
    with _SWITCH:
        before = ImageFile.LOAD_TRUNCATED_IMAGES
        ImageFile.LOAD_TRUNCATED_IMAGES = False
        try:
            yield
        finally:
            ImageFile.LOAD_TRUNCATED_IMAGES = before


def _unpack_quickly(image: Image.Image) -> None:
    """Unpack once at low size, so that a photo cut short is refused while somebody can take it again."""
    try:
        image.draft("RGB", (image.width // 8, image.height // 8))
        image.load()
    except BROKEN as error:
        raise InspectionsError(
            "photo_broken", "The photo did not arrive whole. Send it again, or take it again."
        ) from error


def _orientation(image: Image.Image) -> int:
    """Return which way up the camera says it was; upright where its notes are damaged: the picture counts."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)
            told = image.getexif().get(_ORIENTATION)
    except BROKEN:
        return 1
    return told if isinstance(told, int) and told in _UPRIGHT else 1


def _on_white(image: Image.Image) -> Image.Image:
    """Return the picture in RGB; what is clear becomes white."""
    if image.mode in {"RGBA", "LA", "PA"} or "transparency" in image.info:
        clear = image.convert("RGBA")
        ground = Image.new("RGB", clear.size, "white")
        ground.paste(clear, mask=clear.getchannel("A"))
        return ground
    if image.mode.startswith("I"):
        # Sixteen bits a pixel: eight of them are all a JPEG holds.
        return image.point(lambda value: value / 256).convert("L").convert("RGB")
    return image.convert("RGB")


@cache
def _know_heif() -> None:
    pillow_heif.register_heif_opener()
