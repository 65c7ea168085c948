"""Drawn strokes as a path."""

from __future__ import annotations

from collections.abc import Sequence


def ink_path(strokes: Sequence[Sequence[Sequence[float]]]) -> str:
    """Return strokes as the d of an SVG path; a tap becomes a dot."""
    return "".join(_stroke(stroke) for stroke in strokes)


def _stroke(points: Sequence[Sequence[float]]) -> str:
    first, *rest = [f"{x:g} {y:g}" for x, y in points]
    return f"M{first}" + ("".join(f"L{point}" for point in rest) or "h0")
