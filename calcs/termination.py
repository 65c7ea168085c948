"""How far the outlet stands above the roof, and which part of the building says so."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calcs.checks import EQUAL_WITHIN, Source
from calcs.lengths import format_both
from calcs.roof import check_not_negative, check_pitch, check_positive
from calcs.rulebook import Rule, RuleBook
from calcs.survey import Obstacle

SHAPES = ("gable", "shed", "flat")
#: Coverings that a spark may light; the outlet then stands higher where the rule book says so.
EASILY_LIT = frozenset({"thatch", "wood shingle"})


@dataclass(frozen=True)
class Demand:
    """Height one part of the building asks for, above the highest point of penetration, in m."""

    name: str
    height: float
    source: Source
    sentence: str


@dataclass(frozen=True)
class Termination:
    """Least height of the outlet, in m, and what governs it.

    `height_above_penetration` counts from the highest point where the pipe meets the roof, which is its
    uphill side; `height_above_centre` from where the flue's centre passes the roof surface;
    `height_above_downhill` from the pipe's downhill side, where most of it stands free and which a brace
    is reckoned from. `brace_required` is None when no threshold is known.
    """

    height_above_penetration: float
    height_above_centre: float
    height_above_downhill: float
    governed_by: str
    source: Source
    brace_required: bool | None
    brace_threshold: float | None
    demands: tuple[Demand, ...]

    @property
    def steps(self) -> tuple[str, ...]:
        """The working, one sentence a demand, and which one governs."""
        least = format_both(self.height_above_penetration, "up")
        last = f"The outlet stands at least {least} above it; the {self.governed_by} governs."
        return (*(demand.sentence for demand in self.demands), last)


@dataclass(frozen=True)
class _Roof:
    """Roof around a plumb pipe, heights above the highest point of penetration, all in m."""

    shape: str
    tangent: float
    ridge_distance: float
    radius: float

    @property
    def penetration(self) -> float:
        """Highest point of penetration above the point where the flue's centre passes the surface."""
        return min(self.radius, self.ridge_distance) * self.tangent

    @property
    def downhill(self) -> float:
        """The pipe's downhill side below the point where the flue's centre passes the surface."""
        return self.radius * self.tangent

    @property
    def ridge_run(self) -> float:
        """From the pipe's uphill side to the ridge, level."""
        return max(0.0, self.ridge_distance - self.radius)

    @property
    def ridge_rise(self) -> float:
        return self.ridge_run * self.tangent

    @property
    def top(self) -> str:
        return "ridge" if self.shape == "gable" else "upper edge"


def termination_height(
    shape: str,
    pitch_degrees: float,
    *,
    rulebook: RuleBook,
    ridge_distance: float | None = None,
    outer_diameter: float = 0.0,
    obstacles: Sequence[Obstacle] = (),
    openings: Sequence[Obstacle] = (),
    covering: str = "",
    brace_threshold: float | None = None,
) -> Termination:
    """Least height of the outlet above the roof.

    Parameters
    ----------
    shape : str
        gable | shed | flat [-]
    pitch_degrees : float
        Angle of the roof to the horizontal, 0 for a flat roof [degrees]
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    ridge_distance : float | None
        Level, from the flue centre to the ridge of a gable or the upper edge of a shed; needed unless the
        roof is flat [m]
    outer_diameter : float
        Outside diameter of the chimney [m]
    obstacles : Sequence[Obstacle]
        Parts of this or another building, with distance from the flue centre and height above the point
        where the flue's centre passes the roof [m]
    openings : Sequence[Obstacle]
        Openable rooflights, dormer windows and the like, with distance and the height of their top [m]
    covering : str
        Roof covering; thatch and wood shingle are easily lit [-]
    brace_threshold : float | None
        Height above the roof, on the pipe's downhill side, over which the listing asks for a brace; None
        takes the rule book's [m]

    Returns
    -------
    Termination
        Height, what governs, whether a brace is needed, and every demand with its source [m]

    Raises
    ------
    ValueError
        The shape is not known, a figure is impossible, `ridge_distance` is missing on a sloped roof, or
        the rule book has no rule for the outlet.

    Notes
    -----
    United States and Canada: above the highest point of penetration, and above anything within the radius
    of the pipe's outside. The roof surface within the radius counts even where the ridge is further away.
    United Kingdom: Approved Document J, Diagrams 17 and 18.

    Examples
    --------
    A 4/12 roof with the ridge 7 ft away asks for 28 in + 24 in:

    >>> from calcs.rulebook import load_rulebook
    >>> found = termination_height("gable", 18.434948823, rulebook=load_rulebook("us"), ridge_distance=2.1336)
    >>> round(found.height_above_penetration / 0.0254, 2), found.governed_by, found.brace_required
    (52.0, 'ridge', False)

    References
    ----------
    IRC R1003.9, 2012; NFPA 211; NBC 9.21.4.4; Approved Document J, Diagrams 17 and 18.
    """
    if shape not in SHAPES:
        raise ValueError(f"shape must be one of {', '.join(SHAPES)}, not {shape!r}")
    check_pitch(pitch_degrees)
    check_not_negative("outer_diameter", outer_diameter)
    for one in (*obstacles, *openings):
        check_not_negative(f"distance of {one.name or 'an obstacle'}", one.distance)
        if not math.isfinite(one.height):
            raise ValueError(f"height of {one.name or 'an obstacle'} must be a number, not {one.height!r}")
    threshold = brace_threshold
    if threshold is None:
        threshold = rulebook.value("termination.brace_threshold")
    else:
        check_positive("brace_threshold", threshold)

    roof = _roof(shape, pitch_degrees, ridge_distance, outer_diameter / 2)
    if rulebook.find("termination.above_penetration"):
        demands = _radius_demands(rulebook, roof, (*obstacles, *openings))
    elif rulebook.find("termination.above_intersection"):
        demands = _diagram_demands(rulebook, roof, obstacles, openings, covering in EASILY_LIT)
    else:
        raise ValueError(f"rulebook {rulebook.code} holds no rule for the height of the outlet")

    highest = demands[0]
    for demand in demands[1:]:
        if demand.height > highest.height + EQUAL_WITHIN:
            highest = demand
    above_centre = highest.height + roof.penetration
    above_downhill = above_centre + roof.downhill
    return Termination(
        height_above_penetration=highest.height,
        height_above_centre=above_centre,
        height_above_downhill=above_downhill,
        governed_by=highest.name,
        source=highest.source,
        brace_required=None if threshold is None else above_downhill > threshold + EQUAL_WITHIN,
        brace_threshold=threshold,
        demands=tuple(demands),
    )


def _roof(shape: str, pitch_degrees: float, ridge_distance: float | None, radius: float) -> _Roof:
    if shape == "flat":
        return _Roof(shape, 0.0, math.inf, radius)
    if ridge_distance is None:
        raise ValueError("ridge_distance is not known; measure level from the flue centre to the ridge")
    check_not_negative("ridge_distance", ridge_distance)
    return _Roof(shape, math.tan(math.radians(pitch_degrees)), ridge_distance, radius)


def _needed(rulebook: RuleBook, key: str) -> tuple[Rule, float]:
    rule = rulebook.find(key)
    if rule is None or rule.value is None:
        raise ValueError(f"rulebook {rulebook.code} holds no figure for {key}")
    return rule, rule.value


def _radius_demands(rulebook: RuleBook, roof: _Roof, obstacles: Sequence[Obstacle]) -> list[Demand]:
    """Evaluate the rule of a height over the roof and a height over anything within a radius."""
    base_rule, base = _needed(rulebook, "termination.above_penetration")
    over_rule, over = _needed(rulebook, "termination.above_radius")
    _, radius = _needed(rulebook, "termination.radius")
    demands = [
        Demand(
            "penetration",
            base,
            base_rule.source,
            f"At least {format_both(base)} above the highest point where the chimney passes the roof.",
        )
    ]
    if roof.tangent > 0 and roof.ridge_run > 0:
        reached = roof.ridge_run <= radius + EQUAL_WITHIN
        rise = min(roof.ridge_run, radius) * roof.tangent
        where = f"the {roof.top}" if reached else "the roof surface at the edge of the radius"
        demands.append(
            Demand(
                roof.top if reached else "roof surface",
                rise + over,
                over_rule.source,
                f"Within {format_both(radius)} {where} rises {format_both(rise)} above that point; "
                f"with {format_both(over)} over it that is {format_both(rise + over)}.",
            )
        )
    for one in obstacles:
        if one.distance - roof.radius > radius + EQUAL_WITHIN:
            continue
        height = one.height - roof.penetration + over
        demands.append(
            Demand(
                one.name,
                height,
                over_rule.source,
                f"{one.name} within {format_both(radius)}: {format_both(over)} over its top "
                f"is {format_both(height)}.",
            )
        )
    return demands


def _diagram_demands(
    rulebook: RuleBook,
    roof: _Roof,
    buildings: Sequence[Obstacle],
    openings: Sequence[Obstacle],
    easily_lit: bool,
) -> list[Demand]:
    """Evaluate the outlet positions of Approved Document J."""
    _, near = _needed(rulebook, "termination.near_ridge")
    if roof.ridge_run <= near + EQUAL_WITHIN:
        rule, over = _needed(rulebook, "termination.above_ridge")
        height = roof.ridge_rise + over
        demands = [
            Demand(
                roof.top,
                height,
                rule.source,
                f"At or within {format_both(near)} of the {roof.top}: {format_both(over)} above it "
                f"is {format_both(height)}.",
            )
        ]
    else:
        demands = [_away_from_ridge(rulebook, roof)]
    if easily_lit:
        demands.extend(_easily_lit(rulebook, roof, near))
    for kind, others in (("opening", openings), ("building", buildings)):
        rule, over = _needed(rulebook, f"termination.above_{kind}")
        _, within = _needed(rulebook, f"termination.{kind}_distance")
        for one in others:
            if one.distance - roof.radius > within + EQUAL_WITHIN:
                continue
            height = one.height - roof.penetration + over
            demands.append(
                Demand(
                    one.name,
                    height,
                    rule.source,
                    f"{one.name} within {format_both(within)}: {format_both(over)} over its top "
                    f"is {format_both(height)}.",
                )
            )
    return demands


def _away_from_ridge(rulebook: RuleBook, roof: _Roof) -> Demand:
    rule, over = _needed(rulebook, "termination.above_intersection")
    _, aside = _needed(rulebook, "termination.from_surface")
    # An outlet as high as the ridge has no roof beside it, so the level distance asks for no more than that.
    ridge_rise = roof.ridge_rise if roof.tangent > 0 else math.inf
    level = min(aside * roof.tangent, ridge_rise)
    upright = min(over, ridge_rise)
    as_ridge = ridge_rise <= max(level, upright) + EQUAL_WITHIN
    if level > upright + EQUAL_WITHIN:
        return Demand(
            roof.top if as_ridge else "roof surface",
            level,
            rulebook.rules["termination.from_surface"].source,
            f"To stand {format_both(aside)} level from the roof surface, or as high as the {roof.top}: "
            f"{format_both(level)}.",
        )
    return Demand(
        roof.top if as_ridge else "penetration",
        upright,
        rule.source,
        f"At least {format_both(over)} above the highest point where the chimney meets the roof, or as high "
        f"as the {roof.top}: {format_both(upright)}.",
    )


def _easily_lit(rulebook: RuleBook, roof: _Roof, near: float) -> list[Demand]:
    rule, over = _needed(rulebook, "termination.ignitable_above_surface")
    demands = [
        Demand(
            "easily lit covering",
            over,
            rule.source,
            f"Easily lit roof covering: at least {format_both(over)} above the weather surface.",
        )
    ]
    if roof.ridge_run <= near + EQUAL_WITHIN:
        ridge_rule, above = _needed(rulebook, "termination.ignitable_above_ridge")
        height = roof.ridge_rise + above
        demands.append(
            Demand(
                "easily lit covering",
                height,
                ridge_rule.source,
                f"Easily lit roof covering near the {roof.top}: {format_both(above)} above it "
                f"is {format_both(height)}.",
            )
        )
    return demands
