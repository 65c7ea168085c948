"""What each rule book asks of the outlet, evaluated on the real surfaces of the roof."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from calcs.checks import EQUAL_WITHIN, Source
from calcs.lengths import format_both
from calcs.roof_surfaces import Face, HighPoint, Point, RoofSurfaces
from calcs.rulebook import Rule, RuleBook


@dataclass(frozen=True)
class Demand:
    """Height one part of the building asks for, above the highest point of penetration, in m.

    `top` is how high that part stands above the same point, `over` what the rule asks for above it, and
    `place` where it lies in plan: along the ridge and uphill from the flue centre.
    """

    name: str
    height: float
    source: Source
    sentence: str
    top: float | None = None
    over: float | None = None
    place: Point | None = None


@dataclass(frozen=True)
class Outlet:
    """A plumb pipe through a roof, its heights counted from its highest point of penetration [m]."""

    rulebook: RuleBook
    surfaces: RoofSurfaces
    #: Half of the chimney's outside diameter; distances are level and counted from its outside.
    half: float
    openings: tuple[Face, ...] = ()
    #: Openings higher up the same slope, which some rule books count at any distance.
    openings_uphill: tuple[Face, ...] = ()
    easily_lit: bool = False

    @cached_property
    def penetration(self) -> float:
        """Highest point of penetration above the point where the flue's centre passes the roof [m]."""
        return self.surfaces.highest_roof(self.half).height

    @property
    def ridge_run(self) -> float:
        """From the pipe's outside to the ridge or upper edge, level [m]."""
        return max(0.0, self.surfaces.ridge_distance - self.half)

    @property
    def ridge_rise(self) -> float:
        """Ridge or upper edge above the highest point of penetration [m]."""
        return max(0.0, self.surfaces.ridge_height - self.penetration)

    @property
    def top(self) -> str:
        """What the roof's highest line is called."""
        return "upper edge" if self.surfaces.shape == "shed" else "ridge"

    def roof_within(self, radius: float) -> HighPoint | None:
        """Highest point of the roof within a radius of the pipe's outside; None where it rises no further."""
        found = self.surfaces.highest_roof(self.half + radius)
        return found if found.height > self.penetration + EQUAL_WITHIN else None

    def within(self, faces: Sequence[Face], radius: float) -> list[HighPoint]:
        """Highest point of each of these that is in reach."""
        found = [face.highest_within(self.half + radius) for face in faces]
        return [one for one in found if one is not None]

    def is_ridge(self, point: HighPoint) -> bool:
        """Whether a point of the roof lies as high as its ridge."""
        return point.height >= self.surfaces.ridge_height - EQUAL_WITHIN

    def above(self, point: HighPoint, over: float, rule: Rule, sentence: str, name: str = "") -> Demand:
        """A height over a point; `{over}` and `{height}` in the sentence are filled in."""
        top = point.height - self.penetration
        told = sentence.format(over=format_both(over), rise=format_both(top), height=format_both(top + over))
        return Demand(name or point.name, top + over, rule.source, told, top, over, (point.x, point.y))


def demands_of(outlet: Outlet) -> list[Demand]:
    """Evaluate the rule book's outlet rules.

    Parameters
    ----------
    outlet : Outlet
        The pipe, the roof around it and the rule book

    Returns
    -------
    list[Demand]
        Every height asked for, the roof's own first [m]

    Raises
    ------
    ValueError
        The rule book has no rule for the outlet, or lacks one of its figures.

    Examples
    --------
    >>> from calcs.roof_surfaces import roof_surfaces
    >>> from calcs.rulebook import load_rulebook
    >>> roof = roof_surfaces("gable", 45.0, ridge_distance=2.0)
    >>> [round(one.height, 3) for one in demands_of(Outlet(load_rulebook("ca"), roof, 0.0))]
    [0.9, 2.6]

    References
    ----------
    IRC R1003.9; NFPA 211; NBC 9.21.4.4; Approved Document J, Diagrams 17 and 18.
    """
    book = outlet.rulebook
    if book.find("termination.above_penetration"):
        return _radius_demands(outlet)
    if book.find("termination.above_intersection"):
        return _diagram_demands(outlet)
    raise ValueError(f"rulebook {book.code} holds no rule for the height of the outlet")


def flue_height_demand(outlet: Outlet, foot_below: float) -> list[Demand]:
    """Height at which the flue is as tall as the rule book asks for, where it does.

    Parameters
    ----------
    outlet : Outlet
        The pipe and the rule book
    foot_below : float
        Appliance's collar below the point where the flue's centre passes the roof [m]

    Returns
    -------
    list[Demand]
        One demand, or none [m]

    Examples
    --------
    >>> from calcs.roof_surfaces import roof_surfaces
    >>> from calcs.rulebook import load_rulebook
    >>> outlet = Outlet(load_rulebook("uk"), roof_surfaces("flat", 0.0), 0.0)
    >>> flue_height_demand(outlet, 3.0)[0].height
    1.5

    References
    ----------
    Approved Document J: a flue at least 4.5 m high.
    """
    rule = outlet.rulebook.find("chimney.least_height")
    if rule is None or rule.value is None:
        return []
    below = foot_below + outlet.penetration
    height = rule.value - below
    sentence = (
        f"The flue is at least {format_both(rule.value)} high; {format_both(below)} of it lie below that "
        f"point, which leaves {format_both(max(0.0, height))}."
    )
    return [Demand("flue height", height, rule.source, sentence, -below, rule.value)]


def _needed(rulebook: RuleBook, key: str) -> tuple[Rule, float]:
    rule = rulebook.find(key)
    if rule is None or rule.value is None:
        raise ValueError(f"rulebook {rulebook.code} holds no figure for {key}")
    return rule, rule.value


def _radius_demands(outlet: Outlet) -> list[Demand]:
    """Evaluate the rule of a height over the roof and a height over anything within a radius."""
    base_rule, base = _needed(outlet.rulebook, "termination.above_penetration")
    rule, over = _needed(outlet.rulebook, "termination.above_radius")
    _, radius = _needed(outlet.rulebook, "termination.radius")
    sentence = f"At least {format_both(base)} above the highest point where the chimney passes the roof."
    demands = [Demand("penetration", base, base_rule.source, sentence, 0.0, base)]
    if roof := outlet.roof_within(radius):
        ridge = outlet.is_ridge(roof)
        where = f"the {outlet.top}" if ridge else "the roof surface at the edge of the radius"
        told = f"Within {format_both(radius)} {where} rises {{rise}} above that point; "
        told += "with {over} over it that is {height}."
        demands.append(outlet.above(roof, over, rule, told, outlet.top if ridge else "roof surface"))
    others = (*outlet.surfaces.obstacles, *outlet.openings, *outlet.openings_uphill)
    for point in outlet.within(others, radius):
        told = f"{_plain(point.name)} within {format_both(radius)}: {{over}} over its top is {{height}}."
        demands.append(outlet.above(point, over, rule, told))
    return demands


def _diagram_demands(outlet: Outlet) -> list[Demand]:
    """Evaluate the outlet positions of Approved Document J."""
    book = outlet.rulebook
    _, near = _needed(book, "termination.near_ridge")
    is_near = outlet.ridge_run <= near + EQUAL_WITHIN
    demands = [_near_ridge(outlet, near) if is_near else _away_from_ridge(outlet)]
    if outlet.easily_lit:
        demands.extend(_easily_lit(outlet, near if is_near else None))
    for kind, faces in (("opening", outlet.openings), ("building", outlet.surfaces.obstacles)):
        rule, over = _needed(book, f"termination.above_{kind}")
        _, within = _needed(book, f"termination.{kind}_distance")
        for point in outlet.within(faces, within):
            told = f"{_plain(point.name)} within {format_both(within)}: {{over}} over its top is {{height}}."
            demands.append(outlet.above(point, over, rule, told))
    return [*demands, *_below_openings(outlet)]


def _below_openings(outlet: Outlet) -> list[Demand]:
    """Heights over openings that may lie higher up the same slope, where the rule book counts them."""
    below = outlet.rulebook.find("termination.below_opening")
    if below is None or not outlet.openings_uphill:
        return []
    _, over = _needed(outlet.rulebook, "termination.above_opening")
    demands = []
    for face in outlet.openings_uphill:
        point = HighPoint(0.0, face.corners[0][1], face.height, face.name, face.kind)
        told = f"{_plain(point.name)} may lie higher up the same slope, where it counts at any distance: "
        demands.append(outlet.above(point, over, below, told + "{over} over its top is {height}."))
    return demands


def _plain(name: str) -> str:
    """A name typed by somebody, safe to fill figures in beside it."""
    return name.replace("{", "{{").replace("}", "}}")


def _ridge_point(outlet: Outlet) -> HighPoint:
    surfaces = outlet.surfaces
    x, y = (min(0.0, surfaces.ridge[1][0]), surfaces.ridge[0][1]) if surfaces.ridge else (0.0, 0.0)
    height = max(surfaces.ridge_height, outlet.penetration)
    return HighPoint(x, y, height, outlet.top, "roof")


def _near_ridge(outlet: Outlet, near: float) -> Demand:
    rule, over = _needed(outlet.rulebook, "termination.above_ridge")
    told = f"At or within {format_both(near)} of the {outlet.top}: {{over}} above it is {{height}}."
    return outlet.above(_ridge_point(outlet), over, rule, told)


def _away_from_ridge(outlet: Outlet) -> Demand:
    """Clear of the roof beside it, and so far above its intersection or as high as the ridge."""
    rule, over = _needed(outlet.rulebook, "termination.above_intersection")
    aside_rule, aside = _needed(outlet.rulebook, "termination.from_surface")
    surfaces = outlet.surfaces
    # An outlet as high as everything within the distance has no weather surface beside it there.
    beside = outlet.roof_within(aside)
    level = beside.height - outlet.penetration if beside else 0.0
    upright = over if not surfaces.slope else min(over, outlet.ridge_rise)
    as_ridge = bool(surfaces.slope) and outlet.ridge_rise <= max(level, upright) + EQUAL_WITHIN
    if beside and level > upright + EQUAL_WITHIN:
        return Demand(
            outlet.top if as_ridge else "roof surface",
            level,
            aside_rule.source,
            f"To stand {format_both(aside)} level from the roof surface, or as high as the {outlet.top}: "
            f"{format_both(level)}.",
            level,
            0.0,
            (beside.x, beside.y),
        )
    return Demand(
        outlet.top if as_ridge else "penetration",
        upright,
        rule.source,
        f"At least {format_both(over)} above the highest point where the chimney meets the roof, or as high "
        f"as the {outlet.top}: {format_both(upright)}.",
        upright if as_ridge else 0.0,
        0.0 if as_ridge else over,
    )


def _easily_lit(outlet: Outlet, near: float | None) -> list[Demand]:
    """Heights over a covering that a spark may light; `near` where the outlet stands near the ridge."""
    name = "easily lit covering"
    rule, over = _needed(outlet.rulebook, "termination.ignitable_above_surface")
    sentence = f"Easily lit roof covering: at least {format_both(over)} above the weather surface."
    demands = [Demand(name, over, rule.source, sentence, 0.0, over)]
    if near is not None:
        rule, over = _needed(outlet.rulebook, "termination.ignitable_above_ridge")
        told = f"Easily lit roof covering near the {outlet.top}: {{over}} above it is {{height}}."
        demands.append(outlet.above(_ridge_point(outlet), over, rule, told, name))
    return demands
