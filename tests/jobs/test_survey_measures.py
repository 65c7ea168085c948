"""What may be typed into the survey beyond plain figures: tolerances, layers, corners, hips, vents."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from jobs.forms.measures import MeasureFormField
from jobs.forms.survey_rows import OWN_BOARD
from jobs.forms.surveys import SurveyForm
from jobs.models import Survey
from jobs.queries.surveys import survey_draft
from jobs.survey_words import survey_words
from tests.factories import IN, InstallationFactory, SurveyFactory
from tests.jobs.test_survey_form import typed
from tests.jobs.test_surveys import answers


def british(**more) -> Survey:
    return SurveyFactory(installation__site__country="GB", installation__site__unit_system="metric", **more)


def told(survey: Survey) -> dict[str, str]:
    return {one.label: one.words for section in survey_words(survey) for one in section.answers}


@pytest.mark.parametrize(
    ("text", "system", "figure", "tolerance"),
    [
        ("36", "imperial", 36 * IN, None),
        ("36 ± 1/4", "imperial", 36 * IN, 0.25 * IN),
        ('36" +/- 1/4"', "imperial", 36 * IN, 0.25 * IN),
        ("36 ± 0", "imperial", 36 * IN, None),
        ("915 ± 5", "metric", 0.915, 0.005),
        ("0.9 m +/- 5 mm", "metric", 0.9, 0.005),
    ],
)
def test_a_length_keeps_how_far_it_may_be_off(text, system, figure, tolerance):
    field = MeasureFormField(system=system, required=False)
    assert field.clean(text) == pytest.approx(figure)
    assert field.tolerance == (None if tolerance is None else pytest.approx(tolerance))
    assert field.clean("36") is not None
    assert field.tolerance is None


@pytest.mark.parametrize("text", ["36 ±", "36 ± a bit", "1 ± 2", "± 1/4"])
def test_a_tolerance_that_cannot_be_is_refused_with_what_to_write(text):
    with pytest.raises(ValidationError):
        MeasureFormField(system="imperial").clean(text)


@pytest.mark.django_db
class TestTolerances:
    def test_a_tolerance_goes_to_the_plan_and_the_text_stays_as_typed(self, as_user, office):
        installation = SurveyFactory().installation
        as_user(office).post(
            f"/installations/{installation.pk}/survey/", answers(installation, rear_wall="16 ± 1/4")
        )
        kept = Survey.objects.get(revision=2)
        assert kept.tolerances == {"rear_wall": pytest.approx(0.25 * IN)}
        assert kept.as_typed["rear_wall"] == "16 ± 1/4"
        assert kept.plans.get().data["survey"]["tolerances"] == kept.tolerances
        page = as_user(office).get(f"/surveys/{kept.pk}/").content.decode()
        assert "16 in ± 1/4 in" in page
        assert "typed: 16 ± 1/4" in page

    def test_the_next_survey_begins_with_the_tolerance_and_keeps_it_untouched(self):
        survey = SurveyFactory(tolerances={"rear_wall": 0.25 * IN}, as_typed={"rear_wall": "16 ± 1/4"})
        page = typed(survey.installation)
        assert page.form["rear_wall"].value() == "16 ± 1/4"
        assert page.is_valid
        assert page.values()["tolerances"] == {"rear_wall": 0.25 * IN}

    def test_a_stored_tolerance_without_its_text_is_written_out(self):
        survey = SurveyFactory(tolerances={"rear_wall": 0.25 * IN})
        form = SurveyForm(instance=survey_draft(survey.installation), system="imperial")
        assert form["rear_wall"].value() == "16 in ± 1/4 in"

    def test_typing_the_figure_alone_takes_the_tolerance_away(self):
        survey = SurveyFactory(tolerances={"rear_wall": 0.25 * IN}, as_typed={"rear_wall": "16 ± 1/4"})
        assert typed(survey.installation, rear_wall="16").values()["tolerances"] == {}

    def test_a_figure_not_understood_keeps_the_tolerance_stored_before(self):
        survey = SurveyFactory(tolerances={"rear_wall": 0.25 * IN}, as_typed={"rear_wall": "16 ± 1/4"})
        page = typed(survey.installation, rear_wall="sixteen")
        assert not page.is_valid
        assert page.values()["tolerances"] == {"rear_wall": 0.25 * IN}

    @pytest.mark.parametrize(("name", "text"), [("roof_rise", "6 ± 1"), ("outside_temperature", "32 ± 5")])
    def test_what_is_no_length_off_the_tape_takes_no_tolerance(self, name, text):
        page = typed(SurveyFactory().installation, **{name: text})
        assert not page.is_valid
        assert name in page.form.errors


@pytest.mark.django_db
class TestLayers:
    def test_layers_are_kept_in_si_with_the_words_as_typed(self):
        page = typed(
            SurveyFactory().installation,
            **{
                "layers-0-material": "ceramic tile", "layers-0-thickness": "1/4",
                "layers-TOTAL_FORMS": "2", "layers-1-material": OWN_BOARD, "layers-1-resistance": "R 1.5",
            },
        )  # fmt: skip
        assert page.is_valid, page.form.errors
        tile, board = page.values()["hearth_layers"]
        assert tile == {"material": "ceramic tile", "thickness": pytest.approx(0.25 * IN), "resistance": None}
        assert board["resistance"] == pytest.approx(1.5 * 0.1761, abs=1e-4)
        assert page.typed()["hearth_layers"][1] == {"thickness": "", "resistance": "R 1.5"}
        assert [one.material for one in page.plan.plan.survey.hearth_layers] == ["ceramic tile", OWN_BOARD]

    def test_stored_layers_are_shown_again_and_stay(self):
        survey = SurveyFactory(
            hearth_layers=[
                {"material": "brick", "thickness": 2.25 * IN, "resistance": None},
                {"material": "maker's board", "thickness": None, "resistance": 0.2},
            ],
            as_typed={"hearth_layers": [{"thickness": "2 1/4"}, {"resistance": "RSI 0.2"}]},
        )
        page = typed(survey.installation)
        assert page.layers.forms[0]["thickness"].value() == "2 1/4"
        assert page.layers.forms[1]["material"].value() == "maker's board"
        assert page.is_valid
        assert page.values()["hearth_layers"] == survey.hearth_layers

    @pytest.mark.parametrize(
        ("row", "beside", "words"),
        [
            ({"material": "brick"}, "thickness", "Measure this too"),
            ({"material": OWN_BOARD, "thickness": "1"}, "resistance", "Type the R of its sheet"),
            ({"thickness": "1"}, "material", "Choose what the layer is"),
            ({"material": "concrete", "thickness": "1", "resistance": "R 0.95"}, "resistance", "decimal"),
            ({"material": "still air", "thickness": "1"}, "thickness", "1/8 in only"),
            ({"material": "brick", "thickness": "thick"}, "thickness", "was not understood"),
        ],
    )
    def test_a_layer_that_cannot_be_is_told_in_its_row(self, row, beside, words):
        data = {f"layers-0-{name}": text for name, text in row.items()}
        page = typed(SurveyFactory().installation, **data)
        assert not page.is_valid
        assert words in page.layers.forms[0].errors[beside][0]
        assert page.unread == ["Layers of the floor protection"]

    def test_air_on_air_is_told_in_the_lower_row(self):
        air = {"material": "still air", "thickness": "1/8"}
        data = {f"layers-{row}-{name}": text for row in (0, 1) for name, text in air.items()}
        page = typed(SurveyFactory().installation, **data, **{"layers-TOTAL_FORMS": "2"})
        assert not page.is_valid
        assert "Two layers of air" in page.layers.forms[1].errors["material"][0]

    def test_rows_lie_open_where_the_sheet_asks_for_a_resistance(self):
        asked = SurveyFactory(installation__appliance__hearth_resistance=0.14)
        not_asked = SurveyFactory(installation__appliance__hearth_resistance=0.0)
        assert typed(asked.installation).layers_open
        assert not typed(not_asked.installation).layers_open


@pytest.mark.django_db
class TestWhatIsAsked:
    def test_a_corner_keeps_what_was_typed_for_a_wall(self):
        page = typed(SurveyFactory().installation, placement="corner", corner_wall="12", rear_wall="17")
        assert page.is_valid, page.form.errors
        values = page.values()
        assert (values["placement"], values["corner_wall"]) == ("corner", pytest.approx(12 * IN))
        assert values["rear_wall"] == pytest.approx(17 * IN)

    def test_only_the_measures_of_the_placement_are_told(self):
        corner = told(SurveyFactory(placement="corner", corner_wall=12 * IN))
        assert corner["Nearest rear corner to either wall"] == "12 in"
        assert "Appliance to the wall behind" not in corner
        assert "Nearest rear corner to either wall" not in told(SurveyFactory())

    def test_a_hip_roof_tells_its_eaves_and_a_flat_one_no_ridge(self):
        hip = told(SurveyFactory(roof_shape="hip", eaves_distance=2.0, hip_distance=3.0))
        assert {"Flue centre down to the eaves, level", "Flue centre to the hipped end, level"} <= set(hip)
        flat = told(SurveyFactory(roof_shape="flat", roof_rise=0.0))
        assert "Flue centre to the ridge, level" not in flat

    def test_air_and_the_size_of_the_hearth_are_asked_where_the_rule_book_does(self):
        vents = {"air_permeability", "air_vent_area", "hearth_width", "hearth_depth", "hearth_thickness"}
        metric = SurveyForm(instance=survey_draft(british().installation), system="metric")
        assert vents <= set(metric.fields)
        imperial = SurveyForm(instance=survey_draft(SurveyFactory().installation), system="imperial")
        assert vents & set(imperial.fields) == {"air_vent_area"}
        places = {one.key: [asked.field.name for asked in one.more] for one in imperial.sections()}
        assert "air" not in places
        assert "air_vent_area" in places["outside"]
        assert "air_vent_area" not in [
            asked.field.name for one in metric.sections() if one.key == "outside" for asked in one.more
        ]

    def test_what_another_rule_book_asked_for_is_not_lost(self):
        page = typed(SurveyFactory(hearth_thickness=0.125).installation)
        assert page.is_valid
        assert page.values()["hearth_thickness"] == 0.125

    def test_vents_and_leakage_are_read_in_the_units_they_are_told_in(self):
        page = typed(british().installation, air_permeability="7", air_vent_area="2750", hearth_width="840")
        assert page.is_valid, page.form.errors
        assert page.values()["air_permeability"] == pytest.approx(7 / 3600)
        assert page.values()["air_vent_area"] == pytest.approx(2750e-6)

    def test_shares_are_read_in_percent(self):
        page = typed(SurveyFactory().installation, fuel_moisture="18")
        assert page.is_valid
        assert page.values()["fuel_moisture"] == pytest.approx(0.18)
        assert not typed(SurveyFactory().installation, fuel_moisture="0.18").is_valid

    def test_nothing_is_taken_for_granted_that_nobody_answered(self):
        values = typed(InstallationFactory()).values()
        assert (values["exposure"], values["fuel_moisture"], values["room_temperature"]) == ("", None, None)
        assert (values["tolerances"], values["hearth_layers"]) == ({}, [])

    def test_more_lies_open_once_something_in_it_is_answered(self):
        def opened(**more):
            form = SurveyForm(instance=survey_draft(SurveyFactory(**more).installation), system="imperial")
            return {section.key for section in form.sections() if section.more_open}

        assert opened() == set()
        assert opened(connector_length=1.2) == {"connector"}

    @pytest.mark.parametrize("kind", ["building", "dormer", "parapet", "neighbour", "opening"])
    def test_every_kind_of_obstacle_is_kept(self, kind):
        row = {"distance": "60", "height": "12", "kind": kind}
        data = {f"obstacles-0-{name}": text for name, text in row.items()}
        page = typed(SurveyFactory().installation, **data)
        assert page.is_valid, page.form.errors
        assert page.plan.plan.survey.obstacles[0].kind == kind

    def test_a_contradiction_is_told_beside_its_field(self):
        page = typed(SurveyFactory().installation, connector_length="10", connector_rise="30")
        assert not page.is_valid
        assert "shorter than the straight line" in page.form.errors["connector_length"][0]


@pytest.mark.django_db
def test_the_page_offers_what_belongs_together_and_hides_the_rest(as_user, office):
    installation = SurveyFactory().installation
    page = as_user(office).get(f"/installations/{installation.pk}/survey/").content.decode()
    assert '<div class="field" data-only="corner">' in page
    assert "More about the pipe" in page
    assert "36 +/- 1/4" in page
    assert 'name="air_permeability"' not in page
