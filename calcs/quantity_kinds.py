"""The kinds of quantities other than length: their units as people write them, and how they are shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

BTU_PER_HOUR = ("btu/h", "btu/hr", "btuh", "btu/hour")


@dataclass(frozen=True)
class Kind:
    """What may be written for a kind of quantity: pint's unit by the way people write it."""

    name: str
    si: str
    label: str
    written: Mapping[str, str]
    example: str
    #: Unit to show, and decimals, by system.
    shown: Mapping[str, tuple[str, str, int]] = field(default_factory=dict)
    least: float | None = None


def _kind(
    name: str,
    si: str,
    label: str,
    written: dict[str, str],
    *,
    example: str,
    metric: tuple[str, str, int],
    imperial: tuple[str, str, int] | None = None,
    least: float | None = None,
) -> Kind:
    shown = {"metric": metric, "imperial": imperial or metric}
    return Kind(name, si, label, MappingProxyType(written), example, MappingProxyType(shown), least)


#: Spellings are compared without spaces, dots, underscores and degree signs, in lower case.
KINDS: Mapping[str, Kind] = MappingProxyType(
    {
        one.name: one
        for one in (
            _kind(
                "draft",
                "pascal",
                "Pa",
                {
                    "pa": "pascal", "hpa": "hectopascal", "kpa": "kilopascal", "mbar": "millibar",
                    **dict.fromkeys(("mmh2o", "mmwc", "mmwg", "mmws"), "millimetre_water"),
                    **dict.fromkeys(("inh2o", "inwc", "inwg", "iwc", "wc", '"wc', '"wg'), "inch_water"),
                },
                example="12 Pa, 1.2 mm H2O or 0.05 in w.c.",
                metric=("pascal", "Pa", 1),
                imperial=("inch_water", "in w.c.", 3),
            ),
            _kind(
                "concentration",
                "ppm",
                "ppm",
                {"ppm": "ppm"},
                example="3 ppm",
                metric=("ppm", "ppm", 0),
                least=0.0,
            ),
            _kind(
                "temperature",
                "degree_Celsius",
                "degC",
                {
                    **dict.fromkeys(("c", "degc", "celsius"), "degree_Celsius"),
                    **dict.fromkeys(("f", "degf", "fahrenheit"), "degree_Fahrenheit"),
                    **dict.fromkeys(("k", "kelvin"), "kelvin"),
                },
                example="250 C or 480 F",
                metric=("degree_Celsius", "°C", 0),
                imperial=("degree_Fahrenheit", "°F", 0),
                least=-273.15,
            ),
            _kind(
                "power",
                "watt",
                "W",
                {
                    "w": "watt", "kw": "kilowatt",
                    **dict.fromkeys(BTU_PER_HOUR, "british_thermal_unit / hour"),
                },
                example="7 kW or 24000 Btu/h",
                metric=("kilowatt", "kW", 1),
                imperial=("british_thermal_unit / hour", "Btu/h", 0),
                least=0.0,
            ),
            _kind(
                "mass flow",
                "kilogram / second",
                "kg/s",
                {
                    "kg/s": "kilogram / second", "g/s": "gram / second", "kg/h": "kilogram / hour",
                    **dict.fromkeys(("lb/h", "lb/hr", "lbs/h"), "pound / hour"),
                },
                example="6.5 g/s or 50 lb/h",
                metric=("gram / second", "g/s", 1),
                imperial=("pound / hour", "lb/h", 1),
                least=0.0,
            ),
            _kind(
                "area",
                "metre ** 2",
                "m2",
                {
                    **dict.fromkeys(("m2", "m²", "sqm"), "metre ** 2"),
                    **dict.fromkeys(("cm2", "cm²", "sqcm"), "centimetre ** 2"),
                    **dict.fromkeys(("mm2", "mm²", "sqmm"), "millimetre ** 2"),
                    **dict.fromkeys(("in2", "in²", "sqin", "squareinches"), "inch ** 2"),
                    **dict.fromkeys(("ft2", "ft²", "sqft", "squarefeet"), "foot ** 2"),
                },
                example="28 in2 or 18000 mm2",
                metric=("millimetre ** 2", "mm²", 0),
                imperial=("inch ** 2", "in²", 1),
                least=0.0,
            ),
            _kind(
                "thermal resistance",
                "metre ** 2 * kelvin / watt",
                "m2K/W",
                {
                    **dict.fromkeys(("m2k/w", "m²k/w"), "metre ** 2 * kelvin / watt"),
                    **dict.fromkeys(
                        ("ft2hf/btu", "ft²hf/btu", "hft2f/btu", "hrft2f/btu"),
                        "foot ** 2 * hour * delta_degree_Fahrenheit / british_thermal_unit",
                    ),
                },
                example="0.14 m2K/W or 0.8 ft2 h F/Btu",
                metric=("metre ** 2 * kelvin / watt", "m²K/W", 3),
                imperial=(
                    "foot ** 2 * hour * delta_degree_Fahrenheit / british_thermal_unit",
                    "ft² h °F/Btu",
                    2,
                ),
                least=0.0,
            ),
            _kind(
                "air permeability",
                "metre / second",
                "m3/(h m2)",
                {
                    **dict.fromkeys(
                        ("m3/hm2", "m³/hm²", "m3/(hm2)", "m³/(hm²)", "m3/h/m2", "m³/h/m²"), "metre / hour"
                    ),
                    **dict.fromkeys(("cfm/ft2", "cfm/sqft"), "foot / minute"),
                },
                example="5 m3/(h m2)",
                metric=("metre / hour", "m³/(h m²)", 1),
                least=0.0,
            ),
        )
    }
)  # fmt: skip
OTHER_KINDS = ("length", "ratio", "percent", "count", "slope")
