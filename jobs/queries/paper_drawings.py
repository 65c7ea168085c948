"""Drawings on papers."""

from __future__ import annotations

from calcs.drawing import ceiling_plan_svg, elevation_svg, roof_plan_svg
from calcs.plan import Plan
from calcs.routes import FLAT_CEILING, LINED_CHIMNEY, THROUGH_WALL, VAULTED_CEILING
from calcs.shield import Panel
from calcs.units import format_length

_WIDTH, _HEIGHT, _ROOM = 240.0, 180.0, 34.0


#: What the section and the framing show, by route.
_CAPTIONS = {
    FLAT_CEILING: (
        "Section through room, ceiling, attic and roof, as planned", "Ceiling framing from above, as planned",
    ),
    VAULTED_CEILING: (
        "Section through room, vaulted ceiling and roof, as planned", "Rafters from above, as planned",
    ),
    THROUGH_WALL: (
        "Section through room, wall and eaves, as planned", "Wall framing from the room, as planned",
    ),
    LINED_CHIMNEY: ("Section through room, masonry and roof, as planned", ""),
}  # fmt: skip


def plan_drawings(plan: Plan, system: str) -> list[tuple[str, str]]:
    """Return the drawings a plan gives, each as SVG with its caption; the section comes first."""
    section, framing = _CAPTIONS[plan.survey.route]
    found = [
        (elevation_svg(plan, system), section),
        (ceiling_plan_svg(plan, system), framing),
        (roof_plan_svg(plan, system), "Roof from above and the hole in it, as planned"),
    ]
    return [one for one in found if one[0]]


def panel_svg(panel: Panel, system: str) -> str:
    """Return a panel's true shape as it lies flat, its edges named in the house's units."""
    tall = max(y for _, y in panel.corners)
    scale = min((_WIDTH - 2 * _ROOM) / panel.width, (_HEIGHT - 2 * _ROOM) / tall)
    left = (_WIDTH - panel.width * scale) / 2
    floor = _HEIGHT - _ROOM
    points = " ".join(f"{left + x * scale:.1f},{floor - y * scale:.1f}" for x, y in panel.corners)
    right = left + panel.width * scale
    labels = (
        (_WIDTH / 2, floor + 20, "middle", format_length(panel.width, system)),
        (left - 5, floor - panel.height_left * scale / 2, "end", format_length(panel.height_left, system)),
        (
            right + 5,
            floor - panel.height_right * scale / 2,
            "start",
            format_length(panel.height_right, system),
        ),
    )
    texts = "".join(
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-size="13">{words}</text>'
        for x, y, anchor, words in labels
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-40 0 {_WIDTH + 80:g} {_HEIGHT:g}" font-family="">'
        f'<polygon points="{points}" fill="#f1e6d2" stroke="#20272b" stroke-width="1.6"/>{texts}</svg>'
    )
