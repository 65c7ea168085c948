"""The working of a plan: what follows from the inputs, step by step, before any of it is put in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from calcs.attic import protect_attic
from calcs.elbow_way import ElbowWay
from calcs.flue_draft import find_draft
from calcs.flue_run import FlueRun
from calcs.framing import BayFit, Cut, NearestFit
from calcs.levels import Levels, levels_of
from calcs.missing import Missing
from calcs.outlet import pass_roof
from calcs.position import frame_opening
from calcs.roof import RoofOpening, RoofPassage
from calcs.routes import FLAT_CEILING, LINED_CHIMNEY, THROUGH_WALL, VAULTED_CEILING
from calcs.routes.liner_plan import line_flue, require_outlet
from calcs.routes.vault import frame_slope
from calcs.routes.wall_plan import pass_wall
from calcs.rulebook import RuleBook
from calcs.sections import SectionPlan
from calcs.shield import Panel, ShieldFit
from calcs.stack import stack_sections
from calcs.steps import Step
from calcs.survey import Appliance, Chimney, ChimneySection, Survey
from calcs.termination import Termination


@dataclass
class Workings:
    """Inputs and what follows from them [m, Pa]; None where an input is missing."""

    survey: Survey
    appliance: Appliance
    chimney: Chimney
    rulebook: RuleBook
    levels: Levels
    missing: Missing = field(default_factory=Missing)
    bay_clear: float | None = None
    opening: float | None = None
    #: From the bay's centre to the flue centre, positive away from the wall the members are counted from.
    plumb_offset: float | None = None
    before_first_member: bool = False
    #: From the wall the members are counted from to the flue centre: measured, or reckoned in a corner.
    wall_to_centre: float | None = None
    #: Joists to be cut and headed off, as no bay holds the box; `bay_clear` then reaches across them.
    members_cut: int = 0
    bay_fit: BayFit | None = None
    nearest: NearestFit | None = None
    #: How elbows would land the box in a bay, where it does not stand in one.
    elbows: ElbowWay | None = None
    #: Whether a clearance along the members is not kept, so that the appliance moves within its bay.
    must_move: bool = False
    #: How far the appliance may move towards the wall the members are counted from, and away from it.
    room: tuple[float | None, float | None] = (None, None)
    #: Whether the space on both sides was measured and its clearance is known.
    room_known: bool = False
    #: The clearances on both sides together leave no place for the appliance.
    walls_too_close: bool = False
    roof_opening: RoofOpening | None = None
    roof_passage: RoofPassage | None = None
    shield: ShieldFit | None = None
    enclosure: tuple[Panel, ...] = ()
    #: Why neither shield nor enclosure can stand there, and what to do.
    attic_refusal: str = ""
    attic_protection: str = "unknown"
    termination: Termination | None = None
    #: Least height of the outlet above the floor, and the height the chosen sections reach.
    outlet_required: float | None = None
    outlet: float | None = None
    sections: SectionPlan | None = None
    theoretical_draft: float | None = None
    #: The flue solved at each output; None where an input is missing.
    flue: FlueRun | None = None
    #: Why a flue whose inputs are all there could not be solved.
    flue_refusal: str = ""
    height_total: float | None = None
    cut_list: tuple[Cut, ...] = ()
    #: Least height of the support box in a vaulted ceiling.
    box_height: float | None = None
    #: From where a liner begins to its end.
    liner_length: float | None = None
    #: Through the wall: the level section in it, and heights of the brackets above the floor.
    wall_piece: ChimneySection | None = None
    brackets: tuple[float, ...] = ()
    #: Topic of a finding -> how it was reckoned.
    working: dict[str, tuple[Step, ...]] = field(default_factory=dict)

    def known(self, purpose: str, *names: str) -> list[Any] | None:
        """Return the inputs by name, or None after noting each missing one with what it is needed for."""
        values = []
        for name in names:
            owner, attribute = name.split(".")
            value = getattr(getattr(self, owner), attribute)
            if value is None or value == ():
                self.missing.add(name, purpose)
            values.append(value)
        return None if any(value is None or value == () for value in values) else values


#: What is reckoned on each route, in its order.
_STEPS: Mapping[str, tuple[Callable[[Workings], None], ...]] = MappingProxyType(
    {
        FLAT_CEILING: (frame_opening, protect_attic, pass_roof, stack_sections, find_draft),
        VAULTED_CEILING: (frame_opening, frame_slope, pass_roof, stack_sections, find_draft),
        LINED_CHIMNEY: (line_flue, pass_roof, require_outlet, find_draft),
        THROUGH_WALL: (frame_opening, pass_wall, pass_roof, stack_sections, find_draft),
    }
)


def work_out(survey: Survey, appliance: Appliance, chimney: Chimney, rulebook: RuleBook) -> Workings:
    """Work out everything the inputs allow.

    Parameters
    ----------
    survey : Survey
        What was measured
    appliance : Appliance
        Listing data of the appliance
    chimney : Chimney
        Listing data of the chimney
    rulebook : RuleBook
        Rules of the site's country

    Returns
    -------
    Workings
        The results, and what is missing for the rest

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> inch = 0.0254
    >>> chimney = Chimney(inner_diameter=6 * inch, outer_diameter=10 * inch, clearance=2 * inch)
    >>> worked = work_out(Survey(), Appliance(), chimney, load_rulebook("us"))
    >>> round(worked.opening / inch, 6), worked.bay_clear
    (14.0, None)
    """
    workings = Workings(
        survey=survey,
        appliance=appliance,
        chimney=chimney,
        rulebook=rulebook,
        levels=levels_of(survey, appliance, chimney),
    )
    for step in _STEPS[survey.route]:
        step(workings)
    return workings
