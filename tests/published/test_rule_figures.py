"""Every figure of the rule books as its source prints it, with how it was known.

Typed again from the sources, book by book. A figure that stands in a book and not here fails the last tests.
"""

import pytest

from calcs.rulebook import load_rulebook

US = {
    # UL 103 HT: heat tests, offsets and shield metal (read); elbows, clearance and shield height (memory).
    "chimney.continuous_temperature": ("1000 degF", "read"),
    "chimney.short_temperature": ("2100 degF", "read"),
    "chimney.short_duration": ("10 min", "read"),
    "chimney.offset_angle": ("30 deg", "read"),
    "chimney.elbows": ("4", "memory"),
    "chimney.clearance.typical": ("2 in", "memory"),
    "shield.thickness": ("0.0187 in", "read"),
    "shield.above_insulation": ("2 in", "memory"),
    # IRC: flue area against the collar (read); NFPA 211: exterior chimney (second-hand).
    "chimney.flue_area.least": ("1 x", "read"),
    "chimney.flue_area.interior": ("3 x", "read"),
    "chimney.flue_area.exterior": ("2 x", "second-hand"),
    # IRC Table M1306.2, notes (read); NFPA 211: floors for solid fuel (second-hand).
    "clearance.air_space": ("1 in", "read"),
    "clearance.open_edge": ("1 in", "read"),
    "clearance.floor.wall": ("12 in", "second-hand"),
    "clearance.floor.ceiling": ("18 in", "second-hand"),
    "clearance.no_reduction_at": ("12 in", "second-hand"),
    # UMC 2012: unlisted radiant heater 36 in all round, fireplace stove 48 in and 54 in in front (read).
    "clearance.unlisted.radiant.rear": ("36 in", "read"),
    "clearance.unlisted.radiant.side": ("36 in", "read"),
    "clearance.unlisted.radiant.front": ("36 in", "read"),
    "clearance.unlisted.radiant.above": ("36 in", "read"),
    "clearance.unlisted.open_fire.rear": ("48 in", "read"),
    "clearance.unlisted.open_fire.side": ("48 in", "read"),
    "clearance.unlisted.open_fire.front": ("54 in", "read"),
    "clearance.unlisted.open_fire.above": ("48 in", "read"),
    # NFPA 211: the radiant heater's distance is kept for a jacketed one (memory).
    "clearance.unlisted.jacketed.rear": ("36 in", "memory"),
    "clearance.unlisted.jacketed.side": ("36 in", "memory"),
    "clearance.unlisted.jacketed.front": ("36 in", "memory"),
    "clearance.unlisted.jacketed.above": ("36 in", "memory"),
    # IRC M1803 and UMC 2012: connectors (read); a listed connector's run (memory).
    "connector.clearance.single_wall": ("18 in", "read"),
    "connector.clearance.type_l": ("9 in", "read"),
    "connector.slope": ("0.25 in/ft", "read"),
    "connector.run_share": ("75 %", "read"),
    "connector.run_share_listed": ("100 %", "memory"),
    "connector.elbows": ("2", "read"),
    "connector.elbow_angle": ("90 deg", "read"),
    "connector.screws_per_joint": ("3", "read"),
    "connector.overlap": ("2 in", "read"),
    # OSHA 29 CFR 1926.501, 1926.1053 and 1926.1153 (read).
    "fall.protection_from": ("6 ft", "read"),
    "ladder.above_landing": ("3 ft", "read"),
    "ladder.foot_share": ("25 %", "read"),
    "ladder.angle": ("75.5 deg", "read"),
    "dust.silica": ("50 ug/m3", "read"),
    # IRC R903.2.1, R905.2.5, R905.2.8 and R1003.20: flashing (read); common practice for its nails.
    "flashing.metal_thickness": ("0.019 in", "read"),
    "flashing.cricket_width": ("30 in", "read"),
    "flashing.side_up": ("4 in", "read"),
    "flashing.side_out": ("4 in", "read"),
    "flashing.nail_head": ("0.375 in", "read"),
    "flashing.nail_into_deck": ("0.75 in", "read"),
    "flashing.nail_spacing": ("4 in", "second-hand"),
    "flashing.nail_edge": ("0.375 to 0.75 in", "second-hand"),
    "flashing.upper_cover": ("50 %", "second-hand"),
    "flashing.cartridge": ("18.3 in3", "read"),
    # IRC R502.10 and R802.9: headers and trimmers (read).
    "framing.single_header_span": ("4 ft", "read"),
    "framing.hanger_span": ("6 ft", "read"),
    "framing.single_trimmer_from_bearing": ("3 ft", "read"),
    # NFPA 211: hearth of a listed appliance (second-hand); UMC 2012: of an unlisted one (read).
    "hearth.front.listed": ("16 in", "second-hand"),
    "hearth.side.listed": ("8 in", "second-hand"),
    "hearth.front.unlisted": ("18 in", "read"),
    "hearth.side.unlisted": ("18 in", "read"),
    "hearth.rear.unlisted": ("18 in", "read"),
    # Common practice: support (second-hand), fuel (read).
    "support.projection": ("3 in", "second-hand"),
    "support.screws_per_side": ("2 to 3", "second-hand"),
    "fuel.moisture": ("20 %", "read"),
    # NFPA 211: inspect each year, sweep at 1/8 in (second-hand); a yearly sweep is common practice.
    **{f"inspection.interval.{fuel}": ("1 year", "second-hand") for fuel in ("wood", "pellets", "coal")},
    "inspection.interval.smokeless": ("1 year", "second-hand"),
    **{f"sweep.interval.{fuel}": ("1 year", "second-hand") for fuel in ("wood", "pellets", "coal")},
    "sweep.interval.smokeless": ("1 year", "second-hand"),
    "sweep.deposit": ("0.125 in", "second-hand"),
    # 40 CFR 50.8, mean of eight hours (memory).
    "room.co": ("9 ppm", "memory"),
    # IRC R1003.9: 3 ft, 2 ft, 10 ft (read); common practice for the brace (second-hand).
    "termination.above_penetration": ("3 ft", "read"),
    "termination.above_radius": ("2 ft", "read"),
    "termination.radius": ("10 ft", "read"),
    "termination.brace_threshold": ("5 ft", "second-hand"),
    "termination.brace_next": ("10 ft", "second-hand"),
    # IRC R806.3, R1003.10 and R1003.18:
    # rafter space and masonry (memory); common practice for the spare (memory).
    "vault.vent_space": ("1 in", "memory"),
    "liner.masonry_clearance.inside": ("2 in", "memory"),
    "liner.masonry_clearance.outside": ("1 in", "memory"),
    "liner.masonry_wall": ("4 in", "memory"),
    "liner.spare": ("12 in", "memory"),
}
CA = {
    # ULC S629 is the standard for 650 degrees (memory); common practice for the clearance (memory).
    "chimney.continuous_temperature": ("650 degC", "memory"),
    "chimney.clearance.typical": ("2 in", "memory"),
    # CSA B365: shields (second-hand); how far they reach and stand open (memory).
    "clearance.air_space": ("21 mm", "second-hand"),
    "clearance.shield_metal_thickness": ("0.33 mm", "second-hand"),
    "clearance.open_edge": ("25 to 75 mm", "memory"),
    "clearance.open_top": ("75 mm", "memory"),
    "clearance.shield_beyond": ("450 mm", "memory"),
    "clearance.shield_above": ("500 mm", "memory"),
    # CSA B365: uncertified appliances (second-hand).
    "clearance.unlisted.radiant.rear": ("1200 mm", "second-hand"),
    "clearance.unlisted.radiant.side": ("1200 mm", "second-hand"),
    "clearance.unlisted.radiant.front": ("1200 mm", "second-hand"),
    "clearance.unlisted.jacketed.rear": ("900 mm", "second-hand"),
    "clearance.unlisted.jacketed.side": ("900 mm", "second-hand"),
    "clearance.unlisted.jacketed.front": ("1200 mm", "second-hand"),
    # CSA B365: flue pipes (second-hand).
    "connector.clearance.single_wall": ("450 mm", "second-hand"),
    "connector.clearance.single_wall_shielded": ("225 mm", "second-hand"),
    "connector.slope": ("20 mm/m", "second-hand"),
    "connector.run": ("3 m", "second-hand"),
    "connector.length": ("3 m", "second-hand"),
    "connector.unsupported_run": ("1 m", "second-hand"),
    "connector.elbows": ("2", "second-hand"),
    "connector.elbow_angle": ("90 deg", "second-hand"),
    "connector.screws_per_joint": ("3", "second-hand"),
    "connector.overlap": ("30 mm", "second-hand"),
    # CSA B365: floor pads (second-hand).
    **{f"hearth.front.{state}": ("450 mm", "second-hand") for state in ("listed", "unlisted")},
    **{f"hearth.side.{state}": ("200 mm", "second-hand") for state in ("listed", "unlisted")},
    **{f"hearth.rear.{state}": ("200 mm", "second-hand") for state in ("listed", "unlisted")},
    # NBC 9.21.4.4: 900 mm, 600 mm, 3 m (read); common practice for the brace (second-hand).
    "termination.above_penetration": ("900 mm", "read"),
    "termination.above_radius": ("600 mm", "read"),
    "termination.radius": ("3 m", "read"),
    "termination.brace_threshold": ("1.5 m", "second-hand"),
    "termination.brace_next": ("3 m", "second-hand"),
    # NFC 2.6.1.4 (memory) and common practice (memory; the deposit second-hand).
    **{f"inspection.interval.{fuel}": ("1 year", "memory") for fuel in ("wood", "pellets", "coal")},
    "inspection.interval.smokeless": ("1 year", "memory"),
    **{f"sweep.interval.{fuel}": ("1 year", "memory") for fuel in ("wood", "pellets", "coal")},
    "sweep.interval.smokeless": ("1 year", "memory"),
    "sweep.deposit": ("0.125 in", "second-hand"),
    # WHO guidelines for indoor air quality, 2010: 10 mg/m3 over eight hours (memory).
    "room.co": ("8.6 ppm", "memory"),
    # Common practice: flashing and support (second-hand), cartridge and fuel (read), shield (memory).
    "flashing.nail_spacing": ("4 in", "second-hand"),
    "flashing.nail_edge": ("0.375 to 0.75 in", "second-hand"),
    "flashing.upper_cover": ("50 %", "second-hand"),
    "flashing.cartridge": ("18.3 in3", "read"),
    "support.projection": ("3 in", "second-hand"),
    "support.screws_per_side": ("2 to 3", "second-hand"),
    "shield.above_insulation": ("2 in", "memory"),
    "fuel.moisture": ("20 %", "read"),
    # NBC 9.19.1.3 and 9.21.5.1: roof space and masonry (memory); common practice for the spare (memory).
    "vault.vent_space": ("63 mm", "memory"),
    "liner.masonry_clearance.inside": ("50 mm", "memory"),
    "liner.masonry_clearance.outside": ("12 mm", "memory"),
    "liner.spare": ("300 mm", "memory"),
}
UK = {
    # Approved Document J, Table 1: permanent vents (read).
    "air_supply.permeability": ("5 m3/(h.m2)", "read"),
    "air_supply.free_output": ("5 kW", "read"),
    "air_supply.leaky": ("550 mm2/kW", "read"),
    "air_supply.tight": ("550 mm2/kW", "read"),
    "air_supply.stabiliser.leaky_first": ("300 mm2/kW", "read"),
    "air_supply.stabiliser.leaky_rest": ("850 mm2/kW", "read"),
    "air_supply.stabiliser.tight": ("850 mm2/kW", "read"),
    "air_supply.open_throat": ("50 %", "read"),
    "air_supply.open_canopy": ("50 %", "read"),
    # Approved Document J, section 2: carbon monoxide alarm (read).
    "alarm.co_distance": ("1 to 3 m", "read"),
    "alarm.co_ceiling_from_wall": ("300 mm", "read"),
    "alarm.co_wall_below_ceiling": ("150 mm", "read"),
    # Approved Document J, section 2: height and hearths (read).
    "chimney.least_height": ("4.5 m", "read"),
    "hearth.least_size": ("840 mm", "read"),
    "hearth.board_thickness": ("12 mm", "read"),
    "hearth.board_temperature": ("100 degC", "read"),
    "hearth.constructional_thickness": ("125 mm", "read"),
    "hearth.front.listed": ("225 mm", "read"),
    "hearth.front.unlisted": ("225 mm", "read"),
    "hearth.front.open": ("300 mm", "read"),
    "hearth.side.listed": ("150 mm", "read"),
    "hearth.side.unlisted": ("150 mm", "read"),
    # Approved Document J, Diagram 19 and section 2: flue pipes (second-hand); reach and wall (memory).
    "connector.clearance.single_wall_diameters": ("3 x", "second-hand"),
    "connector.clearance.single_wall_shielded_diameters": ("1.5 x", "second-hand"),
    "connector.shield_air_space": ("12 mm", "second-hand"),
    "connector.run": ("150 mm", "second-hand"),
    "connector.elbows": ("4", "second-hand"),
    "connector.elbow_angle": ("45 deg", "second-hand"),
    "connector.tee_counts_as": ("2", "second-hand"),
    "connector.shield_beyond_diameters": ("1.5 x", "memory"),
    "connector.wall_thickness": ("3 mm", "memory"),
    # Approved Document J and EN 1443: classes for solid fuel (memory).
    "designation.temperature": ("400 degC", "memory"),
    "designation.corrosion": ("3", "memory"),
    # Approved Document J, Diagrams 17 and 18: outlets (read; zone C from memory).
    "termination.near_ridge": ("600 mm", "read"),
    "termination.above_ridge": ("600 mm", "read"),
    "termination.from_surface": ("2300 mm", "memory"),
    "termination.above_intersection": ("1000 mm", "memory"),
    "termination.opening_distance": ("2300 mm", "read"),
    "termination.above_opening": ("1000 mm", "read"),
    "termination.building_distance": ("2300 mm", "read"),
    "termination.above_building": ("600 mm", "read"),
    "termination.ignitable_above_surface": ("1800 mm", "read"),
    "termination.ignitable_above_ridge": ("600 mm", "read"),
    "notice.certificate_within": ("30 day", "read"),
    # Common practice of sweeps: wood up to quarterly, coal twice a year, smokeless once (read).
    "sweep.interval.wood": ("3 month", "read"),
    "sweep.interval.coal": ("6 month", "read"),
    "sweep.interval.smokeless": ("1 year", "read"),
    "sweep.deposit": ("0.125 in", "second-hand"),
    # WHO guidelines for indoor air quality, 2010: 10 mg/m3 over eight hours (memory).
    "room.co": ("8.6 ppm", "memory"),
    **{f"inspection.interval.{fuel}": ("1 year", "memory") for fuel in ("wood", "pellets", "coal")},
    "inspection.interval.smokeless": ("1 year", "memory"),
    # Common practice: brace, flashing and support (second-hand), cartridge and fuel (read), shield (memory).
    "termination.brace_threshold": ("1.5 m", "second-hand"),
    "termination.brace_next": ("3 m", "second-hand"),
    "flashing.nail_spacing": ("4 in", "second-hand"),
    "flashing.nail_edge": ("0.375 to 0.75 in", "second-hand"),
    "flashing.upper_cover": ("50 %", "second-hand"),
    "flashing.cartridge": ("18.3 in3", "read"),
    "support.projection": ("3 in", "second-hand"),
    "support.screws_per_side": ("2 to 3", "second-hand"),
    "shield.above_insulation": ("2 in", "memory"),
    "fuel.moisture": ("20 %", "read"),
    # BS 5250 and Approved Document J: roof space, masonry (memory); common practice: the spare (memory).
    "vault.vent_space": ("50 mm", "memory"),
    "liner.masonry_clearance.inside": ("40 mm", "memory"),
    "liner.masonry_clearance.outside": ("40 mm", "memory"),
    "liner.masonry_wall": ("100 mm", "memory"),
    "liner.spare": ("300 mm", "memory"),
}
BOOKS = {"us": US, "ca": CA, "uk": UK}
PRINTED = [(code, key, *told) for code, book in BOOKS.items() for key, told in book.items()]


# As printed in the sources named above each group of the tables in this file: IRC, UMC, NFPA 211, UL 103,
# OSHA, NBC, NFC, CSA B365, ULC S629, Approved Document J, EN 1443; read, second-hand or from memory as said.
@pytest.mark.parametrize(("code", "key", "printed", "provenance"), PRINTED)
def test_a_rule_carries_the_printed_figure_and_how_it_was_known(code, key, printed, provenance):
    rule = load_rulebook(code).find(key)
    assert (rule.as_printed, rule.source.provenance) == (printed, provenance)


# Every figure of a book is typed again above, so that none stands on one reading alone.
@pytest.mark.parametrize("code", sorted(BOOKS))
def test_no_figure_of_a_book_is_left_out_here(code):
    figures = {key for key, rule in load_rulebook(code).rules.items() if rule.value is not None}
    assert figures == set(BOOKS[code])
