"""The reckoning of a flue as steps a person can follow."""

from __future__ import annotations

from calcs.checks import Provenance, Source, SourceKind
from calcs.firing import Firing
from calcs.flue_fittings import FLUE_STANDARD, ROUGHNESS_SOURCE
from calcs.flue_parts import FlueSegment, FlueSolution
from calcs.flue_run import FiringResult, FlueRun
from calcs.steps import Step

_STOICHIOMETRY = Source(SourceKind.COMMON_PRACTICE, "stoichiometry of the fuel's ultimate analysis")
_COLEBROOK = Source(SourceKind.STANDARD, "Colebrook 1939", "", Provenance.SECOND_HAND)
_CAN_BE = {"nominal": "nominal output", "least": "the least output"}


def flue_steps(run: FlueRun, result: FiringResult, sheet: Source) -> tuple[Step, ...]:
    """Tell how the draft at one output was reckoned.

    Parameters
    ----------
    run : FlueRun
        The flue of the plan
    result : FiringResult
        One of its outputs
    sheet : Source
        Sheet of the appliance

    Returns
    -------
    tuple of Step
        Air, gas, each segment in turn, then the balance
    """
    draft = result.draft
    steps = [
        Step(f"At {_CAN_BE[result.firing.name]}"),
        Step("Air outside", "", "t_L", run.outside_temperature, "degC", "temperature"),
        Step(
            "Pressure of the air outside",
            "p_L = 97000 exp(-g z / (288 T_L))",
            "p_L",
            draft.outside_pressure,
            "Pa",
            "",
            FLUE_STANDARD,
        ),
        Step(
            "Density of the air outside", "ρ_L = p_L / (288 T_L)", "ρ_L", draft.air_density, "kg/m3", "",
            FLUE_STANDARD,
        ),
        *_gas_steps(result.firing, sheet),
    ]  # fmt: skip
    for segment, solution in zip(draft.segments, draft.solutions, strict=True):
        steps.extend(_segment_steps(segment, solution))
    return (*steps, *_balance(run, result, sheet))


def _gas_steps(firing: Firing, sheet: Source) -> list[Step]:
    gas = firing.gas
    flow_source = {"sheet": sheet, "output": _STOICHIOMETRY, "estimate": FLUE_STANDARD}[firing.mass_flow_from]
    by_output = firing.mass_flow_from == "output"
    fuel = [
        Step("Flue gas of a kilogram of fuel", "", "m_gas", gas.mass, "kg/kg", "", _STOICHIOMETRY),
        Step(
            "Net heat of a kilogram of fuel", "", "H_u", gas.net_calorific_value, "J/kg", "", _STOICHIOMETRY
        ),
    ]
    relation = "m = m_gas · output / (efficiency · H_u)" if by_output else ""
    return [
        Step("Flue gas at the collar", "", "t_W", firing.gas_temperature, "degC", "temperature", sheet),
        Step("Carbon dioxide in the dry gas", "", "σ", gas.co2_dry_percent / 100, "1", "percent"),
        Step("Water in the fuel, of its wet mass", "", "", gas.moisture_wet, "1", "percent"),
        Step("Air for each part that burning needs", "λ = L / L_min", "λ", gas.air_ratio, "", "",
             _STOICHIOMETRY),
        Step("Water vapour in the gas, by volume", "", "", gas.water_vapour_share, "1", "percent",
             _STOICHIOMETRY),
        Step("Gas constant", "R = 8.314 / M", "R", gas.gas_constant, "J/(kg K)", "", _STOICHIOMETRY),
        *(fuel if by_output else ()),
        Step("Mass flow", relation, "m", firing.mass_flow, "kg/s", "mass flow", flow_source),
    ]  # fmt: skip


def _segment_steps(segment: FlueSegment, found: FlueSolution) -> list[Step]:
    en = FLUE_STANDARD
    return [
        Step(f"{segment.name.capitalize()}"),
        Step("Length along the flue", "", "L", segment.length, "m", "length"),
        Step("Height", "", "H", segment.height, "m", "length"),
        Step("Inner diameter", "", "D", segment.inner_diameter, "m", "length"),
        Step("Outer diameter", "", "D_a", segment.outer_diameter, "m", "length"),
        Step("Thermal resistance of the wall", "", "1/Λ", segment.thermal_resistance, "m2K/W",
             "thermal resistance"),
        Step("Roughness", "", "r", segment.roughness, "m", "", ROUGHNESS_SOURCE),
        Step("Single resistances", "", "Σζ", segment.zeta, "", "", en),
        Step("Around it", "", "t_u", segment.surrounding_temperature, "degC", "temperature"),
        Step("Heat transfer around it", "", "α_a", segment.external_coefficient, "W/(m2K)", "", en),
        Step("Mean temperature of the gas", "t_m = t_u + (t_e - t_u) (1 - exp(-K)) / K", "t_m",
             found.mean_temperature, "degC", "temperature", en),
        Step("Density of the gas", "ρ_m = p_L / (R T_m)", "ρ_m", found.gas_density, "kg/m3", "", en),
        Step("Velocity", "w = 4 m / (π D² ρ_m)", "w", found.velocity, "m/s", "", en),
        Step("Viscosity", "η = 15e-6 + 47e-9 t_m - 20e-12 t_m²", "η", found.viscosity, "Pa s", "", en),
        Step("Conductivity", "λ_g = 0.0223 + 0.000065 t_m", "λ_g", found.conductivity, "W/(m K)", "", en),
        Step("Heat capacity at the mean temperature", "", "c_p", found.heat_capacity, "J/(kg K)", "",
             _STOICHIOMETRY),
        Step("Reynolds number", "Re = w D ρ_m / η", "Re", found.reynolds, "", "", en),
        Step("Prandtl number", "Pr = η c_p / λ_g", "Pr", found.prandtl, "", "", en),
        Step("Friction", "ψ = 1/x², x = -2 log(2.51 x / Re + r / (3.71 D))", "ψ", found.friction, "", "",
             _COLEBROOK),
        Step("Friction of a smooth pipe", "ψ₀ = ψ at r = 0", "ψ₀", found.friction_smooth, "", "",
             _COLEBROOK),
        Step("Nusselt number", "Nu = (ψ/ψ₀)^0.67 · 0.0214 (Re^0.8 - 100) Pr^0.4 (1 + (D/L)^0.67)", "Nu",
             found.nusselt, "", "", en),
        Step("Heat transfer inside", "α_i = λ_g Nu / D", "α_i", found.inner_coefficient, "W/(m2K)", "", en),
        Step("Heat transfer through the wall", "k = 1 / (1/α_i + S_H (1/Λ + D / (D_a α_a))), S_H = 0.5", "k",
             found.transmittance, "W/(m2K)", "", en),
        Step("Cooling", "K = π D k L / (m c_p)", "K", found.cooling, "", "", en),
        Step("Gas where it leaves", "t_o = t_u + (t_e - t_u) exp(-K)", "t_o", found.outlet_temperature,
             "degC", "temperature", en),
        Step("Theoretical draft", "P_H = H g (ρ_L - ρ_m)", "P_H", found.theoretical_draft, "Pa", "draft", en),
        Step("Flow resistance", "P_R = S_E (ψ L/D + Σζ) ρ_m w² / 2, S_E = 1.5", "P_R",
             found.flow_resistance, "Pa", "draft", en),
    ]  # fmt: skip


def _balance(run: FlueRun, result: FiringResult, sheet: Source) -> list[Step]:
    draft, en = result.draft, FLUE_STANDARD
    steps = [
        Step("The whole flue"),
        Step("Theoretical draft of all of it", "sum of P_H", "ΣP_H", draft.theoretical_draft, "Pa", "draft",
             en),
        Step("Flow resistance of all of it", "sum of P_R", "ΣP_R", draft.flow_resistance, "Pa", "draft", en),
        Step("Wind on the outlet", "", "P_L", run.wind_pressure, "Pa", "draft", en),
        Step("Draft left at the collar", "P_Z = ΣP_H - ΣP_R - P_L", "P_Z", draft.available_draft, "Pa",
             "draft", en),
        Step("Needed by the appliance", "", "P_W", result.firing.least_draft, "Pa", "draft", sheet),
        Step("Needed by the air on its way in", "", "P_B", run.air_supply, "Pa", "draft", en),
    ]  # fmt: skip
    if result.required is not None:
        room = draft.available_draft - result.required
        steps.append(Step("Room left", "P_Z - P_W - P_B", "", room, "Pa", "draft", en))
    return steps


def temperature_steps(run: FlueRun) -> tuple[Step, ...]:
    """Tell how the wall at the outlet was held against the dew point.

    Parameters
    ----------
    run : FlueRun
        The flue of the plan

    Returns
    -------
    tuple of Step
        Gas, wall and dew point at each output, in equilibrium
    """
    en = FLUE_STANDARD
    steps: list[Step] = []
    for result in run.firings:
        warm, last = result.warm, result.warm.solutions[-1]
        vapour = result.firing.gas.vapour_pressure(warm.outside_pressure)
        steps += [
            Step(f"At {_CAN_BE[result.firing.name]}, in equilibrium (S_H = 1)"),
            Step("Gas at the outlet", "t_o = t_u + (t_e - t_u) exp(-K)", "t_o", warm.outlet_temperature,
                 "degC", "temperature", en),
            Step("Heat transfer through the wall at the outlet", "k = 1 / (1/α_i + 1/Λ + D / (D_a α_a))", "k",
                 last.transmittance, "W/(m2K)", "", en),
            Step("Heat transfer inside at the outlet", "α_i = λ_g Nu / D", "α_i", last.inner_coefficient,
                 "W/(m2K)", "", en),
            Step("Wall at the outlet", "t_iob = t_o - k/α_i (t_o - t_u)", "t_iob",
                 warm.wall_temperature_outlet, "degC", "temperature", en),
            Step("Pressure of the water vapour", "p_D = share of vapour · p_L", "p_D", vapour, "Pa", "", en),
            Step("Dew point", "t_p = 4077.9 / (23.6448 - ln p_D) - 236.67", "t_p", result.dew_point, "degC",
                 "temperature", en),
        ]  # fmt: skip
    return tuple(steps)
