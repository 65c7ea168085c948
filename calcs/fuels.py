"""Solid fuels by their ultimate analysis."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

#: Heat to evaporate water at 25 degrees C [J/kg].
EVAPORATION = 2.443e6


@dataclass(frozen=True)
class FuelAnalysis:
    """Ultimate analysis of a fuel's dry mass as shares; the rest is ash. Net calorific value dry in J/kg."""

    name: str
    carbon: float
    hydrogen: float
    oxygen: float
    net_calorific_value: float
    sulphur: float = 0.0

    def net_calorific_value_at(self, moisture_wet: float) -> float:
        """Heat of a kilogram as it is burnt, its water evaporated [J/kg]."""
        return self.net_calorific_value * (1 - moisture_wet) - EVAPORATION * moisture_wet


WOOD = FuelAnalysis("wood", 0.50, 0.06, 0.44, 18.4e6)
#: Of a common kind each, from memory: a delivery's own analysis differs.
FUELS: Mapping[str, FuelAnalysis] = MappingProxyType(
    {
        "wood": WOOD,
        "pellets": FuelAnalysis("pellets", 0.50, 0.06, 0.44, 18.4e6),
        "smokeless": FuelAnalysis("smokeless", 0.86, 0.03, 0.03, 32.0e6, 0.01),
        "coal": FuelAnalysis("coal", 0.78, 0.05, 0.09, 30.5e6, 0.01),
    }
)
