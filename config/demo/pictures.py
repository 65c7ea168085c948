"""Drawings that stand for photos: each says in words what the photo would show."""

from __future__ import annotations

import io
import random
import textwrap
from collections.abc import Callable

from PIL import Image, ImageDraw, ImageFont

SIZE = (1440, 1080)
PAPER, LINE, STEEL, WOOD, WARM = "#e9e4da", "#3d4348", "#b9c0c4", "#c9a87c", "#a4572f"
Draw = ImageDraw.ImageDraw


def photo(*, words: str, stage: str, footer: str) -> bytes:
    """Return a JPEG of what a stage is about, with the words of the item."""
    chance = random.Random(words + footer)  # noqa: S311  (a drawing, not a secret)
    image = Image.new("RGB", SIZE, PAPER)
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 760, SIZE[0], SIZE[1]), fill="#d8cfbf")
    SCENES.get(stage, room)(draw, chance.randint(-60, 60))
    tape(draw, chance.randint(420, 620))
    title, small = ImageFont.load_default(46), ImageFont.load_default(30)
    draw.rectangle((0, 850, SIZE[0], SIZE[1]), fill="#2b3034")
    draw.multiline_text((48, 872), textwrap.fill(words, 52), font=title, fill="white", spacing=10)
    draw.text((48, 1030), footer, font=small, fill="#c9cfd3")
    out = io.BytesIO()
    image.save(out, "JPEG", quality=80)
    return out.getvalue()


def tape(draw: Draw, top: int) -> None:
    """A tape measure at the edge of the picture."""
    draw.rectangle((1330, 60, 1380, top + 200), fill="#e3c23c", outline=LINE, width=3)
    for mark in range(70, top + 190, 24):
        draw.line((1330, mark, 1352 if mark % 3 else 1368, mark), fill=LINE, width=3)


def room(draw: Draw, shift: int) -> None:
    """A wall with a window."""
    draw.rectangle((760 + shift, 160, 1160 + shift, 520), fill="#cfe0e8", outline=LINE, width=6)
    draw.line((960 + shift, 160, 960 + shift, 520), fill=LINE, width=6)


def stove(draw: Draw, shift: int) -> None:
    """An appliance on its floor protection."""
    room(draw, shift)
    draw.rectangle((180, 740, 900, 790), fill=STEEL, outline=LINE, width=4)
    draw.rectangle((340 + shift, 380, 700 + shift, 740), fill="#4a5054", outline=LINE, width=6)
    draw.rectangle((400 + shift, 450, 640 + shift, 620), fill=WARM, outline=LINE, width=5)
    pipe(draw, 520 + shift, 0, 380)


def pipe(draw: Draw, middle: int, top: int, bottom: int, half: int = 50) -> None:
    """An upright pipe with its joints."""
    draw.rectangle((middle - half, top, middle + half, bottom), fill=STEEL, outline=LINE, width=5)
    for joint in range(top + 130, bottom, 190):
        draw.line((middle - half, joint, middle + half, joint), fill=LINE, width=5)


def framing(draw: Draw, shift: int) -> None:
    """The opening between two members, seen from below."""
    for left in (140, 1000):
        draw.rectangle((left, 0, left + 90, 830), fill=WOOD, outline=LINE, width=4)
    for top in (210, 600):
        draw.rectangle((230, top, 1000, top + 70), fill=WOOD, outline=LINE, width=4)
    for left in (380, 800):
        draw.rectangle((left, 280, left + 50, 600), fill=WOOD, outline=LINE, width=4)
    draw.ellipse((500 + shift // 4, 320, 730 + shift // 4, 560), fill=STEEL, outline=LINE, width=6)


def attic(draw: Draw, shift: int) -> None:
    """The chimney in the attic, with what keeps the insulation away."""
    draw.polygon(
        ((0, 300), (700, 20), (1440, 300), (1440, 230), (700, -60), (0, 230)), fill=WOOD, outline=LINE
    )
    draw.rectangle((0, 620, 1300, 830), fill="#e5d8ea", outline=LINE, width=3)
    pipe(draw, 660 + shift, 60, 800, 70)
    draw.rectangle((540 + shift, 480, 780 + shift, 800), outline=WARM, width=12)


def roof(draw: Draw, shift: int) -> None:
    """The chimney above the roof."""
    draw.rectangle((0, 0, SIZE[0], 620), fill="#d5e3ea")
    draw.polygon(((0, 830), (0, 640), (900, 260), (1440, 480), (1440, 830)), fill="#6d6459", outline=LINE)
    draw.polygon(((470 + shift, 560), (760 + shift, 440), (830 + shift, 560), (560 + shift, 680)), fill=STEEL)
    pipe(draw, 650 + shift, 130, 560, 62)
    draw.polygon(((560 + shift, 500), (740 + shift, 500), (700 + shift, 450), (600 + shift, 450)), fill=LINE)
    draw.rectangle((570 + shift, 90, 730 + shift, 130), fill=LINE)


def gauge(draw: Draw, shift: int) -> None:
    """A draft gauge at the connector."""
    stove(draw, shift)
    draw.ellipse((800, 120, 1120, 440), fill="white", outline=LINE, width=8)
    draw.line((960, 280, 1040 + shift // 2, 190), fill=WARM, width=10)


SCENES: dict[str, Callable[[Draw, int], None]] = {
    "before_work": room,
    "position": stove,
    "ceiling_support": framing,
    "attic_protection": attic,
    "roof_flashing": roof,
    "storm_collar": roof,
    "termination": roof,
    "sealing": roof,
    "connector": stove,
    "commissioning": gauge,
    "deposit": attic,
    "condition": attic,
    "cap": roof,
    "appliance": stove,
    "clearances": stove,
    "papers": stove,
    "flue": gauge,
    "attic": attic,
    "outside": roof,
    "roof": roof,
    "agreement": framing,
    "concealed": framing,
    "draft_and_alarms": gauge,
}
