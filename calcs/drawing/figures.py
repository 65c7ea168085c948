"""Figures that every section through the house carries: its height, its scale, the clearances."""

from __future__ import annotations

from calcs.drawing import inks
from calcs.drawing.svg import Canvas
from calcs.plan import Plan
from calcs.wording import Wording


def overall_height(canvas: Canvas, low: float, high: float, outlet: float | None, say: Wording) -> None:
    """Draw the height from floor to outlet at the left edge.

    Parameters
    ----------
    canvas : Canvas
        What is drawn on [px]
    low : float
        The floor on paper [px]
    high : float
        The outlet on paper [px]
    outlet : float or None
        Height of the outlet above the floor [m]
    say : Wording
        Units to write in
    """
    x = 20.0
    canvas.line((x, low), (x, high), stroke=inks.INK, stroke_width="1")
    for y in (low, high):
        canvas.line((x - 4, y + 4), (x + 4, y - 4), stroke=inks.INK, stroke_width="1.3")
    middle = (low + high) / 2
    canvas.text(
        (x - 6, middle),
        f"floor to outlet {'not known' if outlet is None else say.height(outlet)}",
        inks.DETAIL,
        fill=inks.INK,
        text_anchor="middle",
        transform=f"rotate(-90 {x - 6:.1f} {middle:.1f})",
    )


def scale_bar(canvas: Canvas, y: float, scale: float, system: str) -> None:
    """Draw the scale below the section.

    Parameters
    ----------
    canvas : Canvas
        What is drawn on [px]
    y : float
        Where it stands on paper [px]
    scale : float
        Scale of the drawing [px/m]
    system : str
        imperial | metric
    """
    if system == "imperial":
        step, words = 0.3048, ["0", "1", "2", "3 ft"]
    else:
        step, words = 0.5, ["0", "0.5", "1 m"]
    for index, word in enumerate(words):
        x = 22 + index * step * scale
        if index:
            fill = inks.INK if index % 2 else inks.PAPER
            canvas.rect(x - step * scale, y, step * scale, 5, fill=fill, stroke=inks.INK, stroke_width="1")
        canvas.text((x, y + 18), word, inks.NOTE, fill=inks.SOFT, text_anchor="middle")


def appliance_clearances(plan: Plan, say: Wording) -> list[str]:
    """Clearances of the appliance in words; the sides together unless a protection tells them apart.

    Parameters
    ----------
    plan : Plan
        The plan
    say : Wording
        Units to write in

    Returns
    -------
    list of str
        One for each side that has a limit
    """
    limits = {
        side: limit.minimum
        for side in ("rear", "left", "right", "corner", "front")
        if (limit := plan.limits.get(f"appliance.clearance.{side}")) is not None
    }
    words = {
        "rear": "behind",
        "left": "on the left",
        "right": "on the right",
        "corner": "at the rear corners",
        "front": "in front",
    }
    if limits.get("left") == limits.get("right"):
        limits.pop("right", None)
        words["left"] = "at the sides"
    return [f"{say.least(least)} {words[side]}" for side, least in limits.items() if least is not None]
