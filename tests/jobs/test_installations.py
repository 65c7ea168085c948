"""Installations: what stands where, and what hangs on it."""

from __future__ import annotations

import pytest
from django.urls import reverse

from jobs.models import Installation
from jobs.queries.installations import installations_visible_to
from jobs.services.sites import installation_save
from tests.factories import (
    ApplianceFactory,
    ChimneyFactory,
    InstallationFactory,
    JobFactory,
    SiteFactory,
    SurveyFactory,
    VisitFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def visited(technician):
    """An installation the installer's crew is sent to."""
    return VisitFactory(crew=technician.crew).job.installation


def posted(**more):
    return {
        "room": "Snug", "route": "flat ceiling", "appliance": ApplianceFactory().pk,
        "chimney": ChimneyFactory().pk, "serial_number": "", "installed_on": "", **more,
    }  # fmt: skip


def test_an_installer_sees_only_installations_of_the_own_crews_jobs(installer, stranger, visited):
    InstallationFactory(site=visited.site)
    assert list(installations_visible_to(installer)) == [visited]
    assert not installations_visible_to(stranger).exists()


def test_saving_an_installation_writes_what_a_person_edits():
    installation = InstallationFactory()
    installation.room = "Studio"
    installation_save(installation=installation)
    assert Installation.objects.get().room == "Studio"


class TestDetail:
    def test_it_shows_surveys_jobs_and_the_hazards_of_the_house(self, as_user, office):
        installation = SurveyFactory(installation__site__hazard_notes="Vermiculite").installation
        job = JobFactory(installation=installation)
        page = as_user(office).get(f"/installations/{installation.pk}/").content.decode()
        for words in ("Survey 1", job.number, "Vermiculite", "Surveyed, but not planned"):
            assert words in page

    def test_without_a_survey_it_says_to_survey_first(self, as_user, office):
        installation = InstallationFactory()
        page = as_user(office).get(f"/installations/{installation.pk}/").content.decode()
        assert "Survey the house first" in page
        assert reverse("survey_edit", args=[installation.pk]) in page

    def test_it_needs_a_login(self, client):
        assert client.get(f"/installations/{InstallationFactory().pk}/").status_code == 302

    def test_a_stranger_gets_404(self, as_user, stranger, visited):
        assert as_user(stranger).get(f"/installations/{visited.pk}/").status_code == 404

    def test_a_reader_is_offered_no_way_to_write(self, as_user, installer, visited):
        page = as_user(installer).get(f"/installations/{visited.pk}/").content.decode()
        assert visited.room in page
        assert "/edit/" not in page
        assert "/survey/" not in page

    def test_it_refuses_a_post(self, as_user, office):
        assert as_user(office).post(f"/installations/{InstallationFactory().pk}/").status_code == 405


class TestAdd:
    def test_an_installation_is_entered(self, as_user, office):
        site = SiteFactory()
        answer = as_user(office).post(f"/sites/{site.pk}/installations/add/", posted())
        installation = site.installations.get()
        assert answer.headers["Location"] == f"/installations/{installation.pk}/"

    def test_without_any_sheet_it_says_which_to_enter_first(self, as_user, office):
        client, site = as_user(office), SiteFactory()
        address = f"/sites/{site.pk}/installations/add/"
        assert reverse("appliance_add") in client.get(address).content.decode()
        ApplianceFactory()
        assert reverse("chimney_add") in client.get(address).content.decode()

    def test_it_needs_a_login(self, client):
        assert client.get(f"/sites/{SiteFactory().pk}/installations/add/").status_code == 302

    def test_a_site_that_is_not_there_gives_404(self, as_user, office):
        assert as_user(office).get("/sites/4711/installations/add/").status_code == 404

    def test_a_reader_cannot_write(self, as_user, installer):
        site = SiteFactory()
        assert as_user(installer).post(f"/sites/{site.pk}/installations/add/", posted()).status_code == 403
        assert not site.installations.exists()

    def test_it_refuses_a_wrong_method(self, as_user, office):
        assert as_user(office).put(f"/sites/{SiteFactory().pk}/installations/add/").status_code == 405


class TestEdit:
    def test_an_installation_is_changed(self, as_user, office):
        installation = InstallationFactory()
        as_user(office).post(f"/installations/{installation.pk}/edit/", posted(serial_number="A-17"))
        installation.refresh_from_db()
        assert (installation.room, installation.serial_number) == ("Snug", "A-17")

    def test_a_day_that_is_none_is_shown_again(self, as_user, office):
        installation = InstallationFactory()
        page = (
            as_user(office)
            .post(f"/installations/{installation.pk}/edit/", posted(installed_on="31 June"))
            .content.decode()
        )
        assert "31 June" in page
        assert "valid date" in page

    def test_it_needs_a_login(self, client):
        assert client.get(f"/installations/{InstallationFactory().pk}/edit/").status_code == 302

    def test_an_installation_that_is_not_there_gives_404(self, as_user, office):
        assert as_user(office).get("/installations/4711/edit/").status_code == 404

    def test_a_reader_cannot_write(self, as_user, installer, visited):
        assert as_user(installer).post(f"/installations/{visited.pk}/edit/", posted()).status_code == 403
        visited.refresh_from_db()
        assert visited.room == "Living room"

    def test_it_refuses_a_wrong_method(self, as_user, office):
        assert as_user(office).delete(f"/installations/{InstallationFactory().pk}/edit/").status_code == 405
