"""Figures typed into forms and shown on pages."""

from __future__ import annotations

import pytest
from django import forms
from django.core.exceptions import ValidationError
from django.template import Context, Template

from calcs.checks import Limit, Provenance, Source, SourceKind
from jobs.figures import figure_words, limit_words, measured_words, source_words
from jobs.forms.quantities import QuantityFormField, QuantityFormMixin, read_quantity
from jobs.models import Appliance
from tests.factories import IN, ApplianceFactory

COMMON = Source(SourceKind.COMMON_PRACTICE, "common practice", "", Provenance.MEMORY)


class ApplianceFigures(QuantityFormMixin, forms.ModelForm):
    class Meta:
        model = Appliance
        fields = ["maker", "model", "fuel", "kind", "clearance_rear", "least_draft", "hearth_resistance"]


def data(**more):
    return {
        "maker": "Tarn Hollow", "model": "Hob", "fuel": "wood", "kind": "radiant",
        "clearance_rear": "", "least_draft": "", "hearth_resistance": "", **more,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "kind", "system", "expected"),
    [
        ("22 1/2", "length", "imperial", 0.5715),
        ("572", "length", "metric", 0.572),
        ("22 1/2 in", "length", "metric", 0.5715),
        ("0.05", "draft", "imperial", 12.454),
        ("12", "draft", "metric", 12.0),
        ("480", "temperature", "imperial", 248.889),
        ("9", "power", "metric", 9000.0),
        ("6.5", "mass flow", "metric", 0.0065),
    ],
)
def test_a_bare_number_is_read_in_the_units_of_the_site(text, kind, system, expected):
    assert read_quantity(text, kind, system) == pytest.approx(expected, rel=1e-4)


# 1 ft2 h F/Btu is 0.17611 m2K/W: exact by the definitions of foot, Btu and degree.
@pytest.mark.parametrize(
    ("text", "system", "expected"),
    [
        ("0.8", "imperial", 0.140888),
        ("R 0.8", "imperial", 0.140888),
        ("R-value: 0.8", "imperial", 0.140888),
        ("0.14", "metric", 0.14),
        ("RSI 0.14", "metric", 0.14),
        ("RSI 0.14", "imperial", 0.14),
        ("0.8 ft2 h F/Btu", "metric", 0.140888),
    ],
)
def test_a_thermal_resistance_is_read_as_makers_print_it(text, system, expected):
    assert read_quantity(text, "thermal resistance", system) == pytest.approx(expected, rel=1e-4)


def test_it_refuses_an_r_value_that_could_be_of_either_system():
    with pytest.raises(ValueError, match="could be metric or imperial"):
        read_quantity("R 0.8", "thermal resistance", "metric")


def test_it_refuses_a_draft_that_no_chimney_has():
    with pytest.raises(ValueError, match=r"“12” read in in w\.c\. cannot be right"):
        read_quantity("12", "draft", "imperial")


def test_the_error_of_a_field_is_the_sentence_that_says_what_was_not_understood():
    with pytest.raises(ValidationError, match="twenty"):
        QuantityFormField(system="imperial", required=False).clean("twenty")


def test_it_refuses_a_length_below_nothing_but_not_an_altitude():
    with pytest.raises(ValidationError, match="less than nothing"):
        QuantityFormField(system="metric", required=False).clean("-3")
    assert QuantityFormField(system="metric", unit="m", signed=True).clean("-3") == -3.0


@pytest.mark.django_db
def test_an_empty_figure_stays_unknown():
    form = ApplianceFigures(data(), system="imperial")
    assert form.is_valid(), form.errors
    assert form.instance.clearance_rear is None
    assert form.instance.as_typed == {}


@pytest.mark.django_db
def test_the_text_is_kept_as_typed_beside_the_figure():
    form = ApplianceFigures(data(clearance_rear=' 14-1/2" ', least_draft=".05 in wc"), system="imperial")
    assert form.is_valid(), form.errors
    assert form.instance.clearance_rear == pytest.approx(14.5 * IN)
    assert form.instance.as_typed == {"clearance_rear": '14-1/2"', "least_draft": ".05 in wc"}


@pytest.mark.django_db
def test_the_typed_text_is_shown_again_after_a_mistake():
    form = ApplianceFigures(data(clearance_rear="14 elbows"), system="imperial")
    assert not form.is_valid()
    assert 'value="14 elbows"' in str(form["clearance_rear"])


@pytest.mark.django_db
def test_a_stored_figure_is_shown_as_it_was_typed():
    appliance = ApplianceFactory(clearance_rear=14.5 * IN, as_typed={"clearance_rear": "14-1/2"})
    form = ApplianceFigures(instance=appliance, system="imperial")
    assert form.initial["clearance_rear"] == "14-1/2"


@pytest.mark.django_db
def test_a_text_that_would_now_be_read_differently_is_shown_in_the_units_of_the_site():
    appliance = ApplianceFactory(clearance_rear=14.5 * IN, as_typed={"clearance_rear": "14-1/2"})
    form = ApplianceFigures(instance=appliance, system="metric")
    assert form.initial["clearance_rear"] == "368"


@pytest.mark.django_db
def test_a_figure_nobody_touched_does_not_drift_by_rounding():
    appliance = ApplianceFactory(clearance_rear=14.5 * IN, as_typed={})
    shown = ApplianceFigures(instance=appliance, system="metric").initial["clearance_rear"]
    form = ApplianceFigures(data(clearance_rear=shown), instance=appliance, system="metric")
    assert form.is_valid(), form.errors
    assert form.instance.clearance_rear == 14.5 * IN


def test_the_unit_of_a_bare_number_stands_beside_the_field():
    html = str(ApplianceFigures(system="metric")["hearth_resistance"])
    assert "m2K/W" in html


def test_it_says_what_is_not_known():
    assert figure_words(None, "length", "imperial") == "not known"
    assert limit_words(None, "hearth.front", "imperial") == "not known"


def test_a_least_length_is_never_shown_as_less_than_it_is():
    limit = Limit(0.4573, None, "m", COMMON)
    assert limit_words(limit, "connector.clearance", "imperial") == "at least 18 1/16 in"
    assert limit_words(limit, "connector.clearance", "metric") == "at least 458 mm"


def test_a_limit_says_its_range_share_or_slope_in_words():
    assert limit_words(Limit(None, 0.2, "1", COMMON), "fuel.moisture", "metric") == "at most 20 %"
    assert limit_words(Limit(1 / 48, None, "1", COMMON), "connector.slope", "imperial") == (
        "at least 1/4 in per ft"
    )
    assert limit_words(Limit(1.0, 3.0, "m", COMMON), "alarm.co_distance", "metric") == "1000 mm to 3000 mm"


def test_a_source_says_its_kind_reference_edition_and_provenance():
    code = Source(SourceKind.CODE, "IRC R1003.9", "2012", Provenance.READ)
    assert source_words(Limit(1.0, None, "m", code)) == "code, IRC R1003.9, 2012 (read)"
    assert source_words(Limit(1.0, None, "m", COMMON)) == "common practice (memory)"


def test_templates_show_figures_by_filter_and_tag():
    page = Template(
        "{% load quantities %}{{ a|length:'imperial' }}; {{ b|quantity:'draft' }}; "
        "{% quantity b 'draft' 'imperial' %}; {{ c|length }}; {{ a|least_length:'metric' }}; "
        "{{ a|most_length:'metric' }}; {% figure a 'm' 'hearth.front' 'metric' %}"
    )
    words = page.render(Context({"a": 0.5715, "b": 12.0, "c": [1, 2]}))
    assert words == "22 1/2 in; 12.0 Pa; 0.048 in w.c.; 2; 572 mm; 571 mm; 572 mm"


@pytest.mark.parametrize(
    ("value", "words"), [(17.99 * IN, "17 15/16 in"), (18 * IN, "18 in"), (18.01 * IN, "18 in")]
)
def test_a_measure_that_misses_its_limit_never_reads_as_if_it_met_it(value, words):
    least = Limit(18 * IN, None, "m", COMMON)
    assert measured_words(value, least, "length", "imperial") == words


def test_a_measure_beyond_the_greatest_reads_beyond_it():
    most = Limit(None, 0.003175, "m", COMMON)
    assert measured_words(0.0032, most, "length", "metric") == "4 mm"
    assert limit_words(most, "sweep.deposit", "metric") == "at most 3 mm"
    assert measured_words(None, most, "length", "metric") == "not known"
