"""The hole in the deck, seen square to it, beneath the roof plan."""

from __future__ import annotations

from calcs.drawing import inks
from calcs.drawing.marks import chain, level_chain
from calcs.drawing.roof_view import LEFT, RoofView
from calcs.drawing.svg import Canvas
from calcs.routes import VAULTED_CEILING

HOLE_HEIGHT = 250.0
#: Paper the hole may take, and where its middle and the words beside it stand.
_TALL, _WIDE, _MIDDLE, _WORDS = 150.0, 190.0, LEFT + 230.0, LEFT + 400.0


def hole_words(view: RoofView) -> list[str]:
    """What is said beside the hole; nothing where it cannot be drawn."""
    hole, way, say = view.plan.roof_opening, view.plan.roof_passage, view.say
    if hole is None or way is None:
        return []
    if not view.rise:
        return [f"Hole {say.least(hole.across)} square."]
    words = [f"Across the slope {say.least(hole.across)}."]
    if view.plan.survey.deck_thickness is None:
        words.append(f"Along the slope more than {say.least(hole.along_plumb_cut)}:")
        words.append("the deck's thickness is not known.")
    else:
        words.append(f"Along the slope {say.least(hole.along_square_cut)}, edges square to the deck;")
        words.append(f"{say.least(hole.along_plumb_cut)} with edges cut plumb.")
    words.append(f"Headers that stand plumb: {say.least(way.between_plumb_headers)} clear along the slope.")
    survey = view.plan.survey
    if survey.rafter_depth or (survey.route == VAULTED_CEILING and survey.member_depth):
        words.append(
            f"Headers square to the rafters: {say.least(way.between_square_headers)} clear, the lower"
        )
        words.append(f"{say.least(way.square_header_down)} down the slope from the plumb point.")
    return words


def draw_hole(canvas: Canvas, view: RoofView, top: float, words: list[str]) -> None:
    """Draw the hole from a height on paper downwards, with its dimensions and the words beside it.

    Parameters
    ----------
    canvas : Canvas
        What is drawn on [px]
    view : RoofView
        The roof from above [m, px]
    top : float
        Height on paper to begin at [px]
    words : list of str
        What is said beside the hole
    """
    hole, way, say = view.plan.roof_opening, view.plan.roof_passage, view.say
    if hole is None or way is None:
        return
    known = view.plan.survey.deck_thickness is not None or not view.rise
    down, up = way.deck_down, way.deck_up
    along = down + up
    scale = min(_TALL / along, _WIDE / hole.across)
    canvas.text((LEFT, top), "Hole in the deck, seen square to it", inks.LABEL, font_weight="700",
                fill=inks.INK)  # fmt: skip
    upper = top + 22
    left = _MIDDLE - hole.across / 2 * scale
    lower = upper + along * scale
    dash = None if known else "6 4"
    canvas.rect(left, upper, hole.across * scale, along * scale, fill=inks.PAPER, stroke=inks.INK,
                stroke_width="1.8", stroke_dasharray=dash)  # fmt: skip
    plumb = lower - down * scale
    _pipe(canvas, view, (_MIDDLE, plumb), scale)
    for place in (plumb - 6, plumb + 6):
        canvas.line((_MIDDLE, plumb), (_MIDDLE, place), stroke=inks.INK, stroke_width="1.4")
    canvas.line((_MIDDLE - 6, plumb), (_MIDDLE + 6, plumb), stroke=inks.INK, stroke_width="1.4")
    canvas.line((left - 30, plumb), (_MIDDLE, plumb), stroke=inks.LINE, stroke_width="0.8",
                stroke_dasharray="2 3")  # fmt: skip
    figures = [say.least(down), say.least(up) if known else "not known"]
    chain(canvas, left - 20, [lower, plumb, upper], figures, reach=100)
    level_chain(canvas, lower + 14, [left, left + hole.across * scale], [say.least(hole.across)])
    for number, line in enumerate(words):
        canvas.text((_WORDS, upper + 12 + 18 * number), line, inks.DETAIL, fill=inks.INK)
    if view.rise:
        told = "Cross: plumb point on the deck's underside; uphill at the top."
        canvas.text((_WORDS, upper + 16 + 18 * len(words)), told, inks.NOTE, fill=inks.SOFT)


def _pipe(canvas: Canvas, view: RoofView, middle: tuple[float, float], scale: float) -> None:
    """The pipe where it passes the deck's underside: an ellipse along the slope."""
    hole = view.plan.roof_opening
    if hole is None:
        return
    wide = view.outer / 2 * scale
    tall = wide * hole.along_plumb_cut / hole.across
    x, y = middle
    canvas.path(
        f"M{x - wide:.1f} {y:.1f}A{wide:.1f} {tall:.1f} 0 1 0 {x + wide:.1f} {y:.1f}"
        f"A{wide:.1f} {tall:.1f} 0 1 0 {x - wide:.1f} {y:.1f}Z",
        fill=inks.STEEL,
        stroke=inks.INK,
        stroke_width="1.4",
    )
