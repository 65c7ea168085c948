"""What a listing that lacks figures leaves unknown in every plan made with it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache, lru_cache

from calcs import survey as inputs
from calcs.plan import make_plan
from calcs.routes import LINED_CHIMNEY
from calcs.rulebook import codes, load_rulebook
from jobs.limit_names import limit_name
from jobs.models import Appliance, Chimney
from jobs.queries.listing_reckonings import APPLIANCE, CHIMNEY, Lack, lacks

#: A house in which everything was measured, an appliance and a chimney whose sheets say everything: what
#: stays unknown beside them is the fault of the listing looked at. The sizes themselves do not matter. A
#: sheet that asks for no hearth behind the appliance lacks nothing.
_HOUSE = inputs.Survey(
    rear_wall=0.6, left_wall=1.5, right_wall=1.5, front_space=1.6, wall_to_flue_centre=1.5,
    wall_to_first_member=0.3, member_spacing=0.6, member_thickness=0.04, member_depth=0.14,
    floor_to_ceiling=2.4, ceiling_thickness=0.0125, attic_height=1.2, insulation_depth=0.2, roof_rise=6.0,
    deck_thickness=0.0125, rafter_depth=0.14, ridge_distance=2.0, eaves_distance=2.0, hip_distance=3.0,
    corner_wall=0.6, connector_kind="double wall listed", connector_clearance=0.6, connector_run=0.0,
    connector_elbows=0, connector_length=1.6, connector_rise=1.6, hearth_front=0.6, hearth_side=0.4,
    hearth_rear=0.3, hearth_width=1.4, hearth_depth=1.4, hearth_thickness=0.25,
    hearth_layers=(inputs.HearthLayer("a board that is always enough", resistance=20.0),),
    air_permeability=0.002, air_vent_area=0.1, room_temperature=20.0, attic_temperature=0.0,
    exposure="inland", fuel_moisture=0.18, altitude=0.0, outside_temperature=0.0,
)  # fmt: skip
_APPLIANCE = inputs.Appliance(
    clearance_rear=0.4, clearance_side=0.4, clearance_front=1.2, clearance_above=1.2, clearance_corner=0.3,
    clearance_reduction_allowed=True, connector_clearance=0.2, collar_diameter=0.15, collar_height=0.7,
    back_to_flue_centre=0.2, side_to_flue_centre=0.3, width=0.6, depth=0.5, nominal_output=8000.0,
    minimum_output=4000.0, flue_gas_temperature=250.0, flue_gas_mass_flow=0.007, flue_gas_co2=0.09,
    efficiency=0.78, least_draft=12.0, minimum_gas_temperature=180.0, minimum_gas_mass_flow=0.004,
    minimum_output_draft=8.0, draught_stabiliser=False, hearth_resistance=0.14, hearth_front=0.4,
    hearth_side=0.2, hearth_below_100=True, smoke_exempt=True,
)  # fmt: skip
_CHIMNEY = inputs.Chimney(
    inner_diameter=0.15, outer_diameter=0.25, clearance=0.05, support_size=0.35, support_projection=0.08,
    sections=tuple(inputs.ChimneySection(f"{mm} mm", mm / 1000, mm / 1000) for mm in (150, 300, 450, 1000)),
    supported_height=15.0, brace_threshold=1.5, shield_height=0.38, shield_above_insulation=0.05,
    cap_height=0.15, thermal_resistance=0.4, roughness=0.001, elbow_15_rise=0.4, elbow_15_run=0.07,
    elbow_30_rise=0.4, elbow_30_run=0.15,
)  # fmt: skip


#: The same house with an old chimney of masonry, for the sheet of a liner.
_LINED_HOUSE = replace(
    _HOUSE, route=LINED_CHIMNEY, flue_inspection="sound", chimney_place="inside", flue_shape="rectangular",
    flue_width=0.3, flue_depth=0.3, flue_entry="fireplace", throat_width=0.5, throat_depth=0.3,
    flue_entry_height=1.2, flue_top_height=8.0, chimney_above_roof=2.0, masonry_depth=0.6, masonry_wall=0.11,
    masonry_clearance=0.1, connector_length=None, connector_rise=None,
)  # fmt: skip
_LINER = replace(
    _CHIMNEY, sections=(), outer_diameter=0.16, insulation_thickness=0.012, liner_room=0.0,
    liner_above_crown=0.1, liner_zero_clearance=False,
)  # fmt: skip


@dataclass(frozen=True)
class Gaps:
    """What a listing leaves open in every plan: sentences, and the names of limits that will be missing.

    `lacks` are reckonings that not every plan needs; without them a sheet still counts as complete.
    """

    sentences: tuple[str, ...]
    limits: tuple[str, ...]
    lacks: tuple[Lack, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.sentences or self.limits)


def appliance_gaps(appliance: Appliance) -> Gaps:
    """Return what the appliance's sheet leaves unknown."""
    return replace(_gaps(appliance.to_calcs(), _CHIMNEY), lacks=lacks(appliance, APPLIANCE))


def chimney_gaps(chimney: Chimney) -> Gaps:
    """Return what the chimney's sheet leaves unknown."""
    lined = chimney.insulation_thickness is not None or chimney.liner_room is not None
    found = _gaps(_APPLIANCE, chimney.to_calcs(), lined=lined)
    return replace(found, lacks=lacks(chimney, CHIMNEY[:1] if lined else CHIMNEY))


@lru_cache(maxsize=1000)
def _gaps(appliance: inputs.Appliance, chimney: inputs.Chimney, *, lined: bool = False) -> Gaps:
    sized = _fitting(appliance, chimney)
    sentences: dict[str, None] = {}
    limits: dict[str, None] = {}
    for code in codes():
        book = load_rulebook(code)
        try:
            plan = make_plan(_LINED_HOUSE if lined else _HOUSE, *sized, book)
        except ValueError as error:
            return Gaps((f"No plan can be made from it: {error}.",), ())
        sentences |= dict.fromkeys(plan.unknowns)
        limits |= dict.fromkeys(
            limit_name(name) for name in _every_limit(code, lined=lined) if name not in plan.limits
        )
    return Gaps(tuple(sentences), tuple(limits))


@cache
def _every_limit(code: str, *, lined: bool = False) -> tuple[str, ...]:
    """Return the limits of a plan that lacks nothing."""
    house, chimney = (_LINED_HOUSE, _LINER) if lined else (_HOUSE, _CHIMNEY)
    return tuple(make_plan(house, _APPLIANCE, chimney, load_rulebook(code)).limits)


def _fitting(appliance: inputs.Appliance, chimney: inputs.Chimney) -> tuple[inputs.Appliance, inputs.Chimney]:
    """Return both with the filled-in one sized to the one looked at, so that they belong together."""
    if appliance is _APPLIANCE and chimney.inner_diameter:
        return replace(appliance, collar_diameter=chimney.inner_diameter), chimney
    if chimney is _CHIMNEY and appliance.collar_diameter:
        across = appliance.collar_diameter
        return appliance, replace(chimney, inner_diameter=across, outer_diameter=across + 0.1)
    return appliance, chimney
