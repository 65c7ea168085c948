"""The tablet's pages."""

from __future__ import annotations

import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from inspections.checklists import shelf
from inspections.models import Answer, Defect, Photo, SiteRecord
from inspections.services.defects import defect_report
from inspections.services.returns import record_return
from jobs.models import JobStatus, OutgoingMail, Role, Shop
from tests.factories import NOW, JobFactory, UserFactory
from tests.inspections.closing import job_ready_to_begin, photo_make, work_through
from tests.inspections.pictures import photo
from tests.inspections.test_stages import BEFORE_WORK
from tests.jobs.five import hides

pytestmark = pytest.mark.django_db
REPORTED = {"description": "Cracked", "severity": "correct"}
HTMX = {"HTTP_HX_REQUEST": "true"}
SIGNED = {"name": "Ivo Installer", "strokes": "[[[20,60],[60,20],[200,90]]]", "width": "400", "height": "200"}


def where(job, name, *more) -> str:
    return reverse(name, args=[job.pk, *more])


@pytest.fixture
def send(as_user, installer, job, record):
    """Return a function that answers an item through the page and gives the fragment."""
    client = as_user(installer)

    def post(stage, item, text, **told):
        data = {"entry": uuid.uuid4(), "answer": text, **told}
        return client.post(where(job, "answer_add", stage, item), data, **HTMX)

    return post


class TestOverview:
    def test_before_the_beginning_it_says_what_to_do(self, as_user, installer, job):
        page = as_user(installer).get(where(job, "work")).content.decode()
        assert "Begin site work" in page
        assert "Plan 1: drawing and cut list" in page
        assert "<svg" in page

    def test_it_warns_of_limits_nobody_has_given(self, as_user, installer, office, technician):
        job = job_ready_to_begin(office=office, crew=technician.crew, chimney__clearance=None)
        page = as_user(installer).get(where(job, "work")).content.decode()
        assert "Limits nobody has given yet" in page
        assert "Chimney to framing at the ceiling" in page

    def test_it_shows_stages_hold_points_and_where_to_go_on(self, as_user, installer, job, record):
        page = as_user(installer).get(where(job, "work")).content.decode()
        assert "Go on: Before work" in page
        assert page.count("Hold point: nothing after it can be signed until it is.") == 1
        assert page.count(">Hold point</span>") >= 3
        assert "Cannot be signed before “Before work”" in page

    def test_hazards_come_first(self, as_user, installer, job, record):
        site = job.installation.site
        site.hazard_notes = "Bees under the eaves"
        site.save(update_fields=["hazard_notes"])
        assert "Bees under the eaves" in as_user(installer).get(where(job, "work")).content.decode()

    def test_office_and_inspector_may_read_it(self, as_user, office, inspector, job, record):
        for person in (office, inspector):
            page = as_user(person).get(where(job, "work")).content.decode()
            assert "Go on" not in page
            assert "Before work" in page

    def test_a_job_without_a_checklist_says_so(self, as_user, owner, monkeypatch):
        monkeypatch.setattr(shelf, "checklists", lambda: ())
        job = JobFactory(kind="repair", status=JobStatus.SCHEDULED)
        page = as_user(owner).get(where(job, "work")).content.decode()
        assert "There is no checklist" in page
        assert "Begin site work" not in page

    def test_it_turns_others_away(self, turns_away, job):
        turns_away(where(job, "work"), method="get")


class TestBegin:
    def test_it_begins_and_goes_to_the_first_stage(self, as_user, installer, job):
        response = as_user(installer).post(where(job, "record_begin"))
        assert response.url == where(job, "stage", "before_work")
        assert SiteRecord.objects.get().begun_by == installer

    def test_a_second_beginning_is_told_so(self, as_user, installer, job, record):
        page = as_user(installer).post(where(job, "record_begin"), follow=True).content.decode()
        assert "has begun already" in page

    def test_it_turns_others_away(self, turns_away, job):
        turns_away(where(job, "record_begin"), method="post", forbidden="office")
        assert not SiteRecord.objects.exists()


class TestStage:
    def test_cautions_come_before_the_first_item_and_limits_beside_measures(
        self, as_user, installer, job, record
    ):
        page = as_user(installer).get(where(job, "stage", "ceiling_support")).content.decode()
        assert page.index("Never cut, notch or move a truss") < page.index("Plumb point to the centre")
        assert "at least 2 in" in page
        assert "Sheet GH-9, 1st edition" in page
        assert "The plan says" in page
        assert 'capture="environment"' in page

    def test_limits_are_in_the_units_of_the_house(self, as_user, installer, office, technician):
        job = job_ready_to_begin(office=office, crew=technician.crew, site__unit_system="metric")
        client = as_user(installer)
        client.post(where(job, "record_begin"))
        assert "at least 51 mm" in client.get(where(job, "stage", "ceiling_support")).content.decode()

    def test_a_limit_leads_to_the_rule_it_rests_on(self, as_user, installer, inspector, job, record):
        page = as_user(installer).get(where(job, "stage", "roof_flashing")).content.decode()
        assert '<a href="/rules/us/?rule=flashing.nail_spacing">Why this limit</a>' in page
        review = as_user(inspector).get(where(job, "record_review")).content.decode()
        assert 'href="/rules/us/?rule=flashing.nail_spacing"' in review

    def test_there_is_no_script_in_the_page(self, as_user, installer, job, record):
        page = as_user(installer).get(where(job, "stage", "before_work")).content.decode()
        assert "<script>" not in page
        assert " onclick" not in page

    def test_those_who_only_read_get_no_controls(self, as_user, inspector, office, job, record):
        for person in (inspector, office):
            page = as_user(person).get(where(job, "stage", "before_work")).content.decode()
            assert "hx-post" not in page
            assert "Take the photo" not in page

    def test_a_stage_sent_back_says_who_and_why(self, as_user, installer, inspector, job):
        record = work_through(job=job, by=installer)
        record_return(
            record=record, by=inspector, reason="Seal it", stages=["sealing"], now=NOW.replace(hour=20)
        )
        client = as_user(installer)
        page = client.get(where(job, "stage", "sealing")).content.decode()
        assert "Sent back by Petra Inspector" in page
        assert "Put right: Seal it" in page
        assert "Sent back by the inspector" in client.get("/").content.decode()

    def test_it_turns_others_away(self, turns_away, job, record, as_user, installer):
        turns_away(where(job, "stage", "before_work"), method="get")
        hides(as_user(installer), where(job, "stage", "moon"))

    def test_a_job_not_begun_has_no_stages_yet(self, as_user, installer, job):
        hides(as_user(installer), where(job, "stage", "before_work"))


class TestAnswer:
    def test_the_verdict_comes_at_once_with_bar_and_margin(self, send):
        part = send("ceiling_support", "ceiling_clearance", "2 1/4").content.decode()
        assert 'data-verdict="pass"' in part
        assert "1/4 in to spare" in part
        assert "Measured 2 1/4 in, allowed at least 2 in: pass" in part
        assert "<html" not in part

    def test_a_failure_says_what_to_do(self, send):
        part = send("ceiling_support", "ceiling_clearance", "1").content.decode()
        assert "Defect open." in part
        assert "1 in too little" in part
        assert "Put it right and enter it again" in part

    def test_what_is_not_understood_stays_in_the_field_with_a_sentence(self, send):
        part = send("ceiling_support", "ceiling_clearance", "2 & a half").content.decode()
        assert 'value="2 &amp; a half"' in part
        assert "was not understood" in part
        assert not Answer.objects.exists()

    def test_conditional_items_appear_and_go(self, send):
        part = send("attic_protection", "attic_way", "enclosure").content.decode()
        assert 'id="item-enclosure_clearance"' in part
        assert 'hx-swap-oob="true"' in part
        part = send("attic_protection", "attic_way", "shield").content.decode()
        assert '<li id="item-enclosure_clearance" hx-swap-oob="true" hidden>' in part

    def test_the_same_entry_pressed_twice_is_kept_once(self, send):
        entry = uuid.uuid4()
        for _ in range(2):
            assert send("before_work", "services_traced", "yes", entry=entry).status_code == 200
        assert Answer.objects.count() == 1

    def test_an_entry_changed_after_a_lost_acknowledgement_stays_in_the_field(self, send):
        entry = uuid.uuid4()
        send("ceiling_support", "ceiling_clearance", "15 1/2", entry=entry)
        part = send("ceiling_support", "ceiling_clearance", "16", entry=entry).content.decode()
        assert 'value="16"' in part
        assert "had arrived before" in part
        assert str(entry) not in part

    def test_an_entry_without_its_number_is_refused_in_place(self, send):
        assert "refusal" in send("before_work", "services_traced", "yes", entry="x").content.decode()
        assert not Answer.objects.exists()

    def test_without_htmx_it_goes_back_to_the_item(self, as_user, installer, job, record):
        data = {"entry": uuid.uuid4(), "answer": "perhaps"}
        path = where(job, "answer_add", "before_work", "services_traced")
        response = as_user(installer).post(path, data, follow=True)
        assert response.redirect_chain[0][0].endswith("#item-services_traced")
        assert "Answer yes, no or cannot tell." in response.content.decode()

    def test_what_was_typed_is_shown_as_text_never_as_markup(self, send):
        part = send("before_work", "before_note", "<script>alert(1)</script>").content.decode()
        assert "<script>alert" not in part
        assert "&lt;script&gt;" in part

    def test_it_turns_others_away(self, turns_away, job, record, as_user, installer):
        turns_away(
            where(job, "answer_add", "before_work", "services_traced"),
            method="post",
            forbidden="office inspector",
        )
        hides(as_user(installer), where(job, "answer_add", "before_work", "moon"), "post")
        assert not Answer.objects.exists()


class TestPhoto:
    def path(self, job):
        return where(job, "photo_add", "before_work", "label_photo")

    def test_it_is_kept_with_its_answer(self, as_user, installer, job, record):
        data = {"entry": uuid.uuid4(), "photo": SimpleUploadedFile("x.jpg", photo())}
        part = as_user(installer).post(self.path(job), data, **HTMX).content.decode()
        assert "Photo kept." in part
        assert 'hx-trigger="load delay:2s"' in part
        assert Answer.objects.get().photo == Photo.objects.get()

    def test_a_refused_answer_keeps_no_photo(self, as_user, installer, job, record):
        data = {"entry": uuid.uuid4(), "photo": SimpleUploadedFile("x.jpg", photo())}
        path = where(job, "photo_add", "before_work", "permit")
        assert "does not ask for a photo" in as_user(installer).post(path, data, **HTMX).content.decode()
        assert not Photo.objects.exists()

    @pytest.mark.parametrize("sent", [{}, {"photo": SimpleUploadedFile("x.jpg", b"")}])
    def test_no_photo_is_said(self, as_user, installer, job, record, sent):
        part = (
            as_user(installer).post(self.path(job), {"entry": uuid.uuid4(), **sent}, **HTMX).content.decode()
        )
        assert "again" in part
        assert not Answer.objects.exists()

    def test_it_turns_others_away(self, turns_away, job, record):
        turns_away(self.path(job), method="post", forbidden="office")


class TestSign:
    def test_it_refuses_with_a_sentence_and_brings_the_strokes_back(self, as_user, installer, job, record):
        response = as_user(installer).post(where(job, "stage_sign", "before_work"), SIGNED)
        assert response.status_code == 422
        assert not record.stages.exclude(signed_at=None).exists()

    def test_it_signs_and_goes_on(self, as_user, installer, answer, job, record):
        for item, text in BEFORE_WORK.items():
            answer("before_work", item, text)
        for number, item in enumerate(("label_photo", "before_photo")):
            answer("before_work", item, "", photo=photo_make(job=job, by=installer, number=number))
        client = as_user(installer)
        assert "Sign this stage" in client.get(where(job, "stage", "before_work")).content.decode()
        bad = client.post(where(job, "stage_sign", "before_work"), {**SIGNED, "strokes": "[[[1,1]]]"})
        assert "That is a dot" in bad.content.decode()
        assert "[[[1,1]]]" in bad.content.decode()
        response = client.post(where(job, "stage_sign", "before_work"), SIGNED)
        assert response.url == where(job, "stage", "position")
        frozen = client.get(where(job, "stage", "before_work")).content.decode()
        assert "Signed and frozen" in frozen
        assert "hx-post" not in frozen
        assert 'd="M20 60L60 20L200 90"' in frozen

    @pytest.mark.parametrize("strokes", ["{", "[" * 100_000, "x" * 700_000])
    def test_broken_strokes_are_refused_not_a_crash(self, as_user, installer, job, record, strokes):
        data = {**SIGNED, "strokes": strokes}
        assert as_user(installer).post(where(job, "stage_sign", "before_work"), data).status_code == 422

    def test_it_turns_others_away(self, turns_away, job, record):
        turns_away(where(job, "stage_sign", "before_work"), method="post", forbidden="office inspector")


def snap(larger: int) -> SimpleUploadedFile:
    return SimpleUploadedFile("camera.jpg", photo(larger=larger))


class TestDefect:
    def test_the_crew_reports_one(self, as_user, installer, job, record):
        path = where(job, "defect_add", "sealing")
        response = as_user(installer).post(path, {**REPORTED, "description": "Cracked collar"}, follow=True)
        assert "Put right: Cracked collar" in response.content.decode()

    def test_an_inspector_reports_one_from_the_record(self, as_user, inspector, job, record):
        path = where(job, "defect_add", "sealing")
        response = as_user(inspector).post(path, {**REPORTED, "review": "yes"})
        assert response.url == where(job, "record_review")

    def test_it_says_how_grave_it_is_and_where_with_photos(self, as_user, installer, job, record):
        path = where(job, "defect_add", "sealing")
        said = {
            "description": "Cracked",
            "severity": "advice",
            "place": "Left of the collar",
            "rule": "Sheet 4",
        }
        as_user(installer).post(path, {**said, "photos": [snap(1), snap(2)]})
        defect = Defect.objects.get()
        assert (defect.severity, defect.place) == ("advice", "Left of the collar")
        assert defect.rule["reference"] == "Sheet 4"
        assert Answer.objects.filter(item=f"{defect.item}-found", photo__isnull=False).count() == 2
        page = as_user(installer).get(where(job, "record_review")).content.decode()
        assert "Left of the collar" in page
        assert "Sheet 4" in page

    def test_without_a_grade_it_says_so(self, as_user, installer, job, record):
        path = where(job, "defect_add", "sealing")
        page = as_user(installer).post(path, {"description": "Cracked"}, follow=True).content.decode()
        assert "Say how grave it is." in page
        assert not Defect.objects.exists()

    def test_a_photo_that_is_none_leaves_no_defect_behind(self, as_user, installer, job, record):
        path = where(job, "defect_add", "sealing")
        broken = SimpleUploadedFile("x.jpg", b"no picture")
        said = {"description": "Cracked", "severity": "danger", "photos": broken}
        response = as_user(installer).post(path, said)
        assert response.status_code == 422
        assert "Choose the photo once more" in response.content.decode()
        assert not Defect.objects.exists()
        assert not OutgoingMail.objects.exists()

    @pytest.mark.parametrize("place", ["stage", "review"])
    def test_what_was_typed_comes_back_with_a_refusal(self, as_user, inspector, job, record, place):
        said = {"description": "", "severity": "correct", "place": "Behind the collar", "rule": "Sheet 4"}
        back = {"review": "yes", "item": "photo"} if place == "review" else {}
        response = as_user(inspector).post(where(job, "defect_add", "sealing"), {**said, **back})
        page = response.content.decode()
        assert response.status_code == 422
        assert "Write what is wrong and where." in page
        assert page.count('value="Behind the collar"') == page.count('value="Sheet 4"') == 1
        assert page.count('value="correct" required checked') == 1
        assert page.count('role="alert" id="report-refusal"') == 1

    def test_without_words_it_says_so(self, as_user, installer, job, record):
        path = where(job, "defect_add", "sealing")
        page = as_user(installer).post(path, {**REPORTED, "description": " "}, follow=True).content.decode()
        assert "Write what is wrong and where." in page
        assert not Defect.objects.exists()

    def test_it_turns_others_away(self, turns_away, job, record):
        turns_away(where(job, "defect_add", "sealing"), method="post", forbidden="office")


def test_the_today_page_tells_the_inspector_of_records_and_defects(as_user, inspector, installer, job):
    record = work_through(job=job, by=installer)
    defect_report(stage=record.stages.first(), description="Loose label", by=inspector, now=NOW)
    page = as_user(inspector).get("/").content.decode()
    assert "Ready for sign-off" in page
    assert "Loose label" in page


def test_an_installer_of_a_one_person_shop_sees_what_waits_for_the_signature(as_user, installer, job):
    work_through(job=job, by=installer)
    client = as_user(installer)
    assert "Ready for sign-off</h2>" not in client.get("/").content.decode()
    Shop.current()
    Shop.objects.update(one_person=True)
    assert "all 11 stages signed" in client.get("/").content.decode()


def test_another_role_of_the_same_name_sees_no_stage(as_user, job, record):
    person = UserFactory(role=Role.INSTALLER)
    hides(as_user(person), where(job, "stage", "before_work"))
