"""Reads a square code off a rendered page by ISO/IEC 18004, without the library that draws it.

Placing of modules, masks and formats are those of the standard's clauses 7.3, 7.7.3, 7.8 and 7.9, from
memory. A rendering has no stains, so nothing is corrected: the data codewords are read as they stand.
"""

from __future__ import annotations

import subprocess
from pathlib import Path

from PIL import Image

#: What the papers draw their codes in.
DARK = (20, 33, 61)
#: Version, level -> data codewords of each block, clause 7.5.1, table 9 (from memory).
BLOCKS = {
    (4, "Q"): [24, 24],
    (5, "Q"): [15, 15, 16, 16],
    (6, "Q"): [19, 19, 19, 19],
    (7, "Q"): [14, 14, 15, 15, 15, 15],
}
#: Version -> centres of alignment patterns, annex E (from memory).
ALIGNED = {4: (6, 26), 5: (6, 30), 6: (6, 34), 7: (6, 22, 38)}
LEVELS = {0b01: "L", 0b00: "M", 0b11: "Q", 0b10: "H"}
FORMAT_MASK = 0b101010000010010
MASKS = (
    lambda i, j: (i + j) % 2,
    lambda i, j: i % 2,
    lambda i, j: j % 3,
    lambda i, j: (i + j) % 3,
    lambda i, j: (i // 2 + j // 3) % 2,
    lambda i, j: (i * j) % 2 + (i * j) % 3,
    lambda i, j: ((i * j) % 2 + (i * j) % 3) % 2,
    lambda i, j: ((i + j) % 2 + (i * j) % 3) % 2,
)


def code_on_page(path: Path, *, page: int = 1) -> str:
    """Return the text of the one square code of a page."""
    stem = path.with_name("page_with_code")
    told = ["pdftoppm", "-r", "600", "-png", "-singlefile", "-f", str(page), "-l", str(page)]
    subprocess.run([*told, path, stem], check=True)
    return _text(_modules(Image.open(stem.with_suffix(".png")).convert("RGB")))


def _modules(image: Image.Image) -> list[list[int]]:
    """Rows of modules: the symbol is the only thing on the page in its colour."""
    reds, greens, blues = image.split()
    near = [
        band.point(lambda value, wanted=wanted: 255 * (abs(value - wanted) < 9))
        for band, wanted in zip((reds, greens, blues), DARK, strict=True)
    ]
    white = Image.new("L", image.size, 0)
    dark = Image.composite(Image.composite(near[2], white, near[1]), white, near[0])
    box = dark.getbbox()
    assert box, "there is no square code on the page"
    symbol = dark.crop(box)
    run = next(x for x in range(symbol.width) if not symbol.getpixel((x, 2)))
    side = round(symbol.width / (run / 7))
    step = symbol.width / side
    return [
        [int(symbol.getpixel((int((x + 0.5) * step), int((y + 0.5) * step))) > 0) for x in range(side)]
        for y in range(side)
    ]


def _text(modules: list[list[int]]) -> str:
    side = len(modules)
    version = (side - 17) // 4
    spots = [(8, x) for x in (0, 1, 2, 3, 4, 5, 7, 8)] + [(y, 8) for y in (7, 5, 4, 3, 2, 1, 0)]
    told = int("".join(str(modules[y][x]) for y, x in spots), 2) ^ FORMAT_MASK
    level, mask = LEVELS[told >> 13], MASKS[(told >> 10) & 7]
    bits = []
    upwards = True
    for right in [*range(side - 1, 6, -2), 5, 3, 1]:
        for y in range(side - 1, -1, -1) if upwards else range(side):
            for x in (right, right - 1):
                if not _fixed(version, side, y, x):
                    bits.append(modules[y][x] ^ (mask(y, x) == 0))
        upwards = not upwards
    words = [int("".join(map(str, bits[start : start + 8])), 2) for start in range(0, len(bits) - 7, 8)]
    return _bytes(_in_order(words, BLOCKS[version, level]))


def _fixed(version: int, side: int, y: int, x: int) -> bool:
    """Whether a module is a pattern and no data."""
    if (y < 9 and (x < 9 or x >= side - 8)) or (y >= side - 8 and x < 9) or 6 in (y, x):
        return True
    if version >= 7 and ((y < 6 and x >= side - 11) or (x < 6 and y >= side - 11)):
        return True
    last = ALIGNED[version][-1]
    return any(
        abs(y - a) < 3 and abs(x - b) < 3
        for a in ALIGNED[version]
        for b in ALIGNED[version]
        if (a, b) not in {(6, 6), (6, last), (last, 6)}
    )


def _in_order(words: list[int], blocks: list[int]) -> list[int]:
    found: list[list[int]] = [[] for _ in blocks]
    spare = iter(words)
    for place in range(max(blocks)):
        for block, most in zip(found, blocks, strict=True):
            if place < most:
                block.append(next(spare))
    return [word for block in found for word in block]


def _bytes(words: list[int]) -> str:
    bits = "".join(f"{word:08b}" for word in words)
    assert bits[:4] == "0100", "the code is not in bytes"
    count = int(bits[4:12], 2)
    return bytes(int(bits[start : start + 8], 2) for start in range(12, 12 + 8 * count, 8)).decode()
