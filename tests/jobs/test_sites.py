"""Sites: the house, its rules, units and clock."""

from __future__ import annotations

import pytest

from jobs.models import Site
from jobs.queries.sites import sites_visible_to
from jobs.services.sites import site_save
from tests.factories import CustomerFactory, SiteFactory, VisitFactory

pytestmark = pytest.mark.django_db


def posted(**more):
    return {
        "label": "Home", "street": "7 Mill Race", "city": "Millbrook Falls", "region": "VT", "postcode": "",
        "country": "US", "unit_system": "imperial", "time_zone": "America/New_York", "altitude": "",
        "access_notes": "", "hazard_notes": "", **more,
    }  # fmt: skip


def test_an_installer_sees_only_sites_of_the_own_crews_jobs(installer, technician, stranger):
    SiteFactory()
    site = VisitFactory(crew=technician.crew).job.installation.site
    assert list(sites_visible_to(installer)) == [site]
    assert not sites_visible_to(stranger).exists()


def test_saving_a_site_writes_what_a_person_edits():
    site = SiteFactory()
    site.street, site.altitude, site.as_typed = "8 Mill Race", 250.0, {"altitude": "820 ft"}
    site_save(site=site)
    site.refresh_from_db()
    assert (site.street, site.altitude, site.as_typed) == ("8 Mill Race", 250.0, {"altitude": "820 ft"})


class TestAdd:
    def test_a_house_is_entered_with_its_altitude_in_feet(self, as_user, office):
        customer = CustomerFactory()
        answer = as_user(office).post(f"/customers/{customer.pk}/sites/add/", posted(altitude="820"))
        assert answer.headers["Location"] == f"/customers/{customer.pk}/"
        site = customer.sites.get()
        assert site.altitude == pytest.approx(249.936)
        assert site.as_typed == {"altitude": "820"}

    def test_the_units_chosen_on_the_same_form_decide_how_the_altitude_is_read(self, as_user, office):
        customer = CustomerFactory()
        as_user(office).post(
            f"/customers/{customer.pk}/sites/add/",
            posted(altitude="-3", unit_system="metric", country="GB", time_zone="Europe/London"),
        )
        assert customer.sites.get().altitude == -3.0

    def test_an_altitude_that_is_not_understood_is_shown_again_with_a_sentence(self, as_user, office):
        customer = CustomerFactory()
        page = (
            as_user(office)
            .post(f"/customers/{customer.pk}/sites/add/", posted(altitude="high"))
            .content.decode()
        )
        assert 'value="high"' in page
        assert "was not understood" in page
        assert not Site.objects.exists()

    def test_a_new_house_begins_with_country_and_units_of_the_last_one(self, as_user, office):
        SiteFactory(country="GB", unit_system="metric", time_zone="Europe/London")
        page = as_user(office).get(f"/customers/{CustomerFactory().pk}/sites/add/").content.decode()
        assert '<option value="GB" selected>' in page
        assert '<option value="Europe/London" selected>' in page

    def test_it_needs_a_login(self, client):
        assert client.get(f"/customers/{CustomerFactory().pk}/sites/add/").status_code == 302

    def test_a_customer_that_is_not_there_gives_404(self, as_user, office):
        assert as_user(office).get("/customers/4711/sites/add/").status_code == 404

    @pytest.mark.parametrize("who", ["installer", "inspector"])
    def test_a_reader_cannot_write(self, as_user, request, who):
        customer = CustomerFactory()
        answer = as_user(request.getfixturevalue(who)).post(f"/customers/{customer.pk}/sites/add/", posted())
        assert answer.status_code == 403
        assert not customer.sites.exists()

    def test_it_refuses_a_wrong_method(self, as_user, office):
        assert as_user(office).delete(f"/customers/{CustomerFactory().pk}/sites/add/").status_code == 405


class TestEdit:
    def test_a_house_is_changed(self, as_user, office):
        site = SiteFactory()
        as_user(office).post(f"/sites/{site.pk}/edit/", posted(hazard_notes="Dog"))
        site.refresh_from_db()
        assert (site.street, site.hazard_notes) == ("7 Mill Race", "Dog")

    def test_a_time_zone_of_another_country_is_kept(self, as_user, office):
        site = SiteFactory(time_zone="Europe/Paris")
        page = as_user(office).get(f"/sites/{site.pk}/edit/").content.decode()
        assert '<option value="Europe/Paris" selected>' in page

    def test_it_needs_a_login(self, client):
        assert client.get(f"/sites/{SiteFactory().pk}/edit/").status_code == 302

    def test_a_site_that_is_not_there_gives_404(self, as_user, office):
        assert as_user(office).get("/sites/4711/edit/").status_code == 404

    def test_a_reader_cannot_write(self, as_user, inspector):
        site = SiteFactory(street="As it was")
        assert as_user(inspector).post(f"/sites/{site.pk}/edit/", posted()).status_code == 403
        site.refresh_from_db()
        assert site.street == "As it was"

    def test_it_refuses_a_wrong_method(self, as_user, office):
        assert as_user(office).put(f"/sites/{SiteFactory().pk}/edit/").status_code == 405
