"""The scene of a chimney through the wall: places in metres from the wall's outer face, and on paper."""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.drawing.scene import LARGEST_SCALE, LEFT, RIGHT, TALLEST, TOP
from calcs.drawing.svg import Point
from calcs.levels import levels_of
from calcs.plan import Plan
from calcs.routes.wall import first_joint, flue_from_wall, standoff
from calcs.section_plan import ELBOW_PAIR
from calcs.wording import Wording

#: Drawn, never dimensioned, where a measure is missing [m; rise in 12].
_LIKELY = {
    "wall": 0.16, "thimble": 1.5, "ceiling": 2.4, "soffit": 2.5, "edge": 2.75, "overhang": 0.3, "rise": 6.0,
    "outer": 0.25, "inner": 0.15, "gap": 0.05, "standoff": 0.08, "projection": 0.1, "tee": 0.25,
    "collar": 0.75, "run": 0.3, "above": 1.2,
}  # fmt: skip
#: A longer run of the connector is drawn at this length, and what is shown inside and outside [m].
LONGEST_RUN, INSIDE, OUTSIDE = 0.9, 0.75, 0.55
#: From the floor down to the ground outside, and from the tee's centre to its cleanout [m].
GROUND, TEE_DROP = 0.25, 0.24


@dataclass(frozen=True)
class WallScene:
    """Heights above the floor and distances from the wall's outer face [m], outdoors positive."""

    plan: Plan
    say: Wording
    assumed: frozenset[str]
    wall: float
    thimble: float
    ceiling: float
    soffit: float
    edge: float
    overhang: float
    slope: float
    outer: float
    inner: float
    connector: float
    opening: float
    #: Flue centre at the tee, and above an offset below the eaves.
    tee: float
    top: float
    projection: float
    first_joint: float
    collar: float
    #: Centre of the appliance's collar.
    appliance: float
    required: float
    outlet: float
    scale: float
    wall_at: float
    ground: float

    @property
    def height(self) -> float:
        """Height of the whole paper [px]."""
        return self.ground + GROUND * self.scale + 74

    def at(self, x: float, z: float) -> Point:
        """Place on paper of a point in or beside the house."""
        return self.wall_at + x * self.scale, self.ground - z * self.scale

    def x(self, px: float) -> float:
        """Distance from the wall's outer face of a place on paper [m]."""
        return (px - self.wall_at) / self.scale

    def roof_at(self, x: float) -> float:
        """Height of the roof's surface over the house [m]; past the ridge it falls again."""
        ridge = self.plan.survey.ridge_distance
        up = self.overhang - x
        if ridge is not None and self.plan.survey.roof_shape != "shed":
            up = min(up, 2 * (self.overhang - self.top + ridge) - up)
        return self.edge + self.slope * up

    def flue_at(self, z: float) -> float:
        """Flue centre at a height [m]: at the tee, or carried out by an elbow pair."""
        pair = self.offset
        if pair is None or z <= pair[0]:
            return self.tee
        return (
            self.top
            if z >= pair[1]
            else self.tee + (self.top - self.tee) * (z - pair[0]) / (pair[1] - pair[0])
        )

    @property
    def offset(self) -> tuple[float, float] | None:
        """Heights between which an elbow pair stands [m]."""
        sections = self.plan.sections
        for piece in sections.pieces if sections is not None else ():
            if piece.kind == ELBOW_PAIR:
                return self.first_joint + piece.bottom, self.first_joint + piece.top
        return None


def wall_scene(plan: Plan, say: Wording) -> WallScene:
    """Fit the plan on the paper.

    Parameters
    ----------
    plan : Plan
        The plan to draw
    say : Wording
        Units of the drawing

    Returns
    -------
    WallScene
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

    wall, thimble = likely("wall", survey.wall_thickness), likely("thimble", survey.thimble_height)
    ceiling = likely("ceiling", survey.floor_to_ceiling)
    soffit = likely("soffit", survey.soffit_height)
    edge = max(likely("edge", survey.roof_edge_height), soffit + 0.05)
    overhang = likely("overhang", survey.eaves_overhang)
    slope = likely("rise", levels.rise) / 12
    outer = likely("outer", chimney.outer_diameter)
    inner = min(likely("inner", chimney.inner_diameter), outer)
    opening = outer + 2 * likely("gap", chimney.clearance) if plan.opening is None else plan.opening
    tee = likely("standoff", standoff(survey, chimney)) + outer / 2
    top = flue_from_wall(survey, chimney) or tee
    start = first_joint(survey, chimney)
    joint = thimble + _LIKELY["tee"] if start is None else start
    required = edge + likely("above", None if plan.outlet_required is None else plan.outlet_required - edge)
    outlet = max(plan.outlet or required, joint + 0.3, edge + 0.1)
    collar = likely("collar", appliance.collar_height)
    projection = likely("projection", chimney.thimble_projection)
    run = min(likely("run", survey.connector_run), LONGEST_RUN)
    stands = -(wall + projection + max(run, 0.1))
    left, right = stands - INSIDE, max(top + outer / 2, overhang) + OUTSIDE
    level = survey.wall_side == "gable"
    ridge = survey.ridge_distance
    roof = (
        edge
        if level
        else edge + slope * min(overhang - left, math.inf if ridge is None else overhang - top + ridge)
    )
    highest = max(outlet + 0.35, required + 0.15, roof + 0.1)
    scale = min(LARGEST_SCALE, (RIGHT - LEFT) / (right - left), TALLEST / highest)
    spare = (RIGHT - LEFT) - (right - left) * scale
    return WallScene(
        plan=plan, say=say, assumed=frozenset(assumed), wall=wall, thimble=thimble, ceiling=ceiling,
        soffit=soffit, edge=edge, overhang=overhang, slope=0.0 if level else slope, outer=outer, inner=inner,
        connector=appliance.collar_diameter or inner, opening=opening, tee=tee, top=top,
        projection=projection, first_joint=joint, collar=min(collar, thimble - 0.1), appliance=stands,
        required=required, outlet=outlet, scale=scale, wall_at=LEFT - left * scale + spare * 0.7,
        ground=TOP + highest * scale,
    )  # fmt: skip
