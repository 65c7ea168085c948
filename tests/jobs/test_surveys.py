"""Surveys: every save is a revision with its plan; the preview stores nothing."""

from __future__ import annotations

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from django.http import QueryDict

from jobs.forms.survey_pages import SurveyPage
from jobs.models import Plan, Survey
from jobs.queries.surveys import survey_draft, surveys_visible_to
from jobs.services.plans import ImpossibleInputError
from jobs.services.surveys import survey_plan, survey_save
from tests.factories import IN, NOW, InstallationFactory, SurveyFactory, VisitFactory
from tests.jobs.test_survey_form import posted

ROOT = Path(__file__).resolve().parents[2]


def answers(installation, **more) -> QueryDict:
    data = posted(SurveyPage(survey_draft(installation)), **more)
    data.setdefault("seen_revision", str(survey_draft(installation).revision))
    return data


@pytest.mark.django_db
class TestServices:
    def test_every_save_is_the_next_revision(self, office):
        installation = InstallationFactory()
        saved = [
            survey_save(
                installation=installation, values={"rear_wall": figure}, as_typed={}, by=office, now=NOW
            )
            for figure in (0.4, 0.5)
        ]
        assert [one.revision for one in saved] == [1, 2]
        assert Survey.objects.get(revision=1).rear_wall == 0.4

    def test_a_survey_and_its_plan_are_stored_together(self, office):
        plan = survey_plan(
            installation=InstallationFactory(), values={"rear_wall": 0.4}, as_typed={"rear_wall": "400 mm"},
            by=office, now=NOW,
        )  # fmt: skip
        assert (plan.survey.revision, plan.revision) == (1, 1)
        assert plan.survey.as_typed == {"rear_wall": "400 mm"}
        assert (plan.made_by, plan.made_at) == (office, NOW)

    def test_a_survey_no_plan_can_be_made_of_is_not_stored(self, office):
        installation = InstallationFactory(chimney__shield_height=0.0)
        with pytest.raises(ImpossibleInputError) as refusal:
            survey_plan(installation=installation, values={}, as_typed={}, by=office, now=NOW)
        assert (refusal.value.code, refusal.value.owner, refusal.value.field) == (
            "impossible_input",
            "chimney",
            "shield_height",
        )
        assert not Survey.objects.exists()

    def test_an_installer_sees_only_surveys_of_the_own_crews_jobs(self, installer, technician, stranger):
        SurveyFactory()
        seen = SurveyFactory(installation=VisitFactory(crew=technician.crew).job.installation)
        assert list(surveys_visible_to(installer)) == [seen]
        assert not surveys_visible_to(stranger).exists()


SAVE_MANY = """
import os, time, django; django.setup()
from django.conf import settings
from django.utils import timezone
from jobs.models import Installation, User
from jobs.services.surveys import survey_save
house, person = Installation.objects.get(), User.objects.first()
(settings.VAR_DIR / f"ready-{os.getpid()}").touch()
while len(list(settings.VAR_DIR.glob("ready-*"))) < 2:
    time.sleep(0.001)
for _ in range(50):
    survey_save(installation=house, values={}, as_typed={}, by=person, now=timezone.now())
"""
MAKE_HOUSE = """
import django; django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.factories import InstallationFactory, UserFactory
InstallationFactory(); UserFactory()
"""
COUNT = """
import django; django.setup()
from jobs.models import Survey
print(sorted(Survey.objects.values_list("revision", flat=True)))
"""


def test_two_people_saving_at_once_each_get_a_revision(tmp_path):
    kept = {name: value for name, value in os.environ.items() if name not in {"DATABASE_URL", "REDIS_URL"}}
    environment = {**kept, "FLUEWRIGHT_VAR": str(tmp_path), "DJANGO_SETTINGS_MODULE": "config.settings"}

    def run(code: str) -> str:
        done = subprocess.run(
            [sys.executable, "-c", code], cwd=ROOT, env=environment, text=True, capture_output=True,
            timeout=120, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        return done.stdout.strip()

    run(MAKE_HOUSE)
    with ThreadPoolExecutor() as people:
        for saved in [people.submit(run, SAVE_MANY) for _ in range(2)]:
            saved.result()
    assert run(COUNT) == str(list(range(1, 101)))


@pytest.mark.django_db
class TestEdit:
    def test_it_shows_the_form_with_the_plan_of_what_was_kept(self, as_user, office):
        installation = SurveyFactory().installation
        page = as_user(office).get(f"/installations/{installation.pk}/survey/").content.decode()
        assert "Plan so far" in page
        assert "<svg" in page
        assert "leave the appliance where it is" in page

    def test_a_house_nobody_measured_still_gives_a_page_that_says_what_is_unknown(self, as_user, office):
        page = as_user(office).get(f"/installations/{InstallationFactory().pk}/survey/").content.decode()
        assert "Not known yet" in page

    def test_saving_keeps_a_revision_and_makes_its_plan(self, as_user, office):
        installation = SurveyFactory(as_typed={"left_wall": "5'"}).installation
        answer = as_user(office).post(
            f"/installations/{installation.pk}/survey/", answers(installation, rear_wall="1' 6 1/2\"")
        )
        plan = Plan.objects.get()
        assert answer.headers["Location"] == f"/plans/{plan.pk}/"
        assert plan.survey.revision == 2
        assert plan.survey.rear_wall == pytest.approx(18.5 * IN)
        assert plan.survey.as_typed == {"rear_wall": "1' 6 1/2\"", "left_wall": "5'"}

    def test_bad_input_stores_nothing_loses_nothing_and_says_what_to_write(self, as_user, office):
        installation = SurveyFactory().installation
        answer = as_user(office).post(
            f"/installations/{installation.pk}/survey/",
            answers(installation, attic_height="forty", front_space="61", notes="Dog in the hall"),
        )
        page = answer.content.decode()
        assert answer.status_code == 422
        for words in ('value="forty"', 'value="61"', "Dog in the hall", "was not understood", "<svg"):
            assert words in page
        assert Survey.objects.count() == 1

    def test_somebody_overtaken_while_typing_is_told_and_loses_nothing(self, as_user, office):
        installation = SurveyFactory().installation
        data = answers(installation)
        SurveyFactory(installation=installation, revision=2)
        page = as_user(office).post(f"/installations/{installation.pk}/survey/", data, follow=True)
        assert "Somebody saved another survey" in page.content.decode()
        assert installation.surveys.count() == 3

    def test_it_needs_a_login(self, client):
        assert client.get(f"/installations/{InstallationFactory().pk}/survey/").status_code == 302

    def test_an_installation_that_is_not_there_gives_404(self, as_user, office):
        assert as_user(office).get("/installations/4711/survey/").status_code == 404

    @pytest.mark.parametrize("who", ["installer", "inspector"])
    def test_a_reader_cannot_write(self, as_user, request, who):
        installation = InstallationFactory()
        signed_in = as_user(request.getfixturevalue(who))
        answer = signed_in.post(f"/installations/{installation.pk}/survey/", answers(installation))
        assert answer.status_code == 403
        assert not Survey.objects.exists()

    def test_it_refuses_a_wrong_method(self, as_user, office):
        assert as_user(office).put(f"/installations/{InstallationFactory().pk}/survey/").status_code == 405


@pytest.mark.django_db
class TestPreview:
    def test_it_shows_the_plan_of_what_is_typed_and_stores_nothing(self, as_user, office):
        installation = SurveyFactory().installation
        answer = as_user(office).post(
            f"/installations/{installation.pk}/survey/preview/", answers(installation, attic_height="10 1/2")
        )
        page = answer.content.decode()
        assert "Frame a full-height enclosure" in page
        assert "<html" not in page
        assert (Survey.objects.count(), Plan.objects.count()) == (1, 0)

    def test_bad_input_leaves_the_plan_and_sends_the_sentence_to_its_field(self, as_user, office):
        installation = SurveyFactory().installation
        answer = as_user(office).post(
            f"/installations/{installation.pk}/survey/preview/", answers(installation, attic_height="forty")
        )
        page = answer.content.decode()
        assert answer.headers["HX-Reswap"] == "none"
        assert "<svg" not in page
        assert 'id="id_attic_height_error"' in page
        assert "was not understood" in page

    def test_it_needs_a_login(self, client):
        assert client.post(f"/installations/{InstallationFactory().pk}/survey/preview/").status_code == 302

    def test_an_installation_that_is_not_there_gives_404(self, as_user, office):
        assert as_user(office).post("/installations/4711/survey/preview/").status_code == 404

    def test_a_reader_gets_no_preview(self, as_user, inspector):
        address = f"/installations/{InstallationFactory().pk}/survey/preview/"
        assert as_user(inspector).post(address).status_code == 403

    def test_it_refuses_a_get(self, as_user, office):
        address = f"/installations/{InstallationFactory().pk}/survey/preview/"
        assert as_user(office).get(address).status_code == 405


@pytest.mark.django_db
class TestDetail:
    def test_an_earlier_revision_stays_readable(self, as_user, office):
        survey = SurveyFactory(rear_wall=22.5 * IN, as_typed={"rear_wall": "22½"}, notes="Rain")
        SurveyFactory(installation=survey.installation, revision=2)
        page = as_user(office).get(f"/surveys/{survey.pk}/").content.decode()
        for words in ("22 1/2 in", "typed: 22½", "Rain", "Survey 2"):
            assert words in page

    def test_it_needs_a_login(self, client):
        assert client.get(f"/surveys/{SurveyFactory().pk}/").status_code == 302

    def test_a_stranger_gets_404(self, as_user, stranger):
        assert as_user(stranger).get(f"/surveys/{SurveyFactory().pk}/").status_code == 404

    def test_a_reader_is_offered_no_way_to_write(self, as_user, inspector):
        page = as_user(inspector).get(f"/surveys/{SurveyFactory().pk}/").content.decode()
        assert "/survey/" not in page
        assert "<form" not in page.split("<main")[1]

    def test_it_refuses_a_post(self, as_user, office):
        assert as_user(office).post(f"/surveys/{SurveyFactory().pk}/").status_code == 405


@pytest.mark.django_db
class TestReplan:
    def test_another_plan_is_made_with_the_listing_as_it_is_now(self, as_user, office):
        survey = SurveyFactory()
        survey.installation.chimney.shield_height = 48 * IN
        survey.installation.chimney.save()
        as_user(office).post(f"/surveys/{survey.pk}/plan/")
        assert Plan.objects.get().data["attic_protection"] == "enclosure"

    def test_a_listing_that_cannot_be_is_told(self, as_user, office):
        survey = SurveyFactory(installation__chimney__shield_height=0.0)
        page = as_user(office).post(f"/surveys/{survey.pk}/plan/", follow=True).content.decode()
        assert "cannot be zero" in page
        assert not Plan.objects.exists()

    def test_it_needs_a_login(self, client):
        assert client.post(f"/surveys/{SurveyFactory().pk}/plan/").status_code == 302

    def test_a_survey_that_is_not_there_gives_404(self, as_user, office):
        assert as_user(office).post("/surveys/4711/plan/").status_code == 404

    def test_a_reader_cannot_write(self, as_user, inspector):
        assert as_user(inspector).post(f"/surveys/{SurveyFactory().pk}/plan/").status_code == 403
        assert not Plan.objects.exists()

    def test_it_refuses_a_get(self, as_user, office):
        assert as_user(office).get(f"/surveys/{SurveyFactory().pk}/plan/").status_code == 405
