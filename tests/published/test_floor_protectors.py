"""Thermal resistances and extents of hearths as published."""

import pytest

from calcs.hearth import IMPERIAL_R, Layer, hearth_limits, layer_resistance, thermal_resistance
from calcs.rulebook import load_rulebook

INCH = 0.0254
US, CA, UK = (load_rulebook(code) for code in ("us", "ca", "uk"))


# Published resistances of floor-protector materials (read), ft2 h F/Btu at the thickness printed; the air
# layer second-hand.
@pytest.mark.parametrize(
    ("material", "inches", "printed"),
    [
        ("brick", 4, 0.80),
        ("brick", 2.25, 0.45),
        ("gypsum board", 0.5, 0.45),
        ("cement board, light", 0.5, 0.39),
        ("cement board, aggregated", 0.5, 0.26),
        ("mineral-fibre board", 0.5, 1.03),
        ("ceramic board", 0.5, 1.10),
        ("limestone", 1, 0.153),
        ("slate", 1, 0.10),
        ("mortar", 0.5, 0.10),
        ("concrete", 1, 0.095),
        ("granite", 1, 0.083),
        ("ceramic tile", 0.25, 0.02),
        ("still air", 0.125, 0.92),
    ],
)
def test_published_resistances(material, inches, printed):
    assert layer_resistance(Layer(material, inches * INCH)) / IMPERIAL_R == pytest.approx(printed, abs=0.005)


# Conversion of the unit (ISO 80000-5, from memory): 1 ft2 h F/Btu = 0.176 110 m2K/W.
def test_imperial_r():
    assert pytest.approx(0.176110, abs=5e-7) == IMPERIAL_R


# Published worked case (read): R 0.800 wanted, four layers of R 0.20 pass.
def test_four_layers_of_a_fifth():
    found = thermal_resistance([Layer("maker's board", resistance=0.20 * IMPERIAL_R)] * 4)
    assert found / IMPERIAL_R == pytest.approx(0.800, abs=0.0005)


# Two figures in circulation (second-hand), wrong by the decimal point: concrete 0.95 an inch, tile 0.008.
@pytest.mark.parametrize(
    ("material", "inches", "wrong"), [("concrete", 1, 0.95), ("ceramic tile", 0.25, 0.008)]
)
def test_wrong_figures_in_circulation_are_refused(material, inches, wrong):
    with pytest.raises(ValueError, match="check the decimal point"):
        layer_resistance(Layer(material, inches * INCH, resistance=wrong * IMPERIAL_R))


# US listed 16 in front, 8 in sides (second-hand); unlisted 18 in (read). Canada 450 mm front, 200 mm sides
# and rear (second-hand). Approved Document J (read): 225 mm closed, 300 mm open, 150 mm sides, 840 mm square.
@pytest.mark.parametrize(
    ("book", "options", "name", "metres"),
    [
        (US, {}, "hearth.front", 16 * INCH),
        (US, {}, "hearth.side", 8 * INCH),
        (US, {"listed": False}, "hearth.front", 18 * INCH),
        (CA, {}, "hearth.front", 0.450),
        (CA, {}, "hearth.side", 0.200),
        (CA, {}, "hearth.rear", 0.200),
        (UK, {}, "hearth.front", 0.225),
        (UK, {"kind": "open fire"}, "hearth.front", 0.300),
        (UK, {}, "hearth.side", 0.150),
        (UK, {}, "hearth.width", 0.840),
        (UK, {}, "hearth.thickness", 0.125),
        (UK, {"board_stays_cool": True}, "hearth.thickness", 0.012),
    ],
)
def test_published_extents(book, options, name, metres):
    assert hearth_limits(book, **options)[name].minimum == pytest.approx(metres)
