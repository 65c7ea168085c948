"""Drawings of the care sheet: plain lines in one pen, each with what it shows in words."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

_INK, _FIRE, _STEEL, _WOOD, _WARN = "#1f2a30", "#d9660b", "#c9d0d3", "#d9bd92", "#a0161f"
_FLAME = (
    '<path d="M{x} {y}c-9-8-11-15-5-22 1 5 4 6 5 4 2-6-1-11 1-18 9 7 15 17 11 27-2 5-7 9-12 9z"'
    f' fill="{_FIRE}" stroke="{_INK}" stroke-width="2" stroke-linejoin="round"/>'
)


def _flame(x: float, y: float, scale: float = 1.0) -> str:
    return f'<g transform="translate({x:g} {y:g}) scale({scale:g})">{_FLAME.format(x=0, y=0)}</g>'


def _drawing(inside: str) -> str:
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 90">'
        f'<g fill="none" stroke="{_INK}" stroke-width="2.4" stroke-linecap="round" stroke-linejoin="round">'
        f"{inside}</g></svg>"
    )


_LOG = (
    f'<g fill="{_WOOD}"><path d="M{{x}} {{y}}h56a9 9 0 0 1 0 18h-56z"/>'
    '<ellipse cx="{x}" cy="{middle}" rx="6" ry="9"/></g>'
)


def _log(x: int, y: int) -> str:
    return _LOG.format(x=x, y=y, middle=y + 9)


_STOVE = (
    f'<path d="M52 4v18M68 4v18M28 22h64v52H28zM34 74v8M86 74v8" fill="{_STEEL}"/>'
    '<path d="M38 32h44v32H38z" fill="#fff"/>'
)
_GROUND = '<path d="M8 84h104"/>'

#: Name -> the drawing and what it shows.
DRAWINGS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "wood": (
            _drawing(
                _log(20, 56)
                + _log(36, 38)
                + '<path d="M6 34 60 8l54 26M14 32v50M106 32v50"/>'
                + f'<path d="M58 38v-9M66 38v-9" stroke="{_WARN}"/>'
                + f'<rect x="48" y="12" width="28" height="17" rx="3" fill="{_STEEL}"/>'
                + '<path d="M54 20h16"/>'
                + _GROUND
            ),
            "Logs under a roof, with the two pins of a moisture meter in the freshly split one",
        ),
        "pellets": (
            _drawing(
                '<path d="M24 18h44l6 58H18z" fill="#fff"/><path d="M28 18l4-8h28l4 8M32 40h28M32 50h20"/>'
                + "".join(
                    f'<rect x="{x}" y="{y}" width="16" height="6" rx="2" fill="{_WOOD}"'
                    f' transform="rotate({turn} {x + 8} {y + 3})"/>'
                    for x, y, turn in ((82, 70, 0), (92, 60, 30), (78, 62, -20), (100, 72, 12), (88, 76, 5))
                )
                + '<path d="M8 80h66M14 80v5M68 80v5"/>'
            ),
            "A dry bag of pellets off the floor, some pellets beside it",
        ),
        "coal": (
            _drawing(
                f'<path d="M30 36h60l-8 42H38z" fill="{_STEEL}"/><path d="M30 36C30 8 90 8 90 36"/>'
                '<path d="M36 36l8-12 12 6 10-9 9 8 9 7z" fill="#3d4348"/>' + _GROUND
            ),
            "A bucket of dry fuel",
        ),
        "first": (
            _drawing(
                "".join(
                    f'<circle cx="{x}" cy="52" r="17" fill="#fff"/>' + _flame(x, 64, scale)
                    for x, scale in ((20, 0.45), (60, 0.6), (100, 0.8))
                )
                + '<path d="M20 20v8M60 16v8M100 12v8" stroke-dasharray="2 4"/>'
            ),
            "Three fires one after another, each a little larger than the one before",
        ),
        "lighting_wood": (
            _drawing(
                _log(16, 62) + _log(32, 44) + '<path d="M24 40h60M30 36l50 6M34 42l44-8" stroke-width="4"/>'
                + _flame(56, 32, 0.8) + _GROUND
            ),
            "Large logs below, kindling across them, the flame on top",
        ),
        "lighting": (
            _drawing(_STOVE + _flame(60, 62, 0.6) + f'<path d="M16 52H34M28 46l6 6-6 6" stroke="{_FIRE}"/>'),
            "A stove with its air open and a small flame behind the glass",
        ),
        "running": (
            _drawing(
                _STOVE + _flame(50, 62, 0.75) + _flame(68, 62, 0.85)
                + '<path d="M100 20l5 5 9-11" stroke="#1d6434" stroke-width="4"/>'
            ),
            "A stove with its door shut and bright flames behind the glass",
        ),
        "ash": (
            _drawing(
                f'<path d="M40 30h40l-4 46H44z" fill="{_STEEL}"/>'
                '<path d="M36 30h48M40 24h40v6H40zM56 24v-6h8v6"/>'
                '<path d="M10 76h100v8H10zM36 76v8M62 76v8M88 76v8" fill="#e9e4da"/>'
            ),
            "A metal can with a tight lid, standing on stone",
        ),
        "alarm": (
            _drawing(
                f'<path d="M6 14h108"/><path d="M36 14h48v8c0 10-10 14-24 14s-24-4-24-14z" fill="{_STEEL}"/>'
                '<circle cx="60" cy="28" r="4" fill="#fff"/><path d="M60 40v34M60 40l-6 8M60 40l6 8"/>'
                f'<path d="M22 30c-4 6-4 12 0 18M14 26c-6 9-6 18 0 26" stroke="{_WARN}"/>'
                f'<path d="M98 30c4 6 4 12 0 18M106 26c6 9 6 18 0 26" stroke="{_WARN}"/>'
            ),
            "An alarm on the ceiling, and where its button is pressed",
        ),
        "chimney_fire": (
            _drawing(
                f'<path d="M10 84V56l40-26 40 26v28" fill="#fff"/><path d="M62 38V20h16v28" fill="{_STEEL}"/>'
                + _flame(69, 20, 0.62)
                + '<path d="M24 84V62h14v22"/>'
                + f'<path d="M40 74h18M52 68l6 6-6 6" stroke="{_WARN}" stroke-width="3.4"/>'
                + '<circle cx="104" cy="62" r="5"/>'
                '<path d="M104 67v10M104 70l-8 4M104 70l8-5M104 77l-6 8M104 77l6 8"/>'
            ),
            "A house with flames at the top of its chimney, and somebody who has gone outside",
        ),
    }
)  # fmt: skip
