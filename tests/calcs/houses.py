"""An invented house for the tests of plan and drawing, and ways to vary it."""

from __future__ import annotations

from calcs.plan import Plan, make_plan
from calcs.rulebook import load_rulebook
from calcs.survey import Appliance, Chimney, ChimneySection, HearthLayer, Survey

INCH = 0.0254
FOOT = 12 * INCH

CHIMNEY = {
    "name": "Insulated chimney",
    "listing_reference": "sheet C-6",
    "inner_diameter": 6 * INCH,
    "outer_diameter": 10 * INCH,
    "clearance": 2 * INCH,
    "sections": tuple(
        ChimneySection(f"{length} in", length * INCH, (length - 1) * INCH) for length in (12, 18, 24, 36, 48)
    ),
    "support_projection": 4 * INCH,
    "supported_height": 40 * FOOT,
    "shield_height": 15 * INCH,
    "brace_threshold": 5 * FOOT,
}
APPLIANCE = {
    "name": "Parlour heater",
    "listing_reference": "sheet P-1",
    "clearance_rear": 12 * INCH,
    "clearance_side": 15 * INCH,
    "clearance_front": 36 * INCH,
    "clearance_above": 40 * INCH,
    "clearance_reduction_allowed": False,
    "collar_diameter": 6 * INCH,
    "collar_height": 30 * INCH,
    "least_draft": 12.0,
    "nominal_output": 7000.0,
    "draught_stabiliser": False,
    "flue_gas_temperature": 260.0,
    "hearth_front": 16 * INCH,
    "hearth_side": 8 * INCH,
    "hearth_resistance": 0.14,
}
SURVEY = {
    "rear_wall": 14 * INCH,
    "left_wall": 24 * INCH,
    "right_wall": 40 * INCH,
    "front_space": 60 * INCH,
    "wall_to_flue_centre": 36 * INCH,
    # The bay's centre is 35 in from the wall: 22 1/4 + 1 1/2 + 11 1/4.
    "wall_to_first_member": 22.25 * INCH,
    "member_spacing": 24 * INCH,
    "member_thickness": 1.5 * INCH,
    "member_depth": 5.5 * INCH,
    "floor_to_ceiling": 8 * FOOT,
    "ceiling_thickness": 0.5 * INCH,
    "attic_height": 48 * INCH,
    "insulation_depth": 10 * INCH,
    "roof_rise": 6.0,
    "deck_thickness": 0.5 * INCH,
    "rafter_depth": 5.5 * INCH,
    "ridge_distance": 7 * FOOT,
    "connector_clearance": 20 * INCH,
    "connector_run": 0.0,
    "connector_elbows": 0,
    "hearth_front": 18 * INCH,
    "hearth_side": 10 * INCH,
    "hearth_width": 48 * INCH,
    "hearth_depth": 48 * INCH,
    "hearth_thickness": 5 * INCH,
    "hearth_layers": (HearthLayer("brick", 5 * INCH),),
    "air_permeability": 8 / 3600,
    "air_vent_area": 0.002,
    "altitude": 200.0,
    "outside_temperature": 0.0,
}


def plan_of(code: str = "us", *, appliance=None, chimney=None, system=None, **survey) -> Plan:
    """Plan the house with some of its inputs changed; survey inputs by name."""
    return make_plan(
        Survey(**{**SURVEY, **survey}),
        Appliance(**{**APPLIANCE, **(appliance or {})}),
        Chimney(**{**CHIMNEY, **(chimney or {})}),
        load_rulebook(code),
        system=system,
    )


def finding(plan: Plan, topic: str):
    """Return the plan's finding on a topic."""
    return next(one for one in plan.findings if one.topic == topic)
