"""Picture files as cameras leave them: JPEG with the turn in its EXIF, and HEIC."""

from __future__ import annotations

from pathlib import Path

import pillow_heif
from PIL import Image, ImageDraw, ImageFont

#: EXIF 2.32, tag 0x0112: 6 means the picture was taken with the camera turned a quarter left.
ORIENTATION = 0x0112
TURNED_QUARTER = 6
LONG, SHORT = 1600, 1200


class Camera:
    """Takes a picture for every thing to be photographed."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir()
        self.taken = 0

    def take(self, words: str) -> Path:
        """Take an upright picture; each third one lies in the file turned, each fourth is HEIC."""
        self.taken += 1
        picture = self._scene(words)
        path = self.folder / f"IMG_{self.taken:04d}"
        if self.taken % 4 == 0:
            path = path.with_suffix(".HEIC")
            pillow_heif.from_pillow(picture).save(path, quality=60)
        elif self.taken % 3 == 0:
            path = path.with_suffix(".JPG")
            exif = Image.Exif()
            exif[ORIENTATION] = TURNED_QUARTER
            picture.rotate(90, expand=True).save(path, quality=80, exif=exif)
        else:
            path = path.with_suffix(".JPG")
            picture.save(path, quality=80)
        return path

    def take_detailed(self) -> Path:
        """Take a picture of gravel: nothing in it can be left out, so it stays large however it is packed."""
        self.taken += 1
        path = self.folder / f"IMG_{self.taken:04d}.JPG"
        Image.effect_noise((3200, 2400), 90).convert("RGB").save(path, quality=80)
        return path

    def _scene(self, words: str) -> Image.Image:
        """Draw a pipe between members with a tape across it; no two are alike."""
        picture = Image.new("RGB", (SHORT, LONG), (88, 74, 60))
        draw = ImageDraw.Draw(picture)
        shift = self.taken * 17 % 160
        for left in (60 + shift, 980 + shift // 4):
            draw.rectangle((left, 0, left + 110, LONG), fill=(196, 160, 112))
        draw.rectangle((420, 120, 780, LONG), fill=(150, 155, 160))
        draw.rectangle((460, 120, 520, LONG), fill=(190, 195, 200))
        draw.rectangle((170 + shift, 820, 990, 880), fill=(240, 200, 40))
        for mark in range(200 + shift, 980, 24):
            draw.line((mark, 820, mark, 850), fill=(20, 20, 20), width=3)
        draw.rectangle((0, 0, SHORT, 100), fill=(24, 28, 32))
        draw.text((30, 24), words[:52], fill=(255, 255, 255), font=ImageFont.load_default(44))
        return picture
