"""The invented shop, its people, one house and one fire, in the words people type."""

from __future__ import annotations

PASSWORD = "chestnut-and-slate-9"
OWNER = {"name": "Olive Harrowgate", "email": "owner@stove.example"}
OFFICE = {"name": "Fern Aldous", "email": "fern@stove.example", "role": "Office", "phone": "802-555-0110"}
INSTALLER = {"name": "Ivo Brandt", "email": "ivo@stove.example", "role": "Installer", "crew": "Van 1"}
INSPECTOR = {"name": "Petra Quill", "email": "petra@stove.example", "role": "Inspector"}
CREDENTIAL = {"name": "Solid-fuel installer's licence", "number": "SF-2201", "issuer": "State board"}

SHOP = {
    "name": "Larchmoor Stoves",
    "address": "3 Mill Lane\nLarchmoor Falls, VT 05999",
    "phone": "802-555-0110",
    "email": "office@stove.example",
    "registration": "Contractor EX-3108",
    "time_zone": "America/New York",
    "unit_system": "Feet and inches",
}
CUSTOMER = {"name": "Ada Winterbourne", "email": "ada@house.example", "phone": "802-555-0177"}
SITE = {
    "label": "Farmhouse",
    "street": "48 Quarry Road",
    "city": "Larchmoor Falls",
    "region": "VT",
    "postcode": "05999",
    "country": "United States",
    "unit_system": "Feet and inches",
    "time_zone": "New York",
    "altitude": "640",
    "hazard_notes": "Steep drive. Grey loose insulation at the north eaves: tested, no asbestos.",
    "access_notes": "Key under the slate by the back door. Attic hatch in the hall closet.",
}
APPLIANCE = {
    "maker": "Fernhill Works",
    "model": "Parlour 8",
    "fuel": "Wood",
    "kind": "Radiant heater",
    "listing_reference": "Sheet P-8, 3rd edition, page 2",
    "listed": True,
    "clearance_rear": "12",
    "clearance_side": "15",
    "clearance_corner": "10 1/2",
    "clearance_front": "36",
    "clearance_above": "40",
    "connector_clearance": "18",
    "clearance_reduction_allowed": "No",
    "collar_diameter": "6",
    "collar_height": "2' 6",
    "back_to_flue_centre": "7 3/4",
    "side_to_flue_centre": "12",
    "width": "24",
    "depth": "1' 8\"",
    "nominal_output": "27,000 Btu/h",
    "minimum_output": "17,000",
    "least_draft": "0.05",
    "efficiency": "76",
    "flue_gas_temperature": "500",
    "flue_gas_mass_flow": "8 g/s",
    "flue_gas_co2": "9.2 %",
    "minimum_gas_temperature": "420",
    "minimum_gas_mass_flow": "6 g/s",
    "minimum_output_draft": "0.035",
    "draught_stabiliser": "No",
    "hearth_below_100": "No",
    "hearth_front": "16",
    "hearth_side": "8",
    "hearth_rear": "8",
    "hearth_resistance": "R 1.2",
}
CHIMNEY = {
    "maker": "Fernhill Works",
    "model": "Ashlar 6",
    "listing_reference": "Sheet A-6, 5th edition, page 4",
    "inner_diameter": "6",
    "outer_diameter": "10",
    "clearance": "2",
    "support_size": "14",
    "support_projection": "4",
    "supported_height": "40'",
    "shield_height": "15",
    "shield_above_insulation": "2",
    "brace_threshold": "5'",
    "cap_height": "6",
    "thermal_resistance": "0.4 m2K/W",
    "roughness": "1 mm",
    "elbow_15_rise": "13 1/2",
    "elbow_15_run": "2 3/4",
    "elbow_30_rise": "15 3/4",
    "elbow_30_run": "6 1/2",
}
#: Length, and what it adds once locked.
SECTIONS = (("12", "11"), ("18", "17"), ("24", "23"), ("36", "35"), ("48", "47"))
INSTALLATION = {
    "room": "Living room",
    "route": "Through a flat ceiling and the roof",
    "appliance": "Fernhill Works Parlour 8",
    "chimney": "Fernhill Works Ashlar 6",
}
#: The bay's centre is 35 in from the wall, 22 1/4 + 1 1/2 + 11 1/4; the plumb line lands half an inch off.
SURVEY = {
    "rear_wall": '14 1/2"',
    "left_wall": "1' 11 1/2\"",
    "right_wall": "40",
    "front_space": "5'",
    "member_kind": "Joists",
    "wall_to_flue_centre": "35 1/2",
    "wall_to_first_member": "22-1/4",
    "member_spacing": "24",
    "member_thickness": '1 1/2"',
    "member_depth": "5½",
    "floor_to_ceiling": "8'",
    "ceiling_thickness": "1/2",
    "insulation_depth": "6",
    "attic_height": "5' 6\"",
    "roof_rise": "6/12",
    "ridge_distance": "7'",
    "deck_thickness": "1/2",
    "rafter_depth": "5 1/2",
    "connector_clearance": "20",
    "connector_run": "0",
    "connector_elbows": "0",
    "hearth_front": "18",
    "hearth_side": "10",
    "hearth_rear": "9",
    "layers-0-material": "Ceramic board",
    "layers-0-thickness": "1/2",
    "outside_temperature": "32",
    "notes": "Knotty pine ceiling.",
}
SECOND_LAYER = {"layers-1-material": "Brick", "layers-1-thickness": "2 1/4"}
#: What is found at the house, by item of the checklist. Everything else is a yes or a photo.
BEFORE_WORK = {
    "permit": "on_site",
    "asbestos_looked_for": "none_seen",
    "before_note": "A cable crosses the bay; made dead and moved by the electrician this morning.",
}
POSITION = {
    "hearth_front": '18"',
    "hearth_side": "10 1/4",
    "clearance_rear": "14 1/2",
    "clearance_left": "1' 11 1/2\"",
    "clearance_right": "40",
    "clearance_front": "5 ft",
    "clearance_above": "4' 2 1/2\"",
    "wall_shield": "none",
}
CEILING = {
    "plumb_offset": "1/2",
    "bay_clear": "22 1/2",
    "opening_across": "14",
    "opening_along": "14 1/16",
    "support_screws": "3",
    "ceiling_clearance": "2",
}
ATTIC = {"attic_way": "enclosure", "enclosure_clearance": "2 1/4", "attic_clearance": "2⅛"}
ROOF = {
    "roof_opening_across": "14 1/8",
    "roof_opening_along": "16",
    "roof_clearance": "2 1/16",
    "flashing_upper_cover": "55 %",
    "flashing_nail_spacing": "3 3/4",
    "flashing_nail_edge": "1/2",
}
TERMINATION = {
    "above_penetration": "5' 4\"",
    "above_radius": "2' 1\"",
    "unbraced": "4' 10\"",
    "brace": "fitted",
}
SEALING = {"hose_test": "dry"}
CONNECTOR = {"connector_way": "upright", "connector_screws": "3", "connector_overlap": "2 1/4"}
COMMISSIONING = {"co_alarm": "tested", "moisture": "17", "smoke_test": "tight"}
HANDOVER = {"handover_note": "Customer asks for the sweep in early September."}
WAIVER = {
    "authority": "Town of Larchmoor Falls, building official, by telephone",
    "reason": "Listed pipe shield fitted over the whole length; 17 1/2 in accepted.",
}
