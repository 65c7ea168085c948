"""What the survey asks on each way out of the house: its sections, and what a figure is called there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from jobs.forms.survey_sections import SECTIONS, SurveySection
from jobs.models.installation import Route
from jobs.models.survey import (
    ChimneyPlace,
    EavesWay,
    FlueEntry,
    FlueInspection,
    FlueShape,
    RafterSpace,
    WallSide,
    YesNo,
)

_PARTS = {section.key: section for section in SECTIONS}
_FLAT = tuple(SECTIONS)


def _draft(*less: str) -> SurveySection:
    """The figures of the draft without those of places the chimney does not pass."""
    section = _PARTS["outside"]
    return replace(section, more=tuple(name for name in section.more if name not in less))


_NO_ATTIC = replace(
    _draft("attic_temperature"), more_title="More for the draft: room, wind, water in the fuel, vents"
)
_VAULTED = (
    _PARTS["walls"],
    SurveySection(
        "framing",
        "Rafters",
        "Find the rafters by a stud finder and a thin nail. Count from the left wall when they run front to "
        "back, from the wall behind the appliance when they run side to side.",
        (
            "member_direction", "member_kind", "wall_to_flue_centre", "wall_to_first_member",
            "member_spacing", "member_thickness", "member_depth", "framing_stock",
        ),
    ),
    SurveySection(
        "heights",
        "Ceiling and rafter space",
        "In the plumb line through the flue centre. Thicknesses are measured square to the slope.",
        ("floor_to_ceiling", "ceiling_rise", "ceiling_thickness", "rafter_vented", "vent_space"),
    ),
    SurveySection(
        "roof",
        "Roof",
        _PARTS["roof"].hint,
        (
            "roof_shape", "roof_rise", "ridge_distance", "eaves_distance", "hip_distance", "deck_thickness",
            "roof_covering", "covering_thickness",
        ),
    ),
    _PARTS["connector"], _PARTS["hearth"], _PARTS["air"],
    _NO_ATTIC,
    _PARTS["notes"],
)  # fmt: skip
_WALL = (
    _PARTS["walls"],
    SurveySection(
        "framing",
        "Wall and studs",
        "Find the studs by a stud finder and a thin nail. Count from the corner on the left, facing the wall "
        "from the room.",
        (
            "wall_to_flue_centre", "wall_to_first_member", "member_spacing", "member_thickness",
            "wall_thickness", "wall_bears", "framing_stock",
        ),
    ),
    SurveySection(
        "heights",
        "Heights and eaves",
        "Heights count from the finished floor inside, outdoors too: carry it out through a window with a "
        "level.",
        (
            "floor_to_ceiling", "thimble_height", "wall_side", "eaves_overhang", "soffit_height",
            "roof_edge_height", "eaves_way",
        ),
    ),
    SurveySection(
        "roof",
        "Roof",
        f"{_PARTS['roof'].hint} Windows near the outlet are obstacles too.",
        (
            "roof_shape", "roof_rise", "ridge_distance", "eaves_distance", "hip_distance", "roof_covering",
            "deck_thickness", "member_kind",
        ),
    ),
    _PARTS["connector"], _PARTS["hearth"], _PARTS["air"],
    _NO_ATTIC,
    _PARTS["notes"],
)  # fmt: skip
_LINED = (
    _PARTS["walls"],
    SurveySection(
        "framing",
        "Masonry chimney",
        "Nothing is planned on a chimney that was not inspected, its inside too. Measure the flue at its "
        "narrowest place: lower a gauge or a camera.",
        (
            "flue_inspection", "chimney_place", "flue_shape", "flue_width", "flue_depth", "flue_entry",
            "throat_width", "throat_depth", "masonry_wall", "masonry_clearance",
        ),
    ),
    SurveySection(
        "heights",
        "Heights",
        "From the finished floor in front of the appliance. Lower a tape down the flue from its top.",
        ("floor_to_ceiling", "flue_entry_height", "flue_top_height", "chimney_above_roof", "masonry_depth"),
    ),
    SurveySection(
        "roof",
        "Roof",
        _PARTS["roof"].hint,
        ("roof_shape", "roof_rise", "ridge_distance", "eaves_distance", "hip_distance", "roof_covering"),
    ),
    _PARTS["connector"], _PARTS["hearth"], _PARTS["air"],
    _NO_ATTIC,
    _PARTS["notes"],
)  # fmt: skip
#: Choices that begin as not known.
OPEN_CHOICES: Mapping[str, list[tuple[str, str]]] = {
    "rafter_vented": RafterSpace.choices,
    "wall_bears": YesNo.choices,
    "wall_side": WallSide.choices,
    "eaves_way": EavesWay.choices,
    "flue_inspection": FlueInspection.choices,
    "flue_shape": FlueShape.choices,
    "flue_entry": FlueEntry.choices,
    "chimney_place": ChimneyPlace.choices,
}
_ROUTES: Mapping[str, tuple[SurveySection, ...]] = {
    Route.FLAT_CEILING: _FLAT,
    Route.VAULTED_CEILING: _VAULTED,
    Route.THROUGH_WALL: _WALL,
    Route.LINED_CHIMNEY: _LINED,
}
#: What a figure is called on a route, where that differs.
ROUTE_LABELS: Mapping[str, Mapping[str, str]] = {
    Route.VAULTED_CEILING: {
        "member_kind": "Under the roof stand",
        "member_direction": "Rafters run",
        "wall_to_first_member": "Wall to the near face of the first rafter",
        "member_spacing": "Rafter spacing, centre to centre",
        "member_thickness": "Rafter thickness",
        "member_depth": "Rafter depth",
        "floor_to_ceiling": "Floor to ceiling at the flue centre, plumb",
    },
    Route.THROUGH_WALL: {
        "wall_to_flue_centre": "Corner to the thimble's centre",
        "wall_to_first_member": "Corner to the near face of the first stud",
        "member_spacing": "Stud spacing, centre to centre",
        "member_thickness": "Stud thickness",
        "member_kind": "The eaves are the ends of",
        "framing_stock": "Lumber for header and sill",
        "connector_run": "Level run, from the collar to the thimble",
        "ridge_distance": "Where the chimney is to stand, to the ridge, level",
    },
    Route.LINED_CHIMNEY: {
        "connector_run": "Level run, from the collar to the liner",
        "ridge_distance": "Middle of the chimney to the ridge, level",
        "eaves_distance": "Middle of the chimney to the eaves, level",
        "hip_distance": "Middle of the chimney to the hipped end, level",
    },
}
#: What is said beside it there; a text in braces is for imperial sites before the bar.
ROUTE_HELP: Mapping[str, Mapping[str, str]] = {
    Route.VAULTED_CEILING: {
        "member_kind": "A truss is never cut, not under a vault either.",
        "member_depth": "Square to the slope: {a 2x10 is 9 1/4 in|38 x 235 is 235 mm} deep.",
        "wall_to_first_member": "From the same wall, level, to the side of the first rafter that faces it.",
    },
    Route.THROUGH_WALL: {
        "wall_to_flue_centre": "Level along the wall, from the inside corner on the left.",
        "wall_to_first_member": "From the same corner to the side of the first stud that faces it.",
        "member_kind": "A truss's tail is never cut.",
        "connector_run": "Level from the middle of the collar to where the chimney begins.",
        "connector_elbows": "One where it turns into the wall.",
        "connector_rise": "Empty: from the collar to the thimble's centre.",
        "ridge_distance": "From the chimney's own centre, outside the wall.",
        "deck_thickness": "Only where it passes through the eaves.",
    },
    Route.LINED_CHIMNEY: {
        "connector_run": "0 when the liner comes straight down to the collar.",
        "connector_rise": "Straight up, from the collar to where the liner begins.",
    },
}
#: What stands overhead is called by its own name on a route.
MEMBER_KINDS: Mapping[str, list[tuple[str, str]]] = {
    Route.VAULTED_CEILING: [("joist", "Rafters"), ("truss", "Trusses")],
    Route.THROUGH_WALL: [("joist", "Rafters"), ("truss", "Trusses")],
}


def sections_of(route: str) -> tuple[SurveySection, ...]:
    """Return the parts of the survey on a route, in the order of the work."""
    return _ROUTES[route]


def asked_on(route: str) -> frozenset[str]:
    """Return the figures that a route asks for."""
    return frozenset(name for part in sections_of(route) for name in (*part.fields, *part.more))


def every_field() -> list[str]:
    """Return every figure that any route asks for, once."""
    parts = [part for sections in _ROUTES.values() for part in sections]
    return list(dict.fromkeys(name for part in parts for name in (*part.fields, *part.more)))
