"""Listing data: a missing figure stays missing, and the page says what that leaves open."""

from __future__ import annotations

import pytest

from jobs.models import Appliance, Chimney, ChimneySection
from jobs.queries.listings import appliance_gaps, chimney_gaps
from jobs.services.listings import appliance_save, chimney_save
from tests.factories import IN, ApplianceFactory, ChimneyFactory

pytestmark = pytest.mark.django_db


def appliance_data(**more):
    return {
        "maker": "Alder Forge", "model": "Small", "listed": "on", "fuel": "wood", "kind": "radiant",
        "clearance_rear": "14 1/2", "collar_diameter": "6", "clearance_reduction_allowed": "", **more,
    }  # fmt: skip


def chimney_data(*sections, **more):
    data = {
        "maker": "Grey Heron", "model": "Column", "inner_diameter": "6", "outer_diameter": "10",
        "sections-TOTAL_FORMS": len(sections), "sections-INITIAL_FORMS": 0, **more,
    }  # fmt: skip
    for number, (name, length, adds) in enumerate(sections):
        data |= {
            f"sections-{number}-name": name,
            f"sections-{number}-length": length,
            f"sections-{number}-effective_length": adds,
        }
    return data


def test_a_complete_sheet_leaves_nothing_open():
    appliance = ApplianceFactory()
    assert not appliance_gaps(appliance)
    assert not chimney_gaps(ChimneyFactory())


def test_a_missing_clearance_is_named_with_the_limit_it_leaves_open():
    gaps = appliance_gaps(ApplianceFactory(clearance_rear=None))
    assert any("Rear clearance" in sentence for sentence in gaps.sentences)
    assert gaps.limits == ("Appliance to the wall behind",)


def test_a_missing_least_draft_leaves_the_measured_draft_without_a_limit():
    assert "Draft, measured hot" in appliance_gaps(ApplianceFactory(least_draft=None)).limits


def test_a_chimney_without_section_lengths_says_that_none_can_be_chosen():
    chimney = ChimneyFactory()
    chimney.sections.all().delete()
    assert any("to choose sections" in sentence for sentence in chimney_gaps(chimney).sentences)


def test_figures_of_a_sheet_that_cannot_be_are_said():
    chimney = ChimneyFactory()
    chimney.outer_diameter = 4 * IN
    assert "No plan can be made from it" in chimney_gaps(chimney).sentences[0]


def test_the_services_store_a_sheet_and_its_sections():
    appliance = appliance_save(appliance=Appliance(maker="A", model="B"))
    chimney = chimney_save(
        chimney=Chimney(maker="C", model="D"),
        sections=[ChimneySection(name="12 in", length=12 * IN, effective_length=11 * IN)],
    )
    assert appliance.pk
    assert chimney.sections.get().name == "12 in"


def test_figures_that_not_every_plan_needs_are_named_with_what_they_stop():
    gaps = appliance_gaps(ApplianceFactory(clearance_corner=None, minimum_gas_temperature=None))
    stopped = {one.title: one.figures for one in gaps.lacks}
    assert "Clearance of the appliance in a corner" in stopped["A place across a corner"]
    assert (
        "Flue-gas temperature at the least output"
        in stopped["Draft and dry walls when burning low, closer than an estimate"]
    )
    assert "Draft left at the collar, after cooling and friction" not in stopped
    assert {"Passing a joist with 15° elbows", "Passing a joist with 30° elbows"} <= {
        one.title for one in chimney_gaps(ChimneyFactory()).lacks
    }


def test_output_and_efficiency_stand_in_for_the_mass_flow():
    draft = "Draft left at the collar, after cooling and friction"
    bare = ApplianceFactory(flue_gas_mass_flow=None)
    assert draft in {one.title for one in appliance_gaps(bare).lacks}
    enough = ApplianceFactory(flue_gas_mass_flow=None, efficiency=0.78)
    assert draft not in {one.title for one in appliance_gaps(enough).lacks}


class TestLists:
    @pytest.mark.parametrize("address", ["/appliances/", "/chimneys/"])
    def test_an_empty_list_says_what_to_copy(self, as_user, office, address):
        assert "Copy the figures of a" in as_user(office).get(address).content.decode()

    def test_a_sheet_with_missing_figures_is_marked(self, as_user, office):
        ApplianceFactory(clearance_rear=None)
        ChimneyFactory()
        assert "figures missing" in as_user(office).get("/appliances/").content.decode()
        assert "figures missing" not in as_user(office).get("/chimneys/").content.decode()

    @pytest.mark.parametrize("address", ["/appliances/", "/chimneys/"])
    def test_they_need_a_login(self, client, address):
        assert client.get(address).status_code == 302

    @pytest.mark.parametrize("address", ["/appliances/", "/chimneys/"])
    def test_a_reader_is_offered_no_way_to_write(self, as_user, inspector, address):
        ApplianceFactory()
        ChimneyFactory()
        page = as_user(inspector).get(address).content.decode()
        assert "/add/" not in page
        assert "/edit/" not in page

    @pytest.mark.parametrize("address", ["/appliances/", "/chimneys/"])
    def test_they_refuse_a_post(self, as_user, office, address):
        assert as_user(office).post(address).status_code == 405


class TestAppliance:
    def test_a_sheet_is_entered_and_what_is_not_there_stays_missing(self, as_user, office):
        page = as_user(office).post("/appliances/add/", appliance_data(), follow=True).content.decode()
        appliance = Appliance.objects.get()
        assert appliance.clearance_rear == pytest.approx(14.5 * IN)
        assert appliance.clearance_side is None
        assert appliance.clearance_reduction_allowed is None
        assert appliance.as_typed["clearance_rear"] == "14 1/2"
        assert "What this sheet leaves open" in page

    def test_the_figures_of_burning_low_and_of_the_body_are_read_as_they_are_written(self, as_user, office):
        data = appliance_data(
            flue_gas_co2="9.5 %", efficiency="78", minimum_output="11,000 Btu/h", nominal_output="27,000",
            minimum_gas_temperature="350", minimum_gas_mass_flow="9 lb/h",
            minimum_output_draft="0.04 in w.c.", width="22", depth="1' 8\"",
            draught_stabiliser="no", hearth_below_100="yes",
        )  # fmt: skip
        as_user(office).post("/appliances/add/", data)
        kept = Appliance.objects.get()
        assert (kept.flue_gas_co2, kept.efficiency) == (pytest.approx(0.095), pytest.approx(0.78))
        # International table Btu: 1 Btu/h is 0.293071 W.
        assert kept.minimum_output == pytest.approx(3223.8, abs=0.1)
        assert kept.nominal_output == pytest.approx(7912.9, abs=0.1)
        assert kept.minimum_gas_temperature == pytest.approx(176.667, abs=1e-3)
        assert kept.minimum_gas_mass_flow == pytest.approx(0.001134, abs=1e-6)
        assert kept.minimum_output_draft == pytest.approx(9.96, abs=0.01)
        assert (kept.width, kept.depth) == (pytest.approx(22 * IN), pytest.approx(20 * IN))
        assert (kept.draught_stabiliser, kept.hearth_below_100) == (False, True)
        page = as_user(office).get(f"/appliances/{kept.pk}/edit/").content.decode()
        for text in ("9.5 %", "11,000 Btu/h", "27,000", "0.04 in w.c.", "1&#x27; 8&quot;"):
            assert f'value="{text}"' in page

    def test_an_output_burnt_low_above_the_nominal_one_is_refused_beside_it(self, as_user, office):
        data = appliance_data(minimum_output="9 kW", nominal_output="8 kW")
        page = as_user(office).post("/appliances/add/", data).content.decode()
        assert "swap the two figures" in page
        assert not Appliance.objects.exists()

    @pytest.mark.parametrize(
        ("name", "across"), [("side_to_flue_centre", "width"), ("back_to_flue_centre", "depth")]
    )
    def test_a_flue_centre_outside_the_body_is_refused_beside_it(self, as_user, office, name, across):
        data = appliance_data(**{name: "25", across: "24"})
        page = as_user(office).post("/appliances/add/", data).content.decode()
        assert f"more than the {across} of the body" in page
        assert not Appliance.objects.exists()

    @pytest.mark.parametrize("text", ["0.78", "780", "78 ± 2"])
    def test_a_share_that_cannot_be_is_refused(self, as_user, office, text):
        page = as_user(office).post("/appliances/add/", appliance_data(efficiency=text)).content.decode()
        assert f'value="{text}"' in page
        assert not Appliance.objects.exists()

    @pytest.mark.parametrize(("word", "allowed"), [("yes", True), ("no", False), ("", None)])
    def test_whether_a_protection_may_reduce_clearances_has_three_answers(
        self, as_user, office, word, allowed
    ):
        as_user(office).post("/appliances/add/", appliance_data(clearance_reduction_allowed=word))
        appliance = Appliance.objects.get()
        assert appliance.clearance_reduction_allowed is allowed
        page = as_user(office).get(f"/appliances/{appliance.pk}/edit/").content.decode()
        assert f'<option value="{word}" selected>' in page

    def test_a_figure_that_is_not_understood_is_shown_again_with_a_sentence(self, as_user, office):
        page = (
            as_user(office)
            .post("/appliances/add/", appliance_data(clearance_rear="14 tall"))
            .content.decode()
        )
        assert 'value="14 tall"' in page
        assert "is no unit of length" in page
        assert not Appliance.objects.exists()

    def test_the_same_model_twice_is_refused_with_what_to_do(self, as_user, office):
        ApplianceFactory(maker="Alder Forge", model="Small")
        page = as_user(office).post("/appliances/add/", appliance_data()).content.decode()
        assert "already entered" in page

    def test_both_need_a_login(self, client):
        assert client.get("/appliances/add/").status_code == 302
        assert client.get(f"/appliances/{ApplianceFactory().pk}/edit/").status_code == 302

    def test_one_that_is_not_there_gives_404(self, as_user, office):
        assert as_user(office).get("/appliances/4711/edit/").status_code == 404

    @pytest.mark.parametrize("who", ["installer", "inspector"])
    def test_a_reader_cannot_write(self, as_user, request, who):
        signed_in, appliance = as_user(request.getfixturevalue(who)), ApplianceFactory(maker="As it was")
        assert signed_in.post("/appliances/add/", appliance_data()).status_code == 403
        assert signed_in.post(f"/appliances/{appliance.pk}/edit/", appliance_data()).status_code == 403
        assert Appliance.objects.get().maker == "As it was"

    def test_both_refuse_a_wrong_method(self, as_user, office):
        assert as_user(office).put("/appliances/add/").status_code == 405
        assert as_user(office).delete(f"/appliances/{ApplianceFactory().pk}/edit/").status_code == 405


class TestChimney:
    def test_a_sheet_is_entered_with_its_section_lengths(self, as_user, office):
        as_user(office).post("/chimneys/add/", chimney_data(("", "36", "35 1/4"), ("Short", "12", "11 1/4")))
        chimney = Chimney.objects.get()
        assert [(one.name, one.as_typed["length"]) for one in chimney.sections.all()] == [
            ("Short", "12"),
            ("36 in", "36"),
        ]
        assert chimney.sections.last().effective_length == pytest.approx(35.25 * IN)

    def test_an_empty_row_is_left_out(self, as_user, office):
        as_user(office).post("/chimneys/add/", chimney_data(("", "", "")))
        assert not Chimney.objects.get().sections.exists()

    def test_a_section_is_removed(self, as_user, office):
        chimney = ChimneyFactory(lengths=(12,))
        row = chimney.sections.get()
        data = chimney_data(
            ("12 in", "12", "11"),
            **{"sections-INITIAL_FORMS": 1, "sections-0-id": row.pk, "sections-0-DELETE": "on"},
        )
        as_user(office).post(f"/chimneys/{chimney.pk}/edit/", data)
        assert not chimney.sections.exists()

    @pytest.mark.parametrize(
        ("section", "sentence"),
        [
            (("", "12", "13"), "cannot add more than it is long"),
            (("", "12", "0"), "has to add height"),
            (("", "12", ""), "This field is required"),
            (("", "twelve", "11"), "was not understood"),
        ],
    )
    def test_a_section_that_cannot_be_is_shown_again_with_a_sentence(
        self, as_user, office, section, sentence
    ):
        page = as_user(office).post("/chimneys/add/", chimney_data(section)).content.decode()
        assert sentence in page
        assert f'value="{section[1]}"' in page
        assert not Chimney.objects.exists()

    def test_two_sections_of_one_name_are_refused(self, as_user, office):
        page = (
            as_user(office)
            .post("/chimneys/add/", chimney_data(("A", "12", "11"), ("A", "24", "23")))
            .content.decode()
        )
        assert "give each its own" in page

    def test_an_outside_smaller_than_the_inside_is_refused(self, as_user, office):
        page = as_user(office).post("/chimneys/add/", chimney_data(outer_diameter="5")).content.decode()
        assert "smaller than the inside" in page
        assert not Chimney.objects.exists()

    def test_elbow_pairs_are_read_and_their_figures_belong_together(self, as_user, office):
        pair = {"elbow_30_rise": "15 1/2", "elbow_30_run": "7", "elbow_15_rise": "14"}
        page = as_user(office).post("/chimneys/add/", chimney_data(**pair)).content.decode()
        assert "rise and offset together" in page
        page = (
            as_user(office).post("/chimneys/add/", chimney_data(**pair, elbow_15_run="15")).content.decode()
        )
        assert "are rise and offset swapped?" in page
        as_user(office).post("/chimneys/add/", chimney_data(**pair, elbow_15_run="3 1/4"))
        chimney = Chimney.objects.get()
        assert chimney.elbow_30_run == pytest.approx(7 * IN)
        assert chimney.to_calcs().elbow_15_run == pytest.approx(3.25 * IN)

    def test_the_same_system_in_another_diameter_is_another_sheet(self, as_user, office):
        as_user(office).post("/chimneys/add/", chimney_data())
        as_user(office).post("/chimneys/add/", chimney_data(inner_diameter="8", outer_diameter="12"))
        page = as_user(office).post("/chimneys/add/", chimney_data()).content.decode()
        assert Chimney.objects.count() == 2
        assert "already entered" in page

    def test_both_need_a_login(self, client):
        assert client.get("/chimneys/add/").status_code == 302
        assert client.get(f"/chimneys/{ChimneyFactory().pk}/edit/").status_code == 302

    def test_one_that_is_not_there_gives_404(self, as_user, office):
        assert as_user(office).get("/chimneys/4711/edit/").status_code == 404

    def test_a_reader_cannot_write(self, as_user, installer):
        chimney = ChimneyFactory(maker="As it was")
        assert as_user(installer).post("/chimneys/add/", chimney_data()).status_code == 403
        assert as_user(installer).post(f"/chimneys/{chimney.pk}/edit/", chimney_data()).status_code == 403
        assert Chimney.objects.get().maker == "As it was"

    def test_both_refuse_a_wrong_method(self, as_user, office):
        assert as_user(office).put("/chimneys/add/").status_code == 405
        assert as_user(office).delete(f"/chimneys/{ChimneyFactory().pk}/edit/").status_code == 405
