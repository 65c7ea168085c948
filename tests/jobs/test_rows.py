"""The database refuses what must never be stored."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError

from jobs import models
from tests.factories import NOW, ChimneyFactory, JobFactory, SurveyFactory, UserFactory, VisitFactory


@pytest.mark.django_db
def test_it_refuses_a_role_nobody_knows():
    with pytest.raises(IntegrityError):
        UserFactory(role="captain")


@pytest.mark.django_db
def test_it_refuses_the_same_mail_address_in_another_case():
    UserFactory(email="fern@shop.example")
    with pytest.raises(IntegrityError):
        UserFactory(email="Fern@shop.example")


@pytest.mark.django_db
def test_it_refuses_a_second_survey_of_the_same_revision():
    survey = SurveyFactory()
    with pytest.raises(IntegrityError):
        SurveyFactory(installation=survey.installation, revision=survey.revision)


@pytest.mark.django_db
def test_it_refuses_a_negative_length():
    with pytest.raises(IntegrityError):
        SurveyFactory(attic_height=-0.1)


@pytest.mark.django_db
def test_it_refuses_an_outer_diameter_smaller_than_the_inner():
    with pytest.raises(IntegrityError):
        ChimneyFactory(inner_diameter=0.2, outer_diameter=0.15)


@pytest.mark.django_db
def test_it_refuses_a_visit_that_ends_before_it_starts():
    with pytest.raises(IntegrityError):
        VisitFactory(starts_at=NOW, ends_at=NOW - timedelta(hours=1))


@pytest.mark.django_db
def test_it_refuses_a_closed_job_without_its_time():
    with pytest.raises(IntegrityError):
        JobFactory(status=models.JobStatus.CLOSED, closed_at=None)


@pytest.mark.django_db
def test_there_is_only_one_shop():
    models.Shop.current()
    with pytest.raises(IntegrityError):
        models.Shop.objects.create(pk=2)


@pytest.mark.django_db
def test_a_survey_gives_calcs_every_figure_it_asks_for():
    inputs = SurveyFactory().to_calcs()
    assert inputs.member_spacing == pytest.approx(0.6096)
    assert inputs.member_direction == "front to back"


@pytest.mark.django_db
def test_a_work_row_is_claimed_once_until_its_lease_ends():
    mail = models.OutgoingMail.objects.create(
        message_id="<1@shop.example>", to="a@house.example", subject="s", text="t",
        requested_at=NOW, due_at=NOW,
    )  # fmt: skip
    assert models.OutgoingMail.claim(mail.pk, NOW)
    assert not models.OutgoingMail.claim(mail.pk, NOW + timedelta(minutes=1))
    assert models.OutgoingMail.claim(mail.pk, NOW + models.OutgoingMail.LEASE + timedelta(seconds=1))
    mail.refresh_from_db()
    assert mail.attempts == 2
