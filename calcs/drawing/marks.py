"""Dimension lines and labels with leaders."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from calcs.drawing import inks
from calcs.drawing.svg import Canvas, Point, text_width

TICK = 4.0
LEADER = "0.8"


@dataclass(frozen=True)
class Label:
    """A part's name and detail, with the point it names."""

    anchor: Point
    name: str
    detail: str = ""
    ink: str = inks.INK


def _tick(canvas: Canvas, at: Point, ink: str) -> None:
    canvas.line((at[0] - TICK, at[1] + TICK), (at[0] + TICK, at[1] - TICK), stroke=ink, stroke_width="1.3")


def upright(
    canvas: Canvas, x: float, low: float, high: float, words: str, *, ink: str = inks.INK, side: str = "left"
) -> None:
    """Draw an upright dimension between two heights on paper, its figure beside or on the line.

    Parameters
    ----------
    canvas : Canvas
        What is drawn on [px]
    x : float
        Where the line stands [px]
    low : float
        Height of one end on paper [px]
    high : float
        Height of the other end on paper [px]
    words : str
        The figure
    ink : str
        Colour of line and figure
    side : str
        Where the figure stands: left | right | on
    """
    canvas.line((x, low), (x, high), stroke=ink, stroke_width="1")
    _tick(canvas, (x, low), ink)
    _tick(canvas, (x, high), ink)
    middle = (low + high) / 2
    if side == "on":
        canvas.boxed_text((x, middle), words, inks.DETAIL, fill=ink)
    elif side == "left":
        canvas.text((x - 8, middle + 4), words, inks.DETAIL, fill=ink, text_anchor="end")
    else:
        canvas.text((x + 8, middle + 4), words, inks.DETAIL, fill=ink)


def along(
    canvas: Canvas,
    y: float,
    ends: tuple[float, float],
    words: str,
    *,
    ink: str,
    figure_to: float,
    past: float,
    begin: float = 4.0,
) -> None:
    """Draw a level dimension; its figure stands on the line left of `figure_to`, or left of `past`.

    A figure that would begin left of `begin` there stands above the line.

    Parameters
    ----------
    canvas : Canvas
        What is drawn on [px]
    y : float
        Height of the line on paper [px]
    ends : tuple of float
        Ends of the dimension [px]
    words : str
        The figure
    ink : str
        Colour of line and figure
    figure_to : float
        Where the figure ends on the line [px]
    past : float
        Where it ends instead when it would not fit there [px]
    begin : float
        Left edge nothing is written beyond [px]
    """
    left, right = min(ends), max(ends)
    canvas.line((left, y), (right, y), stroke=ink, stroke_width="1")
    _tick(canvas, (left, y), ink)
    _tick(canvas, (right, y), ink)
    width = text_width(words, inks.DETAIL)
    edge = min(right, figure_to)
    fits = width + 24 <= edge - left
    outside = min(left, past) - width / 2 - 10
    if fits or outside - width / 2 < begin:
        place = (max((left + edge) / 2, width / 2 + 6), y if fits else y - 11)
    else:
        place = (outside, y)
    canvas.boxed_text(place, words, inks.DETAIL, fill=ink)


def chain(canvas: Canvas, x: float, stops: Sequence[float], figures: Sequence[str], *, reach: float) -> None:
    """Draw a chain of upright dimensions; the figures keep their distance, with a hair line where they move.

    `stops` run upwards on paper, from high y to low y; `reach` is how far left a figure may begin.

    Parameters
    ----------
    canvas : Canvas
        What is drawn on [px]
    x : float
        Where the chain stands [px]
    stops : sequence of float
        Heights on paper from the lowest part up, so that they fall [px]
    figures : sequence of str
        A figure for each piece of the chain
    reach : float
        How far left of the chain a figure may begin [px]
    """
    canvas.line((x, stops[0]), (x, stops[-1]), stroke=inks.INK, stroke_width="1")
    for stop in stops:
        _tick(canvas, (x, stop), inks.INK)
    middles = [(low + high) / 2 for low, high in pairwise(stops)]
    places = spread([(-middle, 15.0) for middle in middles])
    for middle, place, words in zip(middles, places, figures, strict=True):
        y = -place
        if abs(y - middle) > 3:
            canvas.line((x - 3, middle), (x - 10, y), stroke=inks.LINE, stroke_width="0.8")
        size = inks.DETAIL
        width = len(words) * size * 0.5
        if width > reach:
            size *= reach / width
        canvas.text((x - 12, y + 4), words, size, fill=inks.INK, text_anchor="end")


def level_chain(canvas: Canvas, y: float, stops: Sequence[float], figures: Sequence[str]) -> None:
    """Draw a chain of level dimensions, figures below the line; `stops` run from left to right.

    Parameters
    ----------
    canvas : Canvas
        What is drawn on [px]
    y : float
        Height of the chain on paper [px]
    stops : sequence of float
        Its ends and joints from left to right [px]
    figures : sequence of str
        A figure for each piece of the chain
    """
    canvas.line((stops[0], y), (stops[-1], y), stroke=inks.INK, stroke_width="1")
    for stop in stops:
        _tick(canvas, (stop, y), inks.INK)
    middles = [(left + right) / 2 for left, right in pairwise(stops)]
    widths = [text_width(words, inks.DETAIL) + 8 for words in figures]
    for middle, x, words in zip(
        middles, spread(list(zip(middles, widths, strict=True))), figures, strict=True
    ):
        if abs(x - middle) > 4:
            canvas.line((middle, y + 2), (x, y + 8), stroke=inks.LINE, stroke_width="0.8")
        canvas.text((x, y + 19), words, inks.DETAIL, fill=inks.INK, text_anchor="middle")


def spread(wanted: Sequence[tuple[float, float]]) -> list[float]:
    """Move centres apart along a line until their extents no longer overlap, as little as possible.

    Parameters
    ----------
    wanted : sequence of tuple of float
        Centre and extent of each, in rising order [px]

    Returns
    -------
    list of float
        The centres moved, in the same order [px]
    """
    groups: list[list[float]] = []
    for centre, extent in wanted:
        groups.append([centre - extent / 2, extent, 1.0])
        while len(groups) > 1 and groups[-2][0] + groups[-2][1] > groups[-1][0]:
            upper = groups.pop()
            start, size, count = groups[-1]
            merged = (start * count + (upper[0] - size) * upper[2]) / (count + upper[2])
            groups[-1] = [merged, size + upper[1], count + upper[2]]
    places: list[float] = []
    index = 0
    for start, _, count in groups:
        at = start
        for _ in range(int(count)):
            extent = wanted[index][1]
            places.append(at + extent / 2)
            at += extent
            index += 1
    return places


@dataclass(frozen=True)
class _Block:
    """A label broken into lines."""

    label: Label
    name: list[str]
    detail: list[str]

    @property
    def extent(self) -> float:
        return 4 + 15.0 * (len(self.name) + len(self.detail)) + 7


def _blocks(items: Sequence[Label], width: float) -> list[_Block]:
    """Break names and details into lines, in the order of their anchors."""
    name, detail = int(width / (inks.LABEL * 0.58)), int(width / (inks.DETAIL * 0.51))
    return [
        _Block(label, textwrap.wrap(_held(label.name), name), textwrap.wrap(_held(label.detail), detail))
        for label in sorted(items, key=lambda label: label.anchor[1])
    ]


def column_height(items: Sequence[Label], width: float) -> float:
    """Height a column of labels takes [px].

    Parameters
    ----------
    items : sequence of Label
        The labels
    width : float
        Width their lines are broken at [px]

    Returns
    -------
    float
        The height [px]
    """
    return sum(block.extent for block in _blocks(items, width))


def labels(
    canvas: Canvas,
    items: Sequence[Label],
    *,
    bend: float,
    left: float,
    right: float,
    top: float,
    bottom: float,
) -> None:
    """Write labels in a column, in the order of their anchors, with leaders that do not cross.

    Parameters
    ----------
    canvas : Canvas
        What is drawn on [px]
    items : sequence of Label
        The labels and what they point at
    bend : float
        Where the leaders bend [px]
    left : float
        Left edge of the column [px]
    right : float
        Right edge of the column [px]
    top : float
        Highest place of a label [px]
    bottom : float
        Lowest place of a label [px]
    """
    blocks = _blocks(items, right - left)
    extents = [block.extent for block in blocks]
    wanted = [
        (block.label.anchor[1] + extent / 2 - 12, extent)
        for block, extent in zip(blocks, extents, strict=True)
    ]
    centres = _kept_within(spread(wanted), extents, top, bottom)
    for block, extent, centre in zip(blocks, extents, centres, strict=True):
        label, y = block.label, centre - extent / 2 + 12
        elbow = (bend, label.anchor[1])
        canvas.polyline([label.anchor, elbow, (left - 6, y)], stroke=inks.LINE, stroke_width=LEADER)
        canvas.circle(label.anchor, 2.4, fill=label.ink)
        for number, line in enumerate(block.name):
            canvas.text((left, y + 4 + 15 * number), line, inks.LABEL, fill=label.ink, font_weight="700")
        for number, line in enumerate(block.detail, start=len(block.name)):
            canvas.text((left, y + 4 + 15 * number), line, inks.DETAIL, fill=inks.SOFT)


def _held(words: str) -> str:
    """Keep figures, fractions and units together when the line wraps."""
    return re.sub(r"(?<=\d) (?=\d|in\b|ft\b|mm\b|m\b)", "\u00a0", words)


def _kept_within(centres: list[float], extents: list[float], top: float, bottom: float) -> list[float]:
    """Push the column down from the top edge, then up from the bottom edge."""
    edge = top
    for index, extent in enumerate(extents):
        centres[index] = max(centres[index], edge + extent / 2)
        edge = centres[index] + extent / 2
    edge = bottom
    for index in range(len(extents) - 1, -1, -1):
        centres[index] = min(centres[index], edge - extents[index] / 2)
        edge = centres[index] - extents[index] / 2
    return centres
