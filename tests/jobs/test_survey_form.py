"""What may be typed into a survey, and what the plan is made of when part of it was not understood."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError
from django.http import QueryDict

from calcs.rulebook import load_rulebook
from jobs.forms.survey_pages import SurveyPage
from jobs.forms.survey_routes import every_field
from jobs.forms.survey_sections import LABELS
from jobs.forms.surveys import SlopeFormField, SurveyForm
from jobs.models import Survey
from jobs.queries.surveys import survey_draft
from jobs.survey_words import survey_words
from tests.factories import IN, InstallationFactory, SurveyFactory


def posted(page: SurveyPage, **more: str) -> QueryDict:
    """What a browser sends back when only some fields were touched."""
    data = QueryDict(mutable=True)
    for name in page.form.fields:
        value = page.form[name].value()
        data[name] = "" if value is None else str(value)
    for rows in (page.obstacles, page.layers):
        data[f"{rows.prefix}-TOTAL_FORMS"] = str(len(rows.forms))
        data[f"{rows.prefix}-INITIAL_FORMS"] = str(rows.initial_form_count())
        for row in rows:
            for name in row.fields:
                data[row.add_prefix(name)] = str(row[name].value() or "")
    for name, value in more.items():
        data[name] = value
    return data


def typed(installation, **more: str) -> SurveyPage:
    page = SurveyPage(survey_draft(installation))
    return SurveyPage(survey_draft(installation), posted(page, **more))


# Rise of 12 tan(26.565 degrees) is 6: plane geometry.
@pytest.mark.parametrize(
    ("text", "system", "expected"),
    [
        ("6", "imperial", 6.0),
        ("6/12", "imperial", 6.0),
        ("6 1/2 in 12", "imperial", 6.5),
        ("6:12", "metric", 6.0),
        ("26.565°", "imperial", 6.0),
        ("26,57", "metric", 6.0),
        ("45 deg", "metric", 12.0),
        ("1/4 in 12", "metric", 0.25),
        ("0", "metric", 0.0),
    ],
)
def test_a_roof_slope_is_read_as_people_say_it(text, system, expected):
    assert SlopeFormField(system=system).clean(text) == pytest.approx(expected, abs=2e-3)


@pytest.mark.parametrize("text", ["steep", "6/10", "90°", "-6"])
def test_a_roof_slope_that_is_none_is_refused(text):
    with pytest.raises(ValidationError, match=r"slope|less than nothing|beyond any roof"):
        SlopeFormField(system="imperial").clean(text)


def test_every_column_of_the_survey_has_its_place_on_the_form():
    placed = set(every_field())
    columns = {field.name for field in Survey._meta.concrete_fields}
    kept_elsewhere = {"id", "as_typed", "installation", "revision", "made_by", "made_at"}
    kept_elsewhere |= {"obstacles", "hearth_layers", "tolerances"}
    assert placed == columns - kept_elsewhere
    assert placed <= set(LABELS)


@pytest.mark.django_db
class TestSurveyForm:
    def test_the_protections_offered_are_those_of_the_sites_rule_book(self):
        book = load_rulebook("ca")
        draft = survey_draft(InstallationFactory(site__country="CA", site__unit_system="metric"))
        form = SurveyForm(instance=draft, system="metric")
        offered = {key for key, _ in form.fields["rear_protection"].choices}
        assert offered == {"", *book.table("clearance.reduction").rows}

    def test_a_rule_book_without_protections_says_so(self):
        draft = survey_draft(InstallationFactory(site__country="GB", site__unit_system="metric"))
        form = SurveyForm(instance=draft, system="metric")
        assert [key for key, _ in form.fields["rear_protection"].choices] == [""]
        assert "no table" in form.fields["rear_protection"].help_text

    def test_a_protection_stored_under_another_rule_book_stays_to_be_seen(self):
        survey = SurveyFactory(rear_protection="brick_ventilated")
        form = SurveyForm(instance=survey_draft(survey.installation), system="imperial")
        assert "brick_ventilated" in dict(form.fields["rear_protection"].choices)


@pytest.mark.django_db
class TestSurveyPage:
    def test_a_draft_begins_with_the_last_revision_but_not_with_its_notes(self):
        survey = SurveyFactory(revision=3, notes="Rain", as_typed={"rear_wall": "16"})
        draft = survey_draft(survey.installation)
        assert (draft.pk, draft.revision, draft.notes) == (None, 3, "")
        assert (draft.rear_wall, draft.as_typed) == (16 * IN, {"rear_wall": "16"})

    def test_nothing_typed_gives_the_plan_of_what_was_kept(self):
        page = SurveyPage(survey_draft(SurveyFactory().installation))
        assert page.plan.plan.bay_clear == pytest.approx(22.5 * IN)

    def test_what_was_not_understood_counts_as_it_was_kept_last(self):
        page = typed(SurveyFactory().installation, attic_height="forty", member_spacing="16")
        assert not page.is_valid
        assert page.unread == ["Top of the members to the roof deck"]
        assert page.plan.plan.survey.attic_height == pytest.approx(40 * IN)
        assert page.plan.plan.bay_clear == pytest.approx(14.5 * IN)

    def test_an_input_that_cannot_be_is_told_beside_its_field(self):
        page = typed(SurveyFactory().installation, member_thickness="30")
        assert not page.is_valid
        assert "leaves no room" in page.form.errors["member_thickness"][0]
        assert page.plan.plan.survey.member_thickness == pytest.approx(1.5 * IN)

    def test_a_listing_that_cannot_be_is_told_above_the_form(self):
        installation = SurveyFactory(installation__appliance__collar_height=0.0).installation
        page = typed(installation)
        assert not page.is_valid
        assert "The appliance's sheet, Collar above the floor" in page.form.non_field_errors()[0]
        assert page.plan is None

    def test_obstacles_are_kept_with_the_words_as_typed(self):
        data = {"obstacles-0-name": "Dormer", "obstacles-0-distance": "6'", "obstacles-0-height": "2 m"}
        page = typed(SurveyFactory().installation, **data)
        assert page.is_valid, page.form.errors
        assert page.values()["obstacles"] == [
            {"name": "Dormer", "distance": pytest.approx(72 * IN), "height": 2.0, "kind": "building"}
        ]
        assert page.typed()["obstacles"] == [{"distance": "6'", "height": "2 m"}]

    def test_an_opening_is_kept_as_one(self):
        row = {"name": "Rooflight", "distance": "1500", "height": "300", "kind": "opening"}
        installation = SurveyFactory(
            installation__site__country="GB", installation__site__unit_system="metric"
        ).installation
        page = typed(installation, **{f"obstacles-0-{name}": text for name, text in row.items()})
        assert page.values()["obstacles"][0]["kind"] == "opening"
        assert page.plan.plan.survey.obstacles[0].kind == "opening"

    def test_a_half_filled_obstacle_asks_for_the_rest(self):
        page = typed(SurveyFactory().installation, **{"obstacles-0-distance": "6'"})
        assert not page.is_valid
        assert "Measure this too" in page.obstacles.forms[0].errors["height"][0]
        assert page.unread == ["Obstacles"]

    def test_an_obstacle_is_taken_away(self):
        survey = SurveyFactory(obstacles=[{"name": "Dormer", "distance": 2.0, "height": 2.5}])
        page = typed(survey.installation, **{"obstacles-0-DELETE": "on"})
        assert page.is_valid
        assert page.values()["obstacles"] == []
        assert "obstacles" not in page.typed()

    def test_an_obstacle_that_cannot_be_is_told_in_its_row(self):
        data = {"obstacles-0-distance": "-6'", "obstacles-0-height": "2 m"}
        page = typed(SurveyFactory().installation, **data)
        assert not page.is_valid
        assert "less than nothing" in page.obstacles.forms[0].errors["distance"][0]


@pytest.mark.django_db
def test_a_stored_survey_is_told_in_words_with_the_text_as_typed():
    survey = SurveyFactory(
        rear_wall=22.5 * IN,
        as_typed={"rear_wall": "1' 10½\""},
        side_protection="metal_ventilated",
        obstacles=[{"name": "Dormer", "distance": 1.8288, "height": 0.6096}],
        outside_temperature=None,
    )
    answers = {one.label: one for section in survey_words(survey) for one in section.answers}
    assert (answers["Appliance to the wall behind"].words, answers["Appliance to the wall behind"].typed) == (
        "22 1/2 in",
        "1' 10½\"",
    )
    assert answers["Slope"].words == "6/12"
    assert answers["The ceiling hangs from"].words == "Joists"
    assert "sheet metal" in answers["Protection on the side walls"].words
    assert answers["Outside temperature to plan for"].words == "not known"
    assert answers["Dormer"].words == "72 in away, 24 in above the roof"
