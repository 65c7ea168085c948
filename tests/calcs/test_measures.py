"""A length and how far it may be off, as people write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.units import INCH, UnitError, format_length, parse_length, parse_measure


@pytest.mark.parametrize(
    ("text", "unit", "value", "off"),
    [
        ("36 in ± 1/4 in", "in", 36 * INCH, 0.25 * INCH),
        ("36 in ± 1/4", "mm", 36 * INCH, 0.25 * INCH),
        ("36±0.25", "in", 36 * INCH, 0.25 * INCH),
        ("36 +/- 1/4", "in", 36 * INCH, 0.25 * INCH),
        ("36 +- 1/4", "in", 36 * INCH, 0.25 * INCH),
        ("36 plus or minus 1/4 in", "in", 36 * INCH, 0.25 * INCH),
        ("36½ ± ¼", "in", 36.5 * INCH, 0.25 * INCH),
        ("22-1/2 ± 1/16", "in", 22.5 * INCH, INCH / 16),
        ("8' 2 1/2\" ± 1/8", "mm", 98.5 * INCH, INCH / 8),
        ("8' 2 ± 1/8", "in", 98 * INCH, INCH / 8),
        ("900 ± 5", "mm", 0.9, 0.005),
        ("2,4 m ± 5 mm", "in", 2.4, 0.005),
        ("36 ± 0", "in", 36 * INCH, 0.0),
    ],
)
def test_it_understands_a_tolerance_as_people_write_it(text, unit, value, off):
    assert parse_measure(text, unit) == (pytest.approx(value), pytest.approx(off))


def test_a_length_alone_has_no_tolerance():
    assert parse_measure("1' 10 1/2\"") == (parse_length("22 1/2"), None)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("36 ±", "tolerance"),
        ("36 ± -1/4", "tolerance"),
        ("36 ± 1/4 ± 1/8", "tolerance"),
        ("2.4 m ± 5", "tolerance"),
        ("0 ± 1/4", "tolerance"),
        ("36 ± 6 mm", "tolerance_unit"),
        ("3 ft ± 1/4", "tolerance_unit"),
        ("± 1/4", "empty"),
        ("36 ± x", "not_understood"),
        ("36 + 1/4", "not_understood"),
    ],
)
def test_it_refuses_a_tolerance_with_a_code_and_a_sentence(text, code):
    with pytest.raises(UnitError) as refused:
        parse_measure(text)
    assert refused.value.code == code
    assert str(refused.value).endswith(".")


@given(st.integers(1, 4000), st.integers(0, 64), st.sampled_from(["±", "+/-", " ± "]))
def test_what_is_written_comes_back(sixteenths, off, sign):
    value, tolerance = sixteenths * INCH / 16, min(off, sixteenths) * INCH / 16
    text = f"{format_length(value)}{sign}{format_length(tolerance)}"
    assert parse_measure(text) == (pytest.approx(value), pytest.approx(tolerance))


@given(st.text(alphabet="0123456789 /.,±+-'\"inftmc½", max_size=40))
def test_any_text_gives_a_length_and_a_tolerance_or_a_unit_error(text):
    try:
        value, tolerance = parse_measure(text)
    except UnitError:
        return
    assert tolerance is None or 0 <= tolerance <= abs(value)
