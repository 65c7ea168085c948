"""One measured value over the visits of years, with the limit it is held to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from calcs.drawing import inks
from calcs.drawing.svg import Canvas, Point, text_width

WIDTH, HEIGHT = 440.0, 196.0
LEFT, RIGHT, TOP, BOTTOM = 6.0, 434.0, 50.0, 160.0
#: Room between neighbours' words, and how much wider than plain ones bold words are.
_GAP, _BOLD = 8.0, 1.1
_BAND = "#dcebe4"


@dataclass(frozen=True)
class TrendPoint:
    """What was measured on one visit: the value in SI, and in words as they are shown."""

    on: date
    value: float
    words: str
    day: str
    #: pass | fail | unknown
    verdict: str


@dataclass(frozen=True)
class TrendLimit:
    """The limit that holds now, in SI and in words; one side may be open."""

    minimum: float | None
    maximum: float | None
    words: str


def trend_svg(name: str, points: Sequence[TrendPoint], limit: TrendLimit | None, *, prefix: str) -> str:
    """Draw a measured value over time, the allowed band behind it.

    Parameters
    ----------
    name : str
        What was measured
    points : sequence of TrendPoint
        The visits, oldest first
    limit : TrendLimit, optional
        What the value is held to; None where none is known
    prefix : str
        Begins every id, so that several drawings may stand on one page

    Returns
    -------
    str
        The drawing as SVG; empty where there are fewer than two visits to compare

    Examples
    --------
    >>> trend_svg("Draft", [], None, prefix="draft")
    ''
    """
    if len(points) < 2:
        return ""
    canvas = Canvas(prefix)
    low, high = _span(points, limit)
    first, last = points[0].on.toordinal(), points[-1].on.toordinal()
    days = max(last - first, 1)
    inset = max(max(_width(one), text_width(one.day, inks.DETAIL)) for one in points) / 2

    def height(value: float) -> float:
        return BOTTOM - (value - low) / (high - low) * (BOTTOM - TOP)

    def place(one: TrendPoint) -> Point:
        share = (one.on.toordinal() - first) / days
        return LEFT + inset + share * (RIGHT - LEFT - 2 * inset), height(one.value)

    _draw_limit(canvas, limit, height)
    canvas.line((LEFT, BOTTOM), (RIGHT, BOTTOM), stroke=inks.LINE, stroke_width="1")
    places = [place(one) for one in points]
    canvas.polyline(places, stroke=inks.INK, stroke_width="2")
    _draw_words(canvas, points, places)
    for one, at in zip(points, places, strict=True):
        _draw_mark(canvas, at, one.verdict)
    return canvas.document(WIDTH, HEIGHT, f"{name} over {len(points)} visits", _told(points, limit))


def _width(point: TrendPoint) -> float:
    return text_width(point.words, inks.LABEL) * _BOLD


def _span(points: Sequence[TrendPoint], limit: TrendLimit | None) -> tuple[float, float]:
    known = [one.value for one in points]
    known += [one for one in (limit.minimum, limit.maximum) if one is not None] if limit else []
    low, high = min(known), max(known)
    room = max(high - low, 0.2 * max(abs(low), abs(high)), 1e-6)
    below = low - 0.25 * room
    return (max(below, 0.0) if low >= 0 else below), high + 0.25 * room


def _draw_limit(canvas: Canvas, limit: TrendLimit | None, height: Callable[[float], float]) -> None:
    if limit is None:
        return
    top = TOP if limit.maximum is None else height(limit.maximum)
    bottom = BOTTOM if limit.minimum is None else height(limit.minimum)
    canvas.rect(LEFT, top, RIGHT - LEFT, bottom - top, fill=_BAND)
    for side in (limit.minimum, limit.maximum):
        if side is not None:
            _dash(canvas, LEFT, RIGHT, height(side))
    _dash(canvas, LEFT, LEFT + 28, 14.0)
    canvas.text((LEFT + 34, 18), f"Limit: {limit.words}", inks.LABEL, fill=inks.REQUIRED)


def _dash(canvas: Canvas, left: float, right: float, y: float) -> None:
    canvas.line((left, y), (right, y), stroke=inks.REQUIRED, stroke_width="1.6", stroke_dasharray="6 4")


def _draw_words(canvas: Canvas, points: Sequence[TrendPoint], places: Sequence[Point]) -> None:
    """Write figures and days, the last visit's first; what would cover a neighbour is left to the table."""
    free_days = free_words = WIDTH
    for one, (x, y) in reversed(list(zip(points, places, strict=True))):
        half = text_width(one.day, inks.DETAIL) / 2
        if x + half < free_days:
            canvas.line((x, BOTTOM), (x, BOTTOM + 5), stroke=inks.INK, stroke_width="1")
            canvas.text((x, BOTTOM + 22), one.day, inks.DETAIL, fill=inks.INK, text_anchor="middle")
            free_days = x - half - _GAP
        half = _width(one) / 2
        if x + half < free_words:
            canvas.text(
                (x, y - 12), one.words, inks.LABEL, fill=inks.INK, text_anchor="middle", font_weight="700"
            )
            free_words = x - half - _GAP


def _draw_mark(canvas: Canvas, at: Point, verdict: str) -> None:
    """A disc passes, a cross fails, a diamond is not known: told apart without colour."""
    x, y = at
    if verdict == "fail":
        canvas.circle(at, 7.5, fill=inks.PAPER)
        cross = f"M{x - 6:.1f} {y - 6:.1f}l12 12m0 -12l-12 12"
        canvas.path(cross, stroke=inks.WARNING, stroke_width="3", fill="none")
    elif verdict == "pass":
        canvas.circle(at, 5.0, fill=inks.REQUIRED, stroke=inks.PAPER, stroke_width="1.5")
    else:
        canvas.polygon(
            [(x, y - 7), (x + 7, y), (x, y + 7), (x - 7, y)],
            fill=inks.PAPER, stroke=inks.INK, stroke_width="2",
        )  # fmt: skip


def _told(points: Sequence[TrendPoint], limit: TrendLimit | None) -> str:
    told = "; ".join(f"{one.day}: {one.words} ({one.verdict})" for one in points)
    return f"{told}. Limit: {limit.words if limit else 'none is known'}."
