"""How far the outlet stands above the roof, and which part of the building says so."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calcs.checks import EQUAL_WITHIN, Source
from calcs.lengths import format_both
from calcs.outlet_rules import Demand, Outlet, demands_of, flue_height_demand
from calcs.roof import check_not_negative, check_positive
from calcs.roof_surfaces import obstacle_faces, roof_surfaces
from calcs.rulebook import RuleBook, as_rulebook
from calcs.survey import Obstacle

#: Coverings that a spark may light; the outlet then stands higher where the rule book says so.
EASILY_LIT = frozenset({"thatch", "wood shingle"})


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
    #: How far around the chimney's outside the rule book looks for anything higher [m].
    reach: float | None = None

    @property
    def governing(self) -> Demand:
        """The demand that asks for most; of equals the first."""
        return next(
            one
            for one in self.demands
            if one.name == self.governed_by and one.height == self.height_above_penetration
        )

    @property
    def steps(self) -> tuple[str, ...]:
        """The working, one sentence a demand, and which one governs."""
        least = format_both(self.height_above_penetration, "up")
        last = f"The outlet stands at least {least} above it; the {self.governed_by} governs."
        return (*(demand.sentence for demand in self.demands), last)


def termination_height(
    shape: str,
    pitch_degrees: float,
    *,
    rulebook: RuleBook | str,
    ridge_distance: float | None = None,
    outer_diameter: float = 0.0,
    obstacles: Sequence[Obstacle] = (),
    openings: Sequence[Obstacle] = (),
    covering: str = "",
    brace_threshold: float | None = None,
    eaves_distance: float | None = None,
    hip_distance: float | None = None,
    openings_uphill: Sequence[Obstacle] = (),
    foot_below: float | None = None,
) -> Termination:
    """Least height of the outlet above the roof.

    Parameters
    ----------
    shape : str
        gable | shed | hip | flat [-]
    pitch_degrees : float
        Angle of the roof to the horizontal, 0 for a flat roof [degrees]
    rulebook : RuleBook or str
        Rule book of the jurisdiction [-]
    ridge_distance : float | None
        Level, from the flue centre to the ridge or the upper edge of a shed; needed unless the roof is
        flat [m]
    outer_diameter : float
        Outside diameter of the chimney [m]
    obstacles : Sequence[Obstacle]
        Parts of this or another building, with distance from the flue centre and height above the point
        where the flue's centre passes the roof; those of the kind opening count as openings [m]
    openings : Sequence[Obstacle]
        Openable rooflights, dormer windows and the like, with distance and the height of their top [m]
    covering : str
        Roof covering; thatch and wood shingle are easily lit [-]
    brace_threshold : float | None
        Height above the roof, on the pipe's downhill side, over which the listing asks for a brace; None
        takes the rule book's [m]
    eaves_distance : float | None
        Level, from the flue centre down the slope to the eaves; on a hip roof only [m]
    hip_distance : float | None
        Level, from the flue centre to the eaves of a hip roof's hipped end [m]
    openings_uphill : Sequence[Obstacle]
        Openings that may lie higher up the same slope; the United Kingdom counts them at any distance [m]
    foot_below : float | None
        Appliance's collar below the point where the flue's centre passes the roof; where the rule book
        asks for a least height of the flue, the outlet reaches it. None leaves that out [m]

    Returns
    -------
    Termination
        Height, what governs, whether a brace is needed, and every demand with its source [m]

    Raises
    ------
    ValueError
        The shape is not known, a figure is impossible, `ridge_distance` is missing on a sloped roof, the
        flue stands on a hipped end, or the rule book has no rule for the outlet.

    Notes
    -----
    Distances are level and counted from the chimney's outside, which reaches half its diameter further than
    from its centre; heights from the highest point where it meets the roof, on its uphill side.
    United States and Canada: above that point, and above anything within the radius. The roof surface
    within the radius counts even where the ridge is further away.
    United Kingdom: Approved Document J, Diagrams 17 and 18. A dormer or parapet of the house itself counts
    as an adjacent building. A hip roof whose end was not measured is reckoned as a gable: its end only
    slopes away, so that never asks for less.

    Examples
    --------
    A 4/12 roof with the ridge 7 ft away asks for 28 in + 24 in:

    >>> from calcs.rulebook import load_rulebook
    >>> found = termination_height("gable", 18.434948823, rulebook=load_rulebook("us"), ridge_distance=2.1336)
    >>> round(found.height_above_penetration / 0.0254, 2), found.governed_by, found.brace_required
    (52.0, 'ridge', False)

    References
    ----------
    IRC R1003.9, 2012; NFPA 211; NBC 9.21.4.4; Approved Document J, Diagrams 17 and 18. That Diagram 17
    counts level distances from the outside of the chimney and openings above the outlet on the same slope
    at any distance is from memory.
    """
    rulebook = as_rulebook(rulebook)
    check_not_negative("outer_diameter", outer_diameter)
    threshold = brace_threshold
    if threshold is None:
        threshold = rulebook.value("termination.brace_threshold")
    else:
        check_positive("brace_threshold", threshold)
    if foot_below is not None and not math.isfinite(foot_below):
        raise ValueError(f"foot_below must be a number, not {foot_below!r}")

    opened = [*openings, *(one for one in obstacles if one.kind == "opening")]
    outlet = Outlet(
        rulebook,
        roof_surfaces(
            shape,
            pitch_degrees,
            ridge_distance=ridge_distance,
            eaves_distance=eaves_distance,
            hip_distance=hip_distance,
            obstacles=[one for one in obstacles if one.kind != "opening"],
        ),
        outer_diameter / 2,
        openings=obstacle_faces(opened),
        openings_uphill=obstacle_faces(openings_uphill),
        easily_lit=covering in EASILY_LIT,
    )
    demands = demands_of(outlet)
    if foot_below is not None:
        demands += flue_height_demand(outlet, foot_below)
    highest = demands[0]
    for demand in demands[1:]:
        if demand.height > highest.height + EQUAL_WITHIN:
            highest = demand
    above_centre = highest.height + outlet.penetration
    above_downhill = above_centre + outlet.half * outlet.surfaces.slope
    return Termination(
        height_above_penetration=highest.height,
        height_above_centre=above_centre,
        height_above_downhill=above_downhill,
        governed_by=highest.name,
        source=highest.source,
        brace_required=None if threshold is None else above_downhill > threshold + EQUAL_WITHIN,
        brace_threshold=threshold,
        demands=tuple(demands),
        reach=rulebook.value("termination.radius") or rulebook.value("termination.from_surface"),
    )
