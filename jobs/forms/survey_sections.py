"""The parts of a survey: where somebody stands, what is measured there, and where the tape is held."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SurveySection:
    """One part of the survey form."""

    key: str
    title: str
    hint: str
    fields: tuple[str, ...]


SECTIONS = (
    SurveySection(
        "walls",
        "Appliance and walls",
        "Stand in front of the place of the appliance. Measure from its outermost part.",
        (
            "rear_wall", "rear_protection", "left_wall", "right_wall", "side_protection", "protected_sides",
            "front_space",
        ),
    ),
    SurveySection(
        "framing",
        "Ceiling framing",
        "Find the members from the attic, or by a stud finder and a thin nail. Count from the left wall when "
        "they run front to back, from the wall behind the appliance when they run side to side.",
        (
            "member_direction", "member_kind", "wall_to_flue_centre", "wall_to_first_member",
            "member_spacing", "member_thickness", "member_depth", "framing_stock",
        ),
    ),
    SurveySection(
        "heights",
        "Heights",
        "All in one plumb line through the flue centre.",
        ("floor_to_ceiling", "ceiling_thickness", "insulation_depth", "attic_height"),
    ),
    SurveySection(
        "roof",
        "Roof",
        "The slope with a level and a tape{: rise in 12 along the level|, or a digital level}. The ridge "
        "distance level too.",
        (
            "roof_shape", "roof_rise", "ridge_distance", "deck_thickness", "roof_covering",
            "covering_thickness", "rafter_depth",
        ),
    ),
    SurveySection(
        "connector",
        "Connector",
        "The pipe from the collar to the chimney. Straight up from the collar: no run, no elbows.",
        ("connector_kind", "connector_clearance", "connector_run", "connector_elbows"),
    ),
    SurveySection(
        "hearth",
        "Hearth",
        "From the appliance, from its door in front, to the edge of the floor protection.",
        ("hearth_front", "hearth_side"),
    ),
    SurveySection(
        "outside",
        "Outside",
        "For the draft. The altitude comes from the site.",
        ("outside_temperature", "notes"),
    ),
)  # fmt: skip

LABELS = {
    "rear_wall": "Appliance to the wall behind",
    "left_wall": "Appliance to the wall on the left",
    "right_wall": "Appliance to the wall on the right",
    "front_space": "Free floor in front",
    "rear_protection": "Protection on the wall behind",
    "side_protection": "Protection on the side walls",
    "protected_sides": "Which of them has it",
    "wall_to_flue_centre": "Wall to the flue centre",
    "wall_to_first_member": "Wall to the near face of the first member",
    "member_spacing": "Member spacing, centre to centre",
    "member_thickness": "Member thickness",
    "member_depth": "Member depth",
    "member_kind": "The ceiling hangs from",
    "member_direction": "Members run",
    "framing_stock": "Lumber for the framed opening",
    "floor_to_ceiling": "Finished floor to finished ceiling",
    "ceiling_thickness": "Thickness of the ceiling board",
    "attic_height": "Top of the members to the roof deck",
    "insulation_depth": "Depth of the attic insulation",
    "roof_shape": "Shape",
    "roof_rise": "Slope",
    "ridge_distance": "Flue centre to the ridge, level",
    "roof_covering": "Covering",
    "deck_thickness": "Thickness of the deck",
    "covering_thickness": "Covering above the deck",
    "rafter_depth": "Depth of the rafters",
    "connector_kind": "Pipe",
    "connector_clearance": "Pipe to the nearest combustible",
    "connector_run": "Level run",
    "connector_elbows": "Elbows",
    "hearth_front": "In front of the door",
    "hearth_side": "Beside the appliance",
    "outside_temperature": "Outside temperature to plan for",
    "notes": "Notes",
}

#: A text in braces is for imperial sites before the bar, for metric ones behind it.
HELP = {
    "rear_wall": "From its rearmost part, level, to the combustible wall itself.",
    "front_space": "To the nearest furniture or wall.",
    "wall_to_flue_centre": "Drop a plumb line through the middle of the collar and measure to it.",
    "wall_to_first_member": "From the same wall to the side of the first member that faces it.",
    "side_protection": "Choose beside it which wall has it; a wall not named counts as bare.",
    "member_spacing": "Across two bays and halved is surer. Often {16 or 24 in|400 or 600 mm}.",
    "member_kind": "Trusses: webs run up to the rafters. A truss is never cut.",
    "member_depth": "Measure one; a {2x6 is 5 1/2 in|38 x 140 is 140 mm} deep.",
    "attic_height": "Straight up from the top edge, at the flue centre, to the underside of the deck.",
    "insulation_depth": "From the top of the ceiling board, where it has not been trodden down.",
    "roof_rise": "{6/12 or 26.5°|26.5°}; 0 for a flat roof.",
    "covering_thickness": "Square to the slope, battens and insulation too. Empty: what is usual for it.",
    "ridge_distance": "To the upper edge for a shed roof.",
    "connector_clearance": "From the outside of the pipe.",
    "connector_run": "0 when it rises straight up.",
    "connector_elbows": "0 when it rises straight up.",
    "hearth_side": "The smaller of the two sides.",
    "outside_temperature": "A mild day draws worst: plan for the warmest day of fires, often {59 °F|15 °C}.",
    "notes": "What the drawing cannot show.",
}
