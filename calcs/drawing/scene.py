"""The elevation's scene: measured heights, likely ones where none is known, and their place on paper."""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.drawing.svg import Point
from calcs.levels import levels_of
from calcs.plan import Plan
from calcs.routes import VAULTED_CEILING
from calcs.wording import Wording

WIDTH = 820.0
#: Left and right edge of the part that is drawn to scale; dimensions stand left of it, labels right.
LEFT, RIGHT = 150.0, 588.0
TOP = 64.0
#: Limits of the scale [px/m] and of the drawn height [px].
LARGEST_SCALE = 150.0
TALLEST = 1000.0
#: Room beside the flue [m].
LEAST_UPHILL, MOST_UPHILL, DOWNHILL = 1.55, 3.5, 1.25

#: Drawn, never dimensioned, where a measure is missing [m; rise in 12].
_LIKELY = {
    "ceiling": 2.4,
    "ceiling_thickness": 0.0127,
    "member_depth": 0.14,
    "attic_height": 0.9,
    "deck_thickness": 0.0127,
    "rise": 6.0,
    "outer": 0.25,
    "inner": 0.15,
    "gap": 0.05,
    "collar": 0.75,
    "projection": 0.1,
    "above_roof": 1.2,
}


@dataclass(frozen=True)
class Scene:
    """Heights above the floor and distances from the flue's centre line [m], uphill negative."""

    plan: Plan
    say: Wording
    assumed: frozenset[str]
    collar: float
    ceiling: float
    framing_bottom: float
    framing_top: float
    insulation_top: float | None
    deck_underside: float
    roof: float
    slope: float
    first_joint: float
    required: float
    outlet: float
    outer: float
    inner: float
    connector: float
    opening: float
    #: Level distance to the ridge or upper edge; None where it is not drawn.
    ridge: float | None
    scale: float
    centre: float
    ground: float

    @property
    def height(self) -> float:
        """Height of the whole paper [px]."""
        return self.ground + 74

    def at(self, x: float, z: float) -> Point:
        """Place on paper of a point in the house."""
        return self.centre + x * self.scale, self.ground - z * self.scale

    def x(self, px: float) -> float:
        """Distance from the flue's centre line of a place on paper [m]."""
        return (px - self.centre) / self.scale

    @property
    def vaulted(self) -> bool:
        """Whether the ceiling follows the roof."""
        return self.plan.survey.route == VAULTED_CEILING

    def ceiling_at(self, x: float) -> float:
        """Height of the finished ceiling [m]; under a vault it follows the roof."""
        return self.roof_at(x) - (self.roof - self.ceiling) if self.vaulted else self.ceiling

    @property
    def two_sided(self) -> bool:
        """Whether the roof falls again past its ridge."""
        return self.plan.survey.roof_shape in ("gable", "hip")

    @property
    def hip(self) -> float | None:
        """How far uphill a hip cuts the slope before its ridge does [m]; None where none does."""
        survey = self.plan.survey
        if survey.roof_shape != "hip" or survey.eaves_distance is None or survey.hip_distance is None:
            return None
        reach = survey.hip_distance - survey.eaves_distance
        return reach if self.ridge is not None and reach < self.ridge else None

    @property
    def bends(self) -> tuple[float, ...]:
        """Where the roof's outline bends: at the ridge, or at both hips beside the flue [m]."""
        if self.ridge is None:
            return ()
        return (-self.ridge,) if self.hip is None else (-self.hip, self.hip - 2 * self.ridge)

    def roof_at(self, x: float) -> float:
        """Height of the roof's surface [m]; past a ridge it falls again, a hipped end is level across."""
        rise = -x
        if self.ridge is not None:
            rise = min(rise, 2 * self.ridge + x)
        if self.hip is not None:
            rise = min(rise, self.hip)
        return self.roof + self.slope * rise

    @property
    def high_side(self) -> float:
        """Highest point where the chimney passes the roof [m]."""
        return self.roof_at(-min(self.outer / 2, self.ridge if self.ridge is not None else math.inf))

    @property
    def eave(self) -> float:
        """Where the roof's underside comes down to the ceiling on the downhill side [m]."""
        if self.slope <= 0 or self.vaulted:
            return math.inf
        return (self.deck_underside - self.framing_bottom) / self.slope

    @property
    def upper_end(self) -> float:
        """Where the house ends uphill [m]: under the far eave, or at a shed's upper wall."""
        if self.slope <= 0 or self.ridge is None:
            return -math.inf
        if self.plan.survey.roof_shape == "shed":
            return -self.ridge
        return -(2 * self.ridge + self.eave)


def scene_of(plan: Plan, say: Wording) -> Scene:
    """Fit the plan on the paper.

    Parameters
    ----------
    plan : Plan
        The plan to draw
    say : Wording
        Units of the drawing

    Returns
    -------
    Scene
        Heights, distances and scale
    """
    survey, chimney, appliance = plan.survey, plan.chimney, plan.appliance
    levels = levels_of(survey, appliance, chimney)
    assumed: set[str] = set()

    def likely(name: str, known: float | None) -> float:
        if known is None:
            assumed.add(name)
            return _LIKELY[name]
        return known

    slope = likely("rise", levels.rise) / 12
    ceiling = likely("ceiling", survey.floor_to_ceiling)
    vaulted = survey.route == VAULTED_CEILING
    plumb = math.hypot(1, slope) if vaulted else 1.0
    framing_bottom = ceiling + likely("ceiling_thickness", survey.ceiling_thickness) * plumb
    framing_top = framing_bottom + likely("member_depth", survey.member_depth) * plumb
    deck_underside = framing_top if vaulted else framing_top + likely("attic_height", survey.attic_height)
    deck = likely("deck_thickness", survey.deck_thickness) + (levels.covering or 0.0)
    roof = deck_underside + deck * math.hypot(1, slope)
    outer = likely("outer", chimney.outer_diameter)
    inner = min(likely("inner", chimney.inner_diameter), outer)
    opening = outer + 2 * likely("gap", chimney.clearance) if plan.opening is None else plan.opening
    above = plan.termination.height_above_centre if plan.termination else None
    required = roof + likely("above_roof", above)
    outlet = max(plan.outlet or required, roof + 0.1)
    collar = likely("collar", appliance.collar_height)
    hangs = likely("projection", chimney.box_projection if vaulted else chimney.support_projection)
    first_joint = ceiling - hangs - (opening / 2 * slope if vaulted else 0.0)
    top = max([outlet + 0.32, required + 0.12, *_tops(plan, roof, slope)])
    uphill = _uphill(plan, slope)
    scale = min(LARGEST_SCALE, (RIGHT - LEFT) / (uphill + DOWNHILL), TALLEST / top)
    spare = (RIGHT - LEFT) - (uphill + DOWNHILL) * scale
    return Scene(
        plan=plan,
        say=say,
        assumed=frozenset(assumed),
        collar=min(collar, first_joint - 0.05),
        ceiling=ceiling,
        framing_bottom=framing_bottom,
        framing_top=framing_top,
        insulation_top=levels.insulation_top,
        deck_underside=deck_underside,
        roof=roof,
        slope=slope,
        first_joint=first_joint,
        required=required,
        outlet=outlet,
        outer=outer,
        inner=inner,
        connector=appliance.collar_diameter or inner,
        opening=opening,
        ridge=None if survey.roof_shape == "flat" else survey.ridge_distance,
        scale=scale,
        centre=LEFT + uphill * scale + spare * 0.7,
        ground=TOP + top * scale,
    )


def _tops(plan: Plan, roof: float, slope: float) -> list[float]:
    """Heights of what stands above the roof beside the chimney [m]."""
    tops = [roof + one.height + 0.8 for one in plan.survey.obstacles if one.distance <= MOST_UPHILL]
    if plan.survey.roof_shape != "flat":
        reach = plan.survey.ridge_distance if plan.survey.ridge_distance is not None else LEAST_UPHILL
        tops.append(roof + slope * min(reach, _uphill(plan, slope)) + 0.3)
    return tops


def _uphill(plan: Plan, slope: float) -> float:
    """How far the drawing reaches uphill [m]: to the ridge or the radius, whichever is nearer."""
    reaches = [LEAST_UPHILL]
    radius = plan.termination_radius
    if slope > 0 and plan.survey.ridge_distance is not None:
        within = plan.survey.ridge_distance if radius is None else min(plan.survey.ridge_distance, radius)
        reaches.append(within + 0.45)
    reaches += [one.distance + 0.35 for one in plan.survey.obstacles if one.distance <= MOST_UPHILL]
    return min(MOST_UPHILL, max(reaches))
