"""Designations of chimneys."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.designation import TEMPERATURE_CLASSES, parse_designation

PARTS = st.fixed_dictionaries(
    {
        "temperature": st.sampled_from(TEMPERATURE_CLASSES),
        "pressure": st.sampled_from(["N1", "N2", "P1", "P2", "H1", "H2"]),
        "condensate": st.sampled_from("WD"),
        "corrosion": st.sampled_from(["1", "2", "3", "V1", "V2", "V3", "Vm"]),
        "sootfire": st.sampled_from("GO"),
        "distance": st.integers(0, 999),
    }
)


@given(PARTS, st.sampled_from([" ", "-", " - ", " – ", "/", ", "]), st.sampled_from(["", "EN 1443"]))
def test_what_is_written_is_read_back_whatever_stands_between(parts, between, standard):
    words = [
        f"T{parts['temperature']:03d}",
        parts["pressure"],
        parts["condensate"],
        parts["corrosion"],
        f"{parts['sootfire']}{parts['distance']}",
    ]
    found = parse_designation(between.join([standard, *words] if standard else words))
    assert found.standard == standard
    assert found.temperature == parts["temperature"]
    assert (found.pressure_class, found.condensate) == (parts["pressure"], parts["condensate"])
    assert (found.corrosion, found.sootfire) == (parts["corrosion"], parts["sootfire"])
    assert found.distance_mm == parts["distance"]


def _refusal(text: str) -> str:
    try:
        parse_designation(text)
    except ValueError as error:
        return str(error)
    return "designation: "


@given(st.text(max_size=60) | st.text("TNPHWDGOSCLRV0123456789 -()x", max_size=30))
def test_any_text_is_read_or_refused_as_a_designation(text):
    assert _refusal(text).startswith("designation: ")


@pytest.mark.parametrize(
    ("text", "standard"),
    [
        ("BS EN 1856-1:2009 T450 N1 W V2 L50050 G70", "EN 1856-1:2009"),
        ("System chimney EN 1856-1 - T450 - N1 - D - V2 - L50050 - G70", "EN 1856-1"),
        ("EN1856-2 T600 N1 D Vm L01200 G600", "EN 1856-2"),
        ("t400 n1 d 3 g50", ""),
    ],
)
def test_the_standard_is_told_apart_from_the_classes(text, standard):
    assert parse_designation(text).standard == standard


def test_a_distance_in_brackets_or_still_to_be_filled_in():
    assert parse_designation("T400 N1 D 3 G(50)").distance_mm == 50
    assert parse_designation("T400 N1 D 3 G(xx)").distance is None
    assert parse_designation("T400 N1 D 3 Gxx").distance is None
    assert parse_designation("T400 N1 D 3 G").distance is None
    assert parse_designation("T400 N1 D 3 G70(xx)").distance_mm == 70


def test_whether_the_distance_was_measured():
    assert parse_designation("T600 N1 D Vm L01200 G600NM").measured is False
    assert parse_designation("T600 N1 D Vm L01200 G375M").measured is True
    assert parse_designation("T600 N1 D Vm L01200 G375 NM").measured is False
    assert parse_designation("T600 N1 D Vm L01200 G375").measured is None


def test_the_older_form_says_by_s_that_it_withstands_a_soot_fire():
    old = parse_designation("EN 1443-T400-N1-S-D-3-R22-C50")
    assert (old.sootfire_resistant, old.distance_mm, old.thermal_resistance) == (True, 50, 0.22)
    assert not parse_designation("EN 1443-T200-N1-O-D-3-R22-C50").sootfire_resistant


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "type one such as"),
        ("T400 " * 60, "at most 200 characters"),
        ("N1 D 3 G50", "temperature class, such as T400, is missing"),
        ("T400 D 3 G50", "pressure class, such as N1, is missing"),
        ("T400 N1 3 G50", "condensate resistance, W or D, is missing"),
        ("T400 N1 D G50", "corrosion resistance, such as 3 or V2, is missing"),
        ("T400 N1 D 3", "soot fire resistance, such as G50, is missing"),
        ("T410 N1 D 3 G50", "T410 is none of T080"),
        ("T400 N3 D 3 G50", "“N3” is no pressure class"),
        ("T400 N1 D 7 G50", "“7” is no corrosion resistance"),
        ("T400 N1 D 3 G5000x", "“G5000x” is no soot fire resistance"),
        ("T400 N1 D 3 G50 L5", "“L5” is no liner"),
        ("T400 N1 D 3 G50 R2", "“R2” is no thermal resistance"),
        ("T400 N1 D 3 G50 UL", "“UL” is no part of a designation"),
        ("T400 T450 N1 D 3 G50", "temperature class “T450” says again"),
        ("T400 N1 D 3 G50 C60", "says again what was said: distance"),
        ("T400 N1 D 3 O S G50", "says again"),
        ("T400 N1 D 3 G M NM", "says again"),
    ],
)
def test_it_names_the_part_it_refuses(text, says):
    with pytest.raises(ValueError, match=r"^designation: ") as refused:
        parse_designation(text)
    assert says in str(refused.value)
