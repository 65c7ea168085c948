"""The parts of a survey: where somebody stands, what is measured there, and where the tape is held."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from calcs.rulebook import RuleBook


@dataclass(frozen=True)
class SurveySection:
    """One part of the survey form; `more` are figures that sharpen a plan which can do without them."""

    key: str
    title: str
    hint: str
    fields: tuple[str, ...]
    more: tuple[str, ...] = ()
    more_title: str = ""


@dataclass(frozen=True)
class Choice:
    """Answers to another question, beside which alone a figure means something; the page knows it by key."""

    key: str
    column: str
    answers: frozenset[str]


SECTIONS = (
    SurveySection(
        "walls",
        "Appliance and walls",
        "Stand in front of the place of the appliance. Measure from its outermost part.",
        (
            "placement", "rear_wall", "left_wall", "right_wall", "corner_wall", "front_space",
            "rear_protection", "side_protection", "protected_sides",
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
        "The slope with a level and a tape{: rise in 12 along the level|, or a digital level}. The distances "
        "level too.",
        (
            "roof_shape", "roof_rise", "ridge_distance", "eaves_distance", "hip_distance", "deck_thickness",
            "roof_covering", "covering_thickness", "rafter_depth",
        ),
    ),
    SurveySection(
        "connector",
        "Connector",
        "The pipe from the collar to the chimney. Straight up from the collar: no run, no elbows.",
        ("connector_kind", "connector_clearance", "connector_run", "connector_elbows"),
        ("connector_length", "connector_rise", "connector_protection"),
        "More about the pipe: its length, its rise, a shield behind it",
    ),
    SurveySection(
        "hearth",
        "Hearth",
        "From the appliance, from its door in front, to the edge of the floor protection.",
        ("hearth_front", "hearth_side", "hearth_rear", "hearth_width", "hearth_depth", "hearth_thickness"),
    ),
    SurveySection(
        "air",
        "Air for the fire",
        "What the fire burns has to come in, through the house's own leaks or through vents that stay open.",
        ("air_permeability", "air_vent_area"),
    ),
    SurveySection(
        "outside",
        "Draft",
        "The altitude comes from the site.",
        ("outside_temperature",),
        ("room_temperature", "attic_temperature", "exposure", "fuel_moisture", "air_vent_area"),
        "More for the draft: room and attic, wind, water in the fuel, vents",
    ),
    SurveySection("notes", "Notes", "", ("notes",)),
)  # fmt: skip

_WALL = Choice("wall", "placement", frozenset({"wall"}))
_CORNER = Choice("corner", "placement", frozenset({"corner"}))
_SLOPED = Choice("sloped", "roof_shape", frozenset({"gable", "shed", "hip"}))
_SQUARED = Choice("rectangular", "flue_shape", frozenset({"", "rectangular"}))
_FIREPLACE = Choice("fireplace", "flue_entry", frozenset({"", "fireplace"}))
_HIP = Choice("hip", "roof_shape", frozenset({"hip"}))
#: Figures that mean something only beside certain answers; the others hide them and keep what was typed.
ONLY_WITH = {
    "rear_wall": _WALL,
    "left_wall": _WALL,
    "right_wall": _WALL,
    "corner_wall": _CORNER,
    "ridge_distance": _SLOPED,
    "eaves_distance": _HIP,
    "hip_distance": _HIP,
    "flue_depth": _SQUARED,
    "throat_width": _FIREPLACE,
    "throat_depth": _FIREPLACE,
}
#: Figures that every plan may use but only some rule books ask for; elsewhere they stand under more alone.
MORE_WITHOUT_RULE = {"air_vent_area": "air_supply.permeability"}
#: Figures that only some rule books ask for, by the rule that does.
ONLY_BY_RULE = {
    "air_permeability": "air_supply.permeability",
    "hearth_width": "hearth.least_size",
    "hearth_depth": "hearth.least_size",
    "hearth_thickness": "hearth.constructional_thickness",
}

LABELS = {
    "placement": "The appliance stands",
    "rear_wall": "Appliance to the wall behind",
    "left_wall": "Appliance to the wall on the left",
    "right_wall": "Appliance to the wall on the right",
    "corner_wall": "Nearest rear corner to either wall",
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
    "eaves_distance": "Flue centre down to the eaves, level",
    "hip_distance": "Flue centre to the hipped end, level",
    "roof_covering": "Covering",
    "deck_thickness": "Thickness of the deck",
    "covering_thickness": "Covering above the deck",
    "rafter_depth": "Depth of the rafters",
    "connector_kind": "Pipe",
    "connector_clearance": "Pipe to the nearest combustible",
    "connector_run": "Level run",
    "connector_elbows": "Elbows",
    "connector_length": "Length along the middle of the pipe",
    "connector_rise": "Rise, from collar to chimney",
    "connector_protection": "Shield between pipe and wall",
    "hearth_front": "In front of the door",
    "hearth_side": "Beside the appliance",
    "hearth_rear": "Behind the appliance",
    "hearth_width": "Width of the hearth",
    "hearth_depth": "Depth of the hearth, front to back",
    "hearth_thickness": "Thickness of the hearth",
    "air_permeability": "Air permeability of the house, at 50 Pa",
    "air_vent_area": "Permanent vents, free area",
    "ceiling_rise": "Slope of the ceiling",
    "rafter_vented": "Over the insulation",
    "vent_space": "Air between insulation and deck",
    "thimble_height": "Floor to the thimble's centre",
    "wall_thickness": "Thickness of the wall",
    "wall_bears": "The wall carries floor or roof",
    "wall_side": "Above the wall stand",
    "eaves_overhang": "Eaves beyond the wall, level",
    "soffit_height": "Floor to the underside of the eaves",
    "roof_edge_height": "Floor to the roof's edge",
    "eaves_way": "The chimney passes the eaves",
    "flue_inspection": "Inspection of the chimney",
    "chimney_place": "The chimney stands",
    "flue_shape": "The flue inside is",
    "flue_width": "Flue, inside width or diameter",
    "flue_depth": "Flue, inside depth",
    "flue_entry": "The liner enters the room",
    "throat_width": "Throat, width",
    "throat_depth": "Throat, depth",
    "flue_entry_height": "Floor to where the liner begins",
    "flue_top_height": "Floor to the top of the masonry",
    "chimney_above_roof": "Masonry above the roof, uphill side",
    "masonry_depth": "Masonry outside, along the slope",
    "masonry_wall": "Thickness of the masonry's wall",
    "masonry_clearance": "Masonry to the nearest thing that burns",
    "outside_temperature": "Outside temperature to plan for",
    "room_temperature": "Temperature of the room",
    "attic_temperature": "Temperature of the attic",
    "exposure": "The house stands",
    "fuel_moisture": "Water in the fuel, wet basis",
    "notes": "What the drawing cannot show",
}

#: A text in braces is for imperial sites before the bar, for metric ones behind it.
HELP = {
    "corner_wall": "Square to that wall. Face the corner: the wall on your right counts as the wall behind, "
    "the one on your left as the left wall.",
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
    "ceiling_rise": "{6/12 or 26.5°|26.5°}. Measure it; do not take the roof's.",
    "rafter_vented": "Look in at the eaves, or lift a course at the ridge.",
    "vent_space": "From the top of the insulation up to the deck, square to the slope.",
    "thimble_height": "Where the middle of the pipe is to pass the wall.",
    "wall_thickness": "From the finished face inside to that outside, siding included.",
    "wall_bears": "Where joists or rafters rest on it. Not known: a stud is not cut.",
    "eaves_overhang": "From the wall's face to the outermost edge, the gutter too; 0 for none.",
    "soffit_height": "From the finished floor inside, where the chimney is to stand.",
    "roof_edge_height": "From the finished floor inside up to the roof's upper edge, there.",
    "eaves_way": "Straight is simplest where the support reaches far enough.",
    "flue_inspection": "Every accessible part and the inside of the flue, by somebody qualified.",
    "flue_width": "Inside the tiles, at the narrowest place: offsets and mortar count.",
    "throat_width": "The opening of the damper, frame and all.",
    "flue_entry_height": "The middle of the tee, or the lower end above the throat.",
    "flue_top_height": "Crown or topmost brick, without pots.",
    "chimney_above_roof": "Upright, from where the roof meets its uphill side to its top.",
    "masonry_depth": "Level, square to the ridge.",
    "masonry_wall": "Bare masonry without the flue tile.",
    "masonry_clearance": "Framing and floors where they come nearest; look in the attic.",
    "roof_rise": "{6/12 or 26.5°|26.5°}; 0 for a flat roof.",
    "covering_thickness": "Square to the slope, battens and insulation too. Empty: what is usual for it.",
    "ridge_distance": "To the upper edge for a shed roof.",
    "eaves_distance": "The nearest eaves, where the flue's own slope ends.",
    "hip_distance": "To the eaves of the nearest slope that stands across.",
    "connector_clearance": "From the outside of the pipe.",
    "connector_run": "0 when it rises straight up.",
    "connector_elbows": "0 when it rises straight up.",
    "connector_length": "From the collar through every bend to the chimney. Empty: straight up.",
    "connector_rise": "Straight up, from the collar to where the chimney begins.",
    "hearth_thickness": "Of what does not burn, under the appliance.",
    "air_permeability": "The figure of the house's air test.",
    "air_vent_area": "Open and not to be shut, all together; 0 for none.",
    "room_temperature": "Empty: {68 °F|20 °C}.",
    "attic_temperature": "Empty: {32 °F|0 °C} in frost, otherwise as outside.",
    "exposure": "Near the coast the wind presses harder on an outlet in a poor place.",
    "fuel_moisture": "A meter's dry figure of 25 % is 20 % wet. Empty: 20 %.",
    "hearth_side": "The smaller of the two sides.",
    "outside_temperature": "A mild day draws worst: plan for the warmest day of fires, often {59 °F|15 °C}.",
}


def places(section: SurveySection, book: RuleBook) -> tuple[list[str], list[str]]:
    """Return a section's figures under a rule book: those asked for, and those under more."""
    less = unruled(book, MORE_WITHOUT_RULE)
    return (
        [name for name in section.fields if name not in less],
        [name for name in section.more if name not in MORE_WITHOUT_RULE or name in less],
    )


def unruled(book: RuleBook, by_rule: Mapping[str, str]) -> set[str]:
    """Return the figures whose rule this rule book does not hold."""
    return {name for name, rule in by_rule.items() if book.find(rule) is None}
