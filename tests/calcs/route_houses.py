"""One invented house for each way out of it, every figure known, for the tests of the routes."""

from __future__ import annotations

from calcs.plan import Plan
from calcs.survey import ChimneySection
from tests.calcs.houses import FOOT, INCH, plan_of

#: Not measured on the way through a flat ceiling alone.
_NO_ATTIC = {"attic_height": None, "insulation_depth": None, "rafter_depth": None}
VAULT = {
    **_NO_ATTIC,
    "route": "vaulted ceiling",
    "ceiling_rise": 6.0,
    "rafter_vented": "vented",
    "vent_space": 2.5 * INCH,
    "member_depth": 9.25 * INCH,
    "framing_stock": "2x10",
}
BOX = {"box_height": 36 * INCH, "box_projection": 3 * INCH, "box_above_deck": 0.0}
WALL = {
    **_NO_ATTIC,
    "route": "through the wall",
    "thimble_height": 60 * INCH,
    "wall_thickness": 6.5 * INCH,
    "wall_bears": "no",
    "wall_side": "eaves",
    "eaves_overhang": 3 * INCH,
    "soffit_height": 9 * FOOT,
    "roof_edge_height": 9 * FOOT + 8 * INCH,
    "eaves_way": "straight",
    "ridge_distance": 14 * FOOT,
    "connector_run": 14 * INCH,
    "connector_elbows": 1,
}
TEE = {
    "thimble_projection": 3 * INCH,
    "tee_rise": 9 * INCH,
    "tee_branch": 6 * INCH,
    "wall_standoff": 2 * INCH,
    "wall_standoff_greatest": 6 * INCH,
    "wall_supported_height": 30 * FOOT,
    "bracket_spacing": 8 * FOOT,
    "elbow_30_rise": 15 * INCH,
    "elbow_30_run": 5 * INCH,
}
LINED = {
    **_NO_ATTIC,
    "route": "lined chimney",
    "flue_inspection": "sound",
    "chimney_place": "inside",
    "flue_shape": "rectangular",
    "flue_width": 11 * INCH,
    "flue_depth": 8 * INCH,
    "flue_entry": "thimble",
    "flue_entry_height": 60 * INCH,
    "flue_top_height": 24 * FOOT,
    "chimney_above_roof": 6 * FOOT,
    "masonry_depth": 20 * INCH,
    "masonry_wall": 4 * INCH,
    "masonry_clearance": 2.5 * INCH,
    "connector_run": 20 * INCH,
    "connector_elbows": 1,
    "wall_to_flue_centre": None,
    "wall_to_first_member": None,
    "member_spacing": None,
    "member_thickness": None,
    "member_depth": None,
    "ceiling_thickness": None,
}
LINER = {
    "outer_diameter": 6.5 * INCH,
    "insulation_thickness": 0.5 * INCH,
    "liner_room": 0.0,
    "liner_above_crown": 6 * INCH,
    "liner_zero_clearance": False,
    "thermal_resistance": 0.2,
    "roughness": 0.005,
    "sections": (),
    "support_projection": None,
    "shield_height": None,
    "clearance": None,
}
ROUTES = {"vaulted ceiling": (VAULT, BOX), "through the wall": (WALL, TEE), "lined chimney": (LINED, LINER)}


def route_plan(route: str, code: str = "us", *, chimney=None, system=None, appliance=None, **survey) -> Plan:
    """Plan a route's house with some of its inputs changed; survey inputs by name."""
    house, listing = ROUTES[route]
    return plan_of(
        code,
        chimney={**listing, **(chimney or {})},
        appliance=appliance,
        system=system,
        **{**house, **survey},
    )


def section(length: float) -> ChimneySection:
    """A section that adds what it is long [in]."""
    return ChimneySection(f"{length:g} in", length * INCH, length * INCH)
