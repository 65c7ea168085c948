"""Who may speak to the tablet's API, and how everybody else is told."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.db import OperationalError
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.models import Shop
from tests.inspections.pictures import photo as picture
from tests.inspections.tablet import Tablet

pytestmark = pytest.mark.django_db


@pytest.fixture
def tablet(as_user, installer) -> Tablet:
    return Tablet(installer, as_user(installer))


def strict(user) -> Client:
    """Return a client that is asked for the token, as a browser is."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(user, backend="allauth.account.auth_backends.AuthenticationBackend")
    return client


def test_it_says_who_is_signed_in_and_what_it_takes(tablet, installer):
    Shop.objects.update_or_create(pk=1, defaults={"name": "Ember & Flue", "phone": "555 0100"})
    told = tablet.client.get(reverse("tablet_me"))
    assert told.status_code == 200
    said = told.json()
    assert said["person"] == {
        "id": installer.pk, "name": "Ivo Installer", "role": "installer", "may_sign_off": False,
    }  # fmt: skip
    assert said["shop"] == {"name": "Ember & Flue", "phone": "555 0100"}
    assert said["entry_versions"] == [1, 2]
    assert said["app"]
    assert "csrftoken" in told.cookies
    assert told["Cache-Control"] == "private, no-store"


def test_nobody_is_told_to_sign_in_and_not_led_elsewhere(job):
    client = Client()
    for answer in (
        client.get(reverse("tablet_me")),
        client.get(reverse("tablet_jobs")),
        client.get(reverse("tablet_bundle", args=[job.pk])),
        client.post(reverse("tablet_photo", args=[job.pk, "00000000-0000-0000-0000-000000000001"])),
        client.get(reverse("tablet_openapi")),
    )[:3]:
        assert answer.status_code == 401
        assert answer.json()["code"] == "signed_out"
        assert "Sign in again" in answer.json()["sentence"]


def test_an_expired_sign_in_is_told_as_one(tablet):
    Session.objects.update(expire_date=timezone.now() - timedelta(minutes=1))
    answer = tablet.get("tablet_jobs")
    assert (answer.status_code, answer.json()["code"]) == (401, "signed_out")


def test_somebody_who_left_the_shop_is_signed_out(tablet, installer):
    installer.is_active = False
    installer.save()
    assert tablet.get("tablet_jobs").json()["code"] == "signed_out"


def test_the_office_is_told_the_tablet_is_not_for_it(as_user, office):
    desk = Tablet(office, as_user(office))
    for answer in (desk.client.get(reverse("tablet_me")), desk.get("tablet_jobs")):
        assert (answer.status_code, answer.json()["code"]) == (403, "not_for_office")


def test_another_persons_work_is_never_taken(tablet, inspector):
    answer = tablet.get("tablet_jobs", **{"Fluewright-Person": str(inspector.pk)})
    assert (answer.status_code, answer.json()["code"]) == (409, "another_person")
    assert "Ivo Installer" in answer.json()["sentence"]


@pytest.mark.parametrize("person", ["", "0", "²", "-1", "9" * 5000, "' or 1=1"])
def test_work_of_nobody_in_particular_is_not_taken(tablet, person):
    answer = tablet.get("tablet_jobs", **{"Fluewright-Person": person})
    assert answer.status_code in {400, 409}
    assert answer.json()["code"] in {"person_missing", "another_person"}


def test_a_sending_without_the_token_is_refused(installer, job):
    client, whole = strict(installer), picture()
    tablet = Tablet(installer, client)
    number = "00000000-0000-0000-0000-000000000001"
    answer = tablet.part(job, number, whole, at=0, whole=whole)
    assert (answer.status_code, answer.json()["code"]) == (403, "token")
    client.get(reverse("tablet_me"))
    answer = tablet.part(
        job, number, whole, at=0, whole=whole, **{"X-CSRFToken": client.cookies["csrftoken"].value}
    )
    assert answer.json()["complete"]


def test_a_token_of_somebody_elses_making_is_refused(installer, job):
    tablet, whole = Tablet(installer, strict(installer)), picture()
    tablet.client.get(reverse("tablet_me"))
    answer = tablet.part(
        job, "00000000-0000-0000-0000-000000000001", whole, at=0, whole=whole, **{"X-CSRFToken": "a" * 64}
    )
    assert (answer.status_code, answer.json()["code"]) == (403, "token")


def test_an_address_that_is_not_there_is_told_in_json(tablet):
    for path in ("/tablet/api/", "/tablet/api", "/tablet/api/nothing", "/tablet/api/jobs/x/bundle",
                 "/tablet/api/docs", "/tablet/api/jobs/1/photos/no-uuid"):  # fmt: skip
        answer = tablet.client.get(path)
        assert (answer.status_code, answer.json()["code"]) == (404, "no_such_address"), path


def test_a_wrong_method_is_told_in_json(tablet, job):
    for name, args in (("tablet_me", []), ("tablet_jobs", []), ("tablet_bundle", [job.pk])):
        answer = tablet.client.delete(reverse(name, args=args), headers=tablet.headers)
        assert (answer.status_code, answer.json()["code"]) == (405, "wrong_method")


def test_a_busy_database_is_told_as_one(tablet, monkeypatch):
    def busy(*given):
        raise OperationalError("database is locked")

    monkeypatch.setattr("inspections.api.jobs.tablet_jobs", busy)
    answer = tablet.get("tablet_jobs")
    assert (answer.status_code, answer.json()["code"]) == (503, "busy")


def test_what_nobody_foresaw_is_told_in_json_and_kept_in_the_log(tablet, monkeypatch, caplog):
    def broken(*given):
        raise RuntimeError("secret of the house")

    monkeypatch.setattr("inspections.api.jobs.tablet_jobs", broken)
    tablet.client.raise_request_exception = False
    answer = tablet.get("tablet_jobs")
    assert (answer.status_code, answer.json()["code"]) == (500, "broken")
    assert "secret" not in answer.content.decode()
    assert "secret of the house" in caplog.text


def test_more_than_anything_here_sends_is_refused_in_json(tablet, job, settings):
    answer = tablet.client.generic(
        "PATCH", reverse("tablet_photo", args=[job.pk, "00000000-0000-0000-0000-000000000001"]), b"",
        headers=tablet.headers, CONTENT_LENGTH=str(settings.PHOTO_MAX_BYTES * 2),
    )  # fmt: skip
    assert (answer.status_code, answer.json()["code"]) == (413, "too_large")


def test_it_describes_itself_with_nothing_from_elsewhere(tablet):
    told = tablet.client.get(reverse("tablet_openapi"))
    described = json.loads(told.content)
    assert described["openapi"].startswith("3.")
    assert "/tablet/api/jobs/{job}/bundle" in described["paths"]
    assert described["paths"]["/tablet/api/jobs"]["get"]["parameters"]
