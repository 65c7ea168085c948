"""Lengths and quantities as people write them."""

import contextlib
import math
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.units import (
    KINDS,
    UnitError,
    format_both,
    format_length,
    format_quantity,
    parse_length,
    parse_quantity,
)

INCH = 0.0254


def test_the_sentence_names_the_part_that_was_not_understood():
    with pytest.raises(UnitError, match="“furlongs” is no unit of length"):
        parse_length("5 furlongs")


@given(st.text(max_size=80))
def test_any_text_gives_a_finite_length_or_a_unit_error(text):
    with contextlib.suppress(UnitError):
        assert math.isfinite(parse_length(text))


@given(st.text(alphabet="0123456789 -/.,'\"½′ftinm", max_size=20))
def test_near_lengths_give_a_finite_length_or_a_unit_error(text):
    with contextlib.suppress(UnitError):
        assert math.isfinite(parse_length(text))


@given(st.integers(-2000 * 64, 2000 * 64), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
def test_inches_come_back_from_their_own_text(parts, denominator):
    metres = parts / denominator * INCH
    assert parse_length(format_length(metres, denominator=denominator)) == pytest.approx(metres, abs=1e-9)


@given(st.integers(-200 * 16, 200 * 16), st.sampled_from([1, 2, 10]))
def test_feet_and_inches_come_back_from_their_own_text(sixteenths, feet_from):
    metres = sixteenths / 16 * INCH
    assert parse_length(format_length(metres, feet_from=feet_from)) == pytest.approx(metres, abs=1e-9)


@given(st.integers(-100_000, 100_000))
def test_millimetres_come_back_from_their_own_text(millimetres):
    metres = millimetres / 1000
    assert parse_length(format_length(metres, "metric")) == pytest.approx(metres, abs=1e-9)


@given(st.floats(-50, 50), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
def test_rounding_moves_a_length_by_at_most_half_a_step(metres, denominator):
    shown = parse_length(format_length(metres, denominator=denominator))
    assert abs(shown - metres) <= INCH / denominator / 2 + 1e-7


@given(st.floats(0, 50), st.sampled_from(["imperial", "metric"]))
def test_a_least_length_is_never_shown_as_less_and_a_greatest_never_as_more(metres, system):
    assert parse_length(format_length(metres, system, rounding="up")) >= metres - 1e-7
    assert parse_length(format_length(metres, system, rounding="down")) <= metres + 1e-7


@pytest.mark.parametrize(
    ("inches", "options", "text"),
    [
        (22.5, {}, "22 1/2 in"),
        (22.5, {"feet_from": 2}, "22 1/2 in"),
        (22.5, {"feet_from": 1}, "1 ft 10 1/2 in"),
        (34.5, {"feet_from": 2}, "2 ft 10 1/2 in"),
        (23.99, {"feet_from": 2}, "2 ft"),
        (11.99, {"feet_from": 1}, "1 ft"),
        (11.99, {}, "12 in"),
        (-34.5, {"feet_from": 2}, "-2 ft 10 1/2 in"),
        (-0.5, {}, "-1/2 in"),
        (-0.001, {}, "0 in"),
        (0, {}, "0 in"),
        (10 / 16, {}, "5/8 in"),
        (8 / 16, {"denominator": 2}, "1/2 in"),
        (3.3, {"denominator": 1}, "3 in"),
    ],
)
def test_it_writes_inches_the_way_they_are_read_off_a_tape(inches, options, text):
    assert format_length(inches * INCH, **options) == text


def test_it_writes_whole_millimetres():
    assert format_length(0.5715, "metric") == "572 mm"
    assert format_length(-0.0004, "metric") == "0 mm"
    assert format_both(0.9144) == "36 in (914 mm)"
    assert format_both(0.9144, "up") == "36 in (915 mm)"


@pytest.mark.parametrize(
    ("metres", "options", "named"),
    [
        (math.nan, {}, "metres"),
        (math.inf, {"system": "metric"}, "metres"),
        (1.0, {"system": "furlongs"}, "system"),
        (1.0, {"denominator": 3}, "denominator"),
        (1.0, {"rounding": "away"}, "rounding"),
    ],
)
def test_it_names_what_it_cannot_format(metres, options, named):
    with pytest.raises(ValueError, match=named):
        format_length(metres, **options)


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("12 Pa", "draft", 12.0),
        ("12Pa", "draft", 12.0),
        ("-3 Pa", "draft", -3.0),
        ("1 mm H2O", "draft", 9.80665),
        ("1 mmH₂O", "draft", 9.80665),
        ("0,05 in. w.c.", "draft", 12.4544455),
        ('.05 "WC', "draft", 12.4544455),
        ("0.05 inches", "draft", None),
        ("0.12 mbar", "draft", 12.0),
        ("250 °C", "temperature", 250.0),
        ("482 degrees F", "temperature", 250.0),
        ("523.15 K", "temperature", 250.0),
        ("-20 C", "temperature", -20.0),
        ("7 kW", "power", 7000.0),
        ("23 885 Btu/h", "power", None),
        ("23885 BTU/hr", "power", 7000.0),
        ("27,000 Btu/h", "power", 7912.92),
        ("1,100,000 Btu per hour", "power", 322378.2),
        ("27,5 Btu/h", "power", 8.0595),
        ("6.5 g/s", "mass flow", 0.0065),
        ("36 kg/h", "mass flow", 0.01),
        ("28.27 sq in", "area", 0.01823865),
        ("18000 mm²", "area", 0.018),
        ("0.8 ft2·h·F/Btu", "thermal resistance", 0.140888),
        ("20 %", "ratio", 0.2),
        ("0.2", "ratio", 0.2),
        ("20", "percent", 0.2),
        ("3", "count", 3.0),
        ("1/4 in per ft", "slope", 0.25 / 12),
        ('1/4"/ft', "slope", 0.25 / 12),
        ("20 mm/m", "slope", 0.02),
        ("20 mm per metre", "slope", 0.02),
        ("2 %", "slope", 0.02),
        ("1 in 40", "slope", 0.025),
        ("6/12", "slope", 0.5),
        ("6:12", "slope", 0.5),
        ("22 1/2", "length", 0.5715),
    ],
)
def test_it_understands_quantities_in_the_units_of_the_trade(text, kind, value):
    if value is None:
        with pytest.raises(UnitError):
            parse_quantity(text, kind)
    else:
        assert parse_quantity(text, kind) == pytest.approx(value, rel=1e-4)


@pytest.mark.parametrize(
    ("text", "kind", "code"),
    [
        ("", "draft", "empty"),
        ("12", "draft", "no_unit"),
        ("12 bananas", "draft", "unknown_unit"),
        ("twelve Pa", "draft", "not_understood"),
        ("1 2 Pa", "draft", "not_understood"),
        ("1,200 Pa", "draft", "ambiguous_comma"),
        ("7,000 W", "power", "ambiguous_comma"),
        ("27,000,00 Btu/h", "power", "not_understood"),
        ("-300 C", "temperature", "too_low"),
        ("-1 kW", "power", "too_low"),
        ("2.5", "count", "not_understood"),
        ("-1", "count", "not_understood"),
        ("1/4", "slope", "no_unit"),
        ("1 in 0", "slope", "zero_denominator"),
        ("1.2.3/12", "slope", "not_understood"),
        ("steep", "slope", "not_understood"),
        ("20 kg", "percent", "unknown_unit"),
        ("1", "colour", "kind"),
        ("1" * 99, "draft", "too_much_text"),
    ],
)
def test_it_refuses_quantities_with_a_code_and_a_sentence(text, kind, code):
    with pytest.raises(UnitError) as caught:
        parse_quantity(text, kind)
    assert caught.value.code == code


def test_a_bare_number_takes_the_unit_the_page_says():
    assert parse_quantity("12", "draft", "Pa") == 12.0
    assert parse_quantity("482", "temperature", "F") == 250.0
    assert parse_quantity("572", "length", "mm") == 0.572


@pytest.mark.parametrize("kind", [*KINDS, "length", "ratio", "percent", "count", "slope"])
@given(text=st.text(max_size=25))
def test_any_text_gives_a_finite_quantity_or_a_unit_error(kind, text):
    with contextlib.suppress(UnitError):
        assert math.isfinite(parse_quantity(text, kind))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("system", ["metric", "imperial"])
@given(value=st.floats(1, 900))
def test_a_quantity_comes_back_from_its_own_text_within_its_last_digit(kind, system, value):
    shown = KINDS[kind].shown[system]
    step = abs(
        parse_quantity(f"{10 ** -shown[2]:f} {shown[1]}", kind) - parse_quantity(f"0 {shown[1]}", kind)
    )
    assert parse_quantity(format_quantity(value, kind, system), kind) == pytest.approx(
        value, abs=step * 0.51, rel=1e-9
    )


@pytest.mark.parametrize(
    ("value", "kind", "system", "text"),
    [
        (12.0, "draft", "metric", "12.0 Pa"),
        (250.0, "temperature", "imperial", "482 °F"),
        (7000.0, "power", "metric", "7.0 kW"),
        (0.02, "slope", "metric", "20 mm/m"),
        (0.25 / 12, "slope", "imperial", "1/4 in per ft"),
        (0.2, "percent", "metric", "20 %"),
        (3.0, "count", "metric", "3"),
        (0.5715, "length", "imperial", "22 1/2 in"),
    ],
)
def test_it_writes_quantities_the_way_they_are_read(value, kind, system, text):
    assert format_quantity(value, kind, system) == text


@pytest.mark.parametrize(
    ("value", "kind", "system"),
    [
        (12.0, "draft", "imperial"),
        (12.34, "draft", "metric"),
        (1 / 48, "slope", "metric"),
        (0.02, "slope", "imperial"),
        (0.1234567, "percent", "metric"),
        (0.14, "thermal resistance", "imperial"),
    ],
)
def test_a_least_figure_typed_back_as_it_is_shown_is_enough(value, kind, system):
    assert parse_quantity(format_quantity(value, kind, system, rounding="up"), kind) >= value
    assert parse_quantity(format_quantity(value, kind, system, rounding="down"), kind) <= value


@pytest.mark.parametrize(
    ("value", "kind", "system", "named"),
    [
        (math.nan, "draft", "metric", "value"),
        (1.0, "colour", "metric", "kind"),
        (1.0, "draft", "old", "system"),
    ],
)
def test_it_names_what_it_cannot_write(value, kind, system, named):
    with pytest.raises(ValueError, match=named):
        format_quantity(value, kind, system)


def test_reading_lengths_does_not_wait_for_the_unit_registry():
    script = "import sys, calcs.units as u; u.parse_length('22 1/2'); print('pint' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
