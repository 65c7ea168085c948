"""What a plan is made from: the survey of the house and the two listings. SI; None means not known."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field, fields
from typing import Any, Self


@dataclass(frozen=True)
class _Record:
    """Frozen inputs that go to JSON and back without loss."""

    def to_dict(self) -> dict[str, Any]:
        """Return plain JSON types."""
        return asdict(self)

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> Self:
        """Rebuild from `to_dict`; an unknown key is an error that names it."""
        known = {one.name for one in fields(cls)}
        if extra := sorted(set(data) - known):
            raise ValueError(f"{cls.__name__} does not know {', '.join(extra)}")
        return cls(**data)


@dataclass(frozen=True)
class Appliance(_Record):
    """An appliance's listing data. Lengths in m, powers in W, pressure in Pa, mass flow in kg/s."""

    name: str = ""
    listed: bool = True
    listing_reference: str = ""
    #: wood | pellets | smokeless | coal
    fuel: str = "wood"
    #: radiant | jacketed | open fire
    kind: str = "radiant"
    clearance_rear: float | None = None
    clearance_side: float | None = None
    clearance_front: float | None = None
    clearance_above: float | None = None
    clearance_corner: float | None = None
    clearance_reduction_allowed: bool | None = None
    connector_clearance: float | None = None
    collar_diameter: float | None = None
    #: Height of the collar above the floor, and depth from the appliance's back to the flue centre.
    collar_height: float | None = None
    back_to_flue_centre: float | None = None
    side_to_flue_centre: float | None = None
    #: Outside measures of its body, seen from above.
    width: float | None = None
    depth: float | None = None
    nominal_output: float | None = None
    minimum_output: float | None = None
    flue_gas_temperature: float | None = None
    flue_gas_mass_flow: float | None = None
    #: Share of carbon dioxide in the dry flue gas, and heat given off for heat burnt, at nominal output.
    flue_gas_co2: float | None = None
    efficiency: float | None = None
    least_draft: float | None = None
    #: The same at the least output it is burnt at.
    minimum_gas_temperature: float | None = None
    minimum_gas_mass_flow: float | None = None
    minimum_output_draft: float | None = None
    draught_stabiliser: bool | None = None
    hearth_resistance: float | None = None
    hearth_front: float | None = None
    hearth_side: float | None = None
    hearth_rear: float | None = None
    #: Whether the hearth under it stays below 100 degrees Celsius.
    hearth_below_100: bool | None = None
    #: Whether it may burn its fuel in a smoke control area, where a rule book then takes a smaller flue.
    smoke_exempt: bool | None = None


@dataclass(frozen=True)
class ChimneySection(_Record):
    """One stocked straight length: nominal length and what it adds when locked on, both in m."""

    name: str
    length: float
    effective_length: float
    cost: float | None = None


@dataclass(frozen=True)
class Chimney(_Record):
    """A factory-built chimney's listing data. Lengths in m, thermal resistance in m2K/W."""

    name: str = ""
    listing_reference: str = ""
    designation: str = ""
    inner_diameter: float | None = None
    outer_diameter: float | None = None
    clearance: float | None = None
    sections: tuple[ChimneySection, ...] = ()
    #: Outside size of the ceiling support box; None takes the framed opening.
    support_size: float | None = None
    #: Length of the ceiling support from the finished ceiling's underside to the first joint.
    support_projection: float | None = None
    supported_height: float | None = None
    brace_threshold: float | None = None
    shield_height: float | None = None
    shield_above_insulation: float | None = None
    cap_height: float | None = None
    thermal_resistance: float | None = None
    roughness: float | None = None
    #: Square support box for a vaulted ceiling: greatest height it is made in, how far it hangs below the
    #: ceiling on the low side at least, and how far it stands above the deck on the high side.
    box_height: float | None = None
    box_projection: float | None = None
    box_above_deck: float | None = None
    #: Through the wall: framed opening, chimney into the room, tee from its branch's centre up to its joint
    #: and out to that of the branch, distance off the wall, height its support carries, bracket to bracket.
    thimble_size: float | None = None
    thimble_projection: float | None = None
    tee_rise: float | None = None
    tee_branch: float | None = None
    wall_standoff: float | None = None
    wall_standoff_greatest: float | None = None
    wall_supported_height: float | None = None
    bracket_spacing: float | None = None
    #: Liner: its insulation, the gap all round its sheet asks for, how far it ends above the masonry, and
    #: whether it is listed with that insulation for masonry that touches what burns.
    insulation_thickness: float | None = None
    liner_room: float | None = None
    liner_above_crown: float | None = None
    liner_zero_clearance: bool | None = None
    #: What a pair of elbows locked together adds upwards and sideways, by their angle in degrees.
    elbow_15_rise: float | None = None
    elbow_15_run: float | None = None
    elbow_30_rise: float | None = None
    elbow_30_run: float | None = None

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> Self:
        """Rebuild from `to_dict`, sections included."""
        sections = tuple(ChimneySection.from_dict(dict(one)) for one in data.get("sections", ()))
        return super().from_dict({**data, "sections": sections})


@dataclass(frozen=True)
class Obstacle(_Record):
    """Something above the roof within reach of the outlet.

    `distance` is horizontal from the flue centre; `height` is its top above the point where the flue's
    centre passes the roof surface. Both in m.
    """

    name: str
    distance: float
    height: float
    #: building | dormer | parapet | neighbour | opening: a window, rooflight or vent that lets smoke in.
    kind: str = "building"


@dataclass(frozen=True)
class HearthLayer(_Record):
    """One layer of the floor protection: a material of `calcs.hearth.MATERIALS` and its thickness in m.

    A layer whose sheet gives its resistance [m2K/W] has that instead of a thickness.
    """

    material: str
    thickness: float | None = None
    resistance: float | None = None


@dataclass(frozen=True)
class Survey(_Record):
    """What was measured in the house. Lengths in m, temperatures in degrees Celsius."""

    #: wall | corner: square to the wall behind it, or at 45 degrees across a corner.
    placement: str = "wall"
    # Appliance and walls. Each is the distance left between appliance and combustible wall.
    rear_wall: float | None = None
    left_wall: float | None = None
    right_wall: float | None = None
    front_space: float | None = None
    #: In a corner: from the appliance's nearest rear corner to either wall.
    corner_wall: float | None = None
    #: Key of a row in the rule book's protection table, or "" for a bare wall.
    rear_protection: str = ""
    side_protection: str = ""
    #: Which side walls have it: left | right | both, or "" for not known, which takes nothing off.
    protected_sides: str = ""
    # Flue centre and ceiling framing, both measured from the wall the members are counted from: the left
    # wall when the members run front to back, the wall behind the appliance when they run side to side.
    # Facing a corner, the wall on the left counts as the left wall, the one on the right as the wall behind.
    wall_to_flue_centre: float | None = None
    wall_to_first_member: float | None = None
    member_spacing: float | None = None
    member_thickness: float | None = None
    member_depth: float | None = None
    #: joist | truss
    member_kind: str = "joist"
    #: front to back | side to side, seen by somebody facing the wall behind the appliance.
    member_direction: str = "front to back"
    # Heights.
    floor_to_ceiling: float | None = None
    ceiling_thickness: float | None = None
    #: From the top of the ceiling framing to the underside of the roof deck, at the flue centre.
    attic_height: float | None = None
    insulation_depth: float | None = None
    # Vaulted ceiling: its own slope as rise in 12, and the air between insulation and deck.
    ceiling_rise: float | None = None
    #: vented | unvented, or "" for not known: whether air passes over the insulation between the rafters.
    rafter_vented: str = ""
    vent_space: float | None = None
    # Through the wall: the thimble's centre above the floor, the wall, and the roof's edge above it.
    thimble_height: float | None = None
    wall_thickness: float | None = None
    #: yes | no, or "" for not known: whether the wall carries floor or roof.
    wall_bears: str = ""
    #: eaves | gable, or "" for not known.
    wall_side: str = ""
    #: How far the eaves stand out with their gutter, and floor to their underside and to the roof's edge.
    eaves_overhang: float | None = None
    soffit_height: float | None = None
    roof_edge_height: float | None = None
    #: straight | offset | through, or "" for not known: past the eaves, around them, or through them.
    eaves_way: str = ""
    # Existing masonry chimney: its flue inside, where a liner begins and ends, and the masonry around it.
    #: rectangular | round, or "" for not known; a round flue has its diameter as width.
    flue_shape: str = ""
    flue_width: float | None = None
    flue_depth: float | None = None
    #: fireplace | thimble, or "" for not known: through the damper, or by a tee in the masonry's side.
    flue_entry: str = ""
    throat_width: float | None = None
    throat_depth: float | None = None
    #: Floor to where the liner begins, and to the top of the masonry.
    flue_entry_height: float | None = None
    flue_top_height: float | None = None
    #: From the highest point where the masonry passes the roof to its top; its outside along the slope.
    chimney_above_roof: float | None = None
    masonry_depth: float | None = None
    masonry_wall: float | None = None
    masonry_clearance: float | None = None
    #: inside | outside, or "" for not known: outside when any side of it is outdoors below the roof.
    chimney_place: str = ""
    #: sound | faults | not done, or "" for not known.
    flue_inspection: str = ""
    # Roof.
    #: gable | shed | hip | flat
    roof_shape: str = "gable"
    #: Rise in a run of 12, the framing square's way.
    roof_rise: float | None = None
    deck_thickness: float | None = None
    rafter_depth: float | None = None
    #: Horizontal, from the flue centre to the ridge (gable) or to the upper edge (shed).
    ridge_distance: float | None = None
    #: Horizontal, from the flue centre down the slope to the eaves; on a hip roof, to the hipped end's too.
    eaves_distance: float | None = None
    hip_distance: float | None = None
    #: metal | asphalt shingle | tile | slate | wood shingle | thatch | membrane
    roof_covering: str = "asphalt shingle"
    #: From the deck's upper face to the weather surface, battens and insulation included.
    covering_thickness: float | None = None
    obstacles: tuple[Obstacle, ...] = ()
    # Connector.
    #: single wall | double wall listed
    connector_kind: str = "single wall"
    connector_clearance: float | None = None
    connector_run: float | None = None
    connector_elbows: int | None = None
    #: Along its centre line from the collar to the chimney, and straight up between the two.
    connector_length: float | None = None
    connector_rise: float | None = None
    #: Key of a row in the rule book's protection table between pipe and wall, or "" for a bare wall.
    connector_protection: str = ""
    # Hearth: how far it goes beyond the appliance, its own measures, and its layers from the top down.
    hearth_front: float | None = None
    hearth_side: float | None = None
    hearth_rear: float | None = None
    hearth_width: float | None = None
    hearth_depth: float | None = None
    hearth_thickness: float | None = None
    hearth_layers: tuple[HearthLayer, ...] = ()
    # Air for the fire: leakage of the house in m3/(s m2) at 50 Pa, and free area of permanent vents in m2.
    air_permeability: float | None = None
    air_vent_area: float | None = None
    # Outside, and the rooms the chimney passes.
    altitude: float | None = None
    outside_temperature: float | None = None
    room_temperature: float | None = None
    attic_temperature: float | None = None
    #: inland | coast, or "" for not known: how hard the wind presses on an outlet in a poor place.
    exposure: str = ""
    #: Water in the fuel, share of its wet mass.
    fuel_moisture: float | None = None
    #: Stock the framing is cut from, e.g. "2x6".
    framing_stock: str = "2x6"
    #: A route of `calcs.routes`: the way the chimney takes out of the house.
    route: str = "flat ceiling"
    #: How far a measure may be off either way, by the field's name, in the field's unit.
    tolerances: dict[str, float] = field(default_factory=dict)

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> Self:
        """Rebuild from `to_dict`, obstacles and layers included."""
        obstacles = tuple(Obstacle.from_dict(dict(one)) for one in data.get("obstacles", ()))
        layers = tuple(HearthLayer.from_dict(dict(one)) for one in data.get("hearth_layers", ()))
        return super().from_dict({**data, "obstacles": obstacles, "hearth_layers": layers})
