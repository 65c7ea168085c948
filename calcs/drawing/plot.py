"""Curves over an axis, drawn with the canvas of the drawings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calcs.drawing import inks
from calcs.drawing.marks import spread
from calcs.drawing.svg import Canvas, Point, text_width

WIDTH, HEIGHT = 820.0, 414.0
LEFT, RIGHT, TOP, BOTTOM = 74.0, 600.0, 78.0, 356.0
_STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
_NAME_HEIGHT = 16.0


@dataclass(frozen=True)
class Curve:
    """A line through points in the units of the axes, named at its right end."""

    name: str
    points: tuple[Point, ...]
    ink: str = inks.INK
    dashes: str | None = None
    width: str = "2.2"


@dataclass(frozen=True)
class Axis:
    """An axis from `low` to `high`, its marks a round `step` apart."""

    title: str
    low: float
    high: float
    step: float

    @property
    def marks(self) -> list[float]:
        """Where marks stand."""
        first = math.ceil(self.low / self.step - 1e-9)
        last = math.floor(self.high / self.step + 1e-9)
        return [number * self.step for number in range(first, last + 1)]

    def label(self, value: float) -> str:
        """A mark's figure."""
        decimals = max(0, math.ceil(-math.log10(self.step) - 1e-9))
        decimals += 1 if round(self.step * 10**decimals, 9) % 1 else 0
        return f"{value:.{decimals}f}".replace("-", "\u2212")


def round_axis(title: str, low: float, high: float, marks: int, *, widen: bool = False) -> Axis:
    """Axis with round marks.

    Parameters
    ----------
    title : str
        What it counts, with its unit
    low : float
        Least value shown [as titled]
    high : float
        Greatest value shown, above the least [as titled]
    marks : int
        About how many marks it has [-]
    widen : bool
        Whether both ends move out to the next mark

    Returns
    -------
    Axis
        The axis

    Examples
    --------
    >>> [round_axis("Pa", 0.0, 31.0, 6, widen=True).label(one) for one in (0.0, 35.0)]
    ['0', '35']
    """
    rough = (high - low) / marks
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(one * power for one in _STEPS if one * power >= rough * (1 - 1e-9))
    if widen:
        low, high = math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step
    return Axis(title, low, high, step)


@dataclass(frozen=True)
class Plot:
    """Two axes on paper."""

    across: Axis
    upward: Axis

    def at(self, point: Point) -> Point:
        """Place on paper of a point in the units of the axes."""
        x = (point[0] - self.across.low) / (self.across.high - self.across.low)
        y = (point[1] - self.upward.low) / (self.upward.high - self.upward.low)
        return LEFT + x * (RIGHT - LEFT), BOTTOM - y * (BOTTOM - TOP)


def draw_axes(canvas: Canvas, plot: Plot) -> None:
    """Draw the axes with their marks and titles."""
    for value in plot.upward.marks:
        y = plot.at((plot.across.low, value))[1]
        heavy = abs(value) < plot.upward.step / 2
        canvas.line((LEFT, y), (RIGHT, y), stroke=inks.LINE if heavy else inks.FAINT, stroke_width="1")
        canvas.end_text((LEFT - 8, y), plot.upward.label(value), inks.DETAIL, fill=inks.INK)
    for value in plot.across.marks:
        x = plot.at((value, plot.upward.low))[0]
        canvas.line((x, TOP), (x, BOTTOM), stroke=inks.FAINT, stroke_width="1")
        canvas.line((x, BOTTOM), (x, BOTTOM + 5), stroke=inks.INK, stroke_width="1")
        canvas.text(
            (x, BOTTOM + 20), plot.across.label(value), inks.DETAIL, fill=inks.INK, text_anchor="middle"
        )
    canvas.line((LEFT, BOTTOM), (RIGHT, BOTTOM), stroke=inks.INK, stroke_width="1.2")
    canvas.line((LEFT, TOP), (LEFT, BOTTOM), stroke=inks.INK, stroke_width="1.2")
    canvas.text(
        ((LEFT + RIGHT) / 2, BOTTOM + 44), plot.across.title, inks.LABEL, fill=inks.SOFT, text_anchor="middle"
    )
    canvas.text((LEFT - 48, 47), plot.upward.title, inks.LABEL, fill=inks.SOFT)


def draw_curves(canvas: Canvas, plot: Plot, curves: Sequence[Curve]) -> None:
    """Draw curves, each named to the right of its end; names keep apart.

    Parameters
    ----------
    canvas : Canvas
        What is drawn on [px]
    plot : Plot
        The axes [px]
    curves : sequence of Curve
        The curves
    """
    placed = []
    for curve in curves:
        points = [plot.at(point) for point in curve.points]
        canvas.polyline(
            points,
            stroke=curve.ink,
            stroke_width=curve.width,
            stroke_dasharray=curve.dashes,
            stroke_linejoin="round",
        )
        placed.append((points[-1], curve))
    placed.sort(key=lambda one: one[0][1])
    extents = [_NAME_HEIGHT * len(_lines(curve.name)) + 4 for _, curve in placed]
    centres = spread([(end[1], extent) for (end, _), extent in zip(placed, extents, strict=True)])
    for (end, curve), extent, y in zip(placed, extents, centres, strict=True):
        canvas.polyline([end, (RIGHT + 6, end[1]), (RIGHT + 18, y)], stroke=inks.LINE, stroke_width="0.8")
        for number, line in enumerate(_lines(curve.name)):
            base = y - extent / 2 + _NAME_HEIGHT * (number + 1) - 2
            weight = "700" if number == 0 else None
            canvas.text((RIGHT + 22, base), line, inks.LABEL, fill=curve.ink, font_weight=weight)


def _lines(name: str) -> list[str]:
    return name.split("\n")


def draw_planned(canvas: Canvas, plot: Plot, x: float, words: str) -> None:
    """Draw an upright line at what is planned, its words above the plot.

    Parameters
    ----------
    canvas : Canvas
        What is drawn on [px]
    plot : Plot
        The axes [px]
    x : float
        Where it stands, in the unit of the axis [as the axis]
    words : str
        What is planned
    """
    at = plot.at((x, plot.upward.low))[0]
    canvas.line((at, TOP), (at, BOTTOM), stroke=inks.SOFT, stroke_width="1", stroke_dasharray="2 3")
    half = text_width(words, inks.DETAIL) / 2
    middle = min(max(at, LEFT + half), RIGHT - half)
    canvas.text((middle, TOP - 9), words, inks.DETAIL, fill=inks.INK, text_anchor="middle")


def draw_point(canvas: Canvas, plot: Plot, point: Point) -> None:
    """Mark a point of a curve.

    Parameters
    ----------
    canvas : Canvas
        What is drawn on [px]
    plot : Plot
        The axes [px]
    point : tuple of float
        The point, in the units of the axes [as the axes]
    """
    canvas.circle(plot.at(point), 4.5, fill=inks.PAPER, stroke=inks.INK, stroke_width="2")
