"""How wide a flue has to be and may be."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.checks import Check, Outcome
from calcs.flue_size import flue_size, least_flue_row, net_flue_area, widest_flue
from calcs.rulebook import load_rulebook

US, CA, UK = (load_rulebook(code) for code in ("us", "ca", "uk"))
collars = st.floats(0.05, 0.4)


@given(collars, collars)
def test_a_larger_collar_never_takes_a_smaller_flue(one, other):
    low, high = (flue_size(US, collar_diameter=size).limit for size in sorted((one, other)))
    assert low.minimum <= high.minimum
    assert low.maximum <= high.maximum


@given(collars)
def test_an_outdoor_side_never_allows_a_wider_flue(collar):
    inside = widest_flue(collar, US).maximum
    assert collar < widest_flue(collar, US, exterior=True).maximum < inside


@given(st.floats(0.1, 50), st.floats(0.1, 50), st.sampled_from(["wood", "smokeless", "coal"]))
def test_more_output_never_takes_a_smaller_flue(one, other, fuel):
    low, high = (
        least_flue_row("radiant", fuel, output, UK).one("diameter") for output in sorted((one, other))
    )
    assert low <= high


@given(st.floats(0.1, 50), st.sampled_from(["wood", "coal"]))
def test_an_exempt_appliance_never_takes_a_larger_flue(output, fuel):
    exempt = least_flue_row("radiant", fuel, output, UK, exempt=True).one("diameter")
    assert exempt <= least_flue_row("radiant", fuel, output, UK).one("diameter")


@given(collars)
def test_a_flue_as_wide_as_the_collar_passes(collar):
    for book in (US, CA):
        limit = flue_size(book, collar_diameter=collar).limit
        assert Check("flue.size", collar, limit).outcome is Outcome.PASS


def test_the_table_rules_where_it_asks_for_more_than_the_collar():
    found = flue_size(UK, collar_diameter=0.125, output_kw=7)
    assert (found.limit.minimum, found.row.key) == (0.15, "closed_30")
    assert found.limit.source.reference == "Approved Document J Table 2"
    assert flue_size(UK, collar_diameter=0.18, output_kw=7).limit.minimum == 0.18


def test_it_names_the_smaller_flue_only_where_the_exemption_is_not_known():
    assert flue_size(UK, collar_diameter=0.125, output_kw=7).smaller.key == "closed_20_smokeless"
    assert flue_size(UK, collar_diameter=0.125, output_kw=7, exempt=False).smaller is None
    known = flue_size(UK, collar_diameter=0.125, output_kw=7, exempt=True)
    assert (known.limit.minimum, known.smaller) == (0.125, None)
    assert flue_size(UK, collar_diameter=0.125, output_kw=25).smaller is None


@pytest.mark.parametrize(
    ("fuel", "output"),
    [("pellets", 8), ("wood", None), ("wood", 50.1)],
    ids=["pellets", "no output", "beyond"],
)
def test_what_the_table_does_not_hold_gives_no_row(fuel, output):
    assert least_flue_row("radiant", fuel, output, UK) is None
    assert flue_size(UK, collar_diameter=0.1, fuel=fuel, output_kw=output).limit.minimum == 0.1


def test_without_a_collar_only_the_table_is_left():
    assert flue_size(UK, kind="open fire").limit.minimum == pytest.approx(0.2)
    assert flue_size(US).limit is None


def test_a_book_without_the_rule_has_no_widest_flue():
    assert widest_flue(0.15, CA) is None
    assert flue_size(CA, collar_diameter=0.15).limit.maximum is None


def test_a_size_the_tables_do_not_hold_is_not_known():
    assert net_flue_area("9", US) is None
    assert net_flue_area("6", UK) is None


@pytest.mark.parametrize(
    ("given_", "named"),
    [
        ({"collar_diameter": 0}, "collar_diameter"),
        ({"collar_diameter": 0.15, "output_kw": -1}, "output_kw"),
        ({"collar_diameter": 0.15, "kind": "gas"}, "kind"),
        ({"collar_diameter": 0.15, "fuel": "peat"}, "fuel"),
    ],
)
def test_it_names_the_input_it_refuses(given_, named):
    with pytest.raises(ValueError, match=named):
        flue_size(UK, **given_)
