"""Late entries before the inspector: on the record's page, on Today, and looked at before the sign-off."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from inspections.errors import InspectionsError
from inspections.models import LateLook, SiteRecord, TabletEntry
from inspections.queries.records import record_view
from inspections.queries.tablet_words import clock_words
from inspections.services.late_entries import late_entry_look
from inspections.services.returns import record_return
from inspections.services.signoff import record_sign_off
from jobs.models import Job, JobStatus, Shop
from tests.factories import NOW
from tests.inspections.closing import INK, photo_make
from tests.inspections.sending import SIGNED, Tablet, answered, entry, pictured, signed
from tests.jobs.five import hides

pytestmark = pytest.mark.django_db
DAY = 86_400.0
HOUR = timedelta(hours=1)


@pytest.fixture
def late(all_signed) -> TabletEntry:
    """A failure that arrived when every stage was signed."""
    all_signed.clock_skew = DAY
    all_signed.send(answered("ceiling_support", "ceiling_clearance", "1 1/2", verdict="fail"))
    return TabletEntry.objects.get()


@pytest.fixture
def signed_record(late) -> SiteRecord:
    """The record it came too late for."""
    return SiteRecord.objects.get(job=late.job)


def in_time(late: TabletEntry) -> TabletEntry:
    """Another entry of the same job, which the record took."""
    told = {"kind": "answer", "outcome": "accepted", "received_at": NOW}
    return TabletEntry.objects.create(entry=uuid.uuid4(), job=late.job, by=late.by, **told)


def place(late: TabletEntry) -> str:
    return reverse("late_entry_look", args=[late.job_id, late.pk])


def page_of(client, late: TabletEntry) -> str:
    return client.get(reverse("record_review", args=[late.job_id])).content.decode()


def refusal_of(call, **told) -> InspectionsError:
    with pytest.raises(InspectionsError) as refused:
        call(**told)
    return refused.value


class TestLook:
    def test_until_somebody_has_looked_the_job_is_not_signed_off(self, late, signed_record, inspector):
        told = {"record": signed_record, "by": inspector, "name": inspector.name, "now": NOW, **INK}
        refused = refusal_of(record_sign_off, **told)
        assert refused.code == "record_incomplete"
        assert "what Ivo Installer sent too late" in refused.sentence
        assert "1 1/2 in, fail - look at it" in refused.sentence
        late_entry_look(entry=late, by=inspector, note="Measured again: 2 1/4 in", now=NOW)
        assert record_sign_off(**told).record == signed_record

    def test_it_needs_a_note(self, late, inspector):
        assert refusal_of(late_entry_look, entry=late, by=inspector, note=" ", now=NOW).code == "note_missing"
        assert not LateLook.objects.exists()

    def test_once_is_enough(self, late, inspector):
        told = {"entry": late, "by": inspector, "note": "Seen", "now": NOW}
        late_entry_look(**told)
        assert refusal_of(late_entry_look, **told).code == "looked_at"
        with pytest.raises(IntegrityError), transaction.atomic():
            LateLook.objects.create(entry=late, by=inspector, note="Seen", at=NOW)

    def test_the_crew_and_the_office_answer_for_nothing(self, late, installer, office):
        for person in (installer, office):
            told = {"entry": late, "by": person, "note": "Seen", "now": NOW}
            assert refusal_of(late_entry_look, **told).code == "not_an_inspector"

    def test_the_installer_of_a_one_person_shop_looks_at_it(self, late, installer):
        Shop.current()
        Shop.objects.update(one_person=True)
        assert late_entry_look(entry=late, by=installer, note="Seen", now=NOW).by == installer

    def test_what_is_in_the_record_is_not_late(self, late, inspector):
        assert (
            refusal_of(late_entry_look, entry=in_time(late), by=inspector, note="Seen", now=NOW).code
            == "not_late"
        )


class TestRecordPage:
    def test_it_says_what_who_why_and_how_far_the_clock_was_off(self, as_user, inspector, late):
        page = page_of(as_user(inspector), late)
        assert "Came too late for the record" in page
        assert "1 1/2 in, fail" in page
        assert "“Ceiling support” had been signed before this arrived." in page
        assert "Ivo Installer, arrived 4 May 2026" in page
        assert "Its clock was 1 day ahead." in page
        assert f"tablet {late.device[:6]}" in page
        assert "1 to look at" in page
        assert page.count("In the way of sign-off: 1") == 1

    def test_a_late_photo_is_shown(self, as_user, inspector, all_signed):
        photo = photo_make(job=all_signed.job, by=all_signed.by, number=200)
        all_signed.send(pictured("before_work", "label_photo", photo))
        assert f'id="photo-{photo.pk}"' in page_of(as_user(inspector), TabletEntry.objects.get())

    def test_looked_at_it_stays_with_its_note(self, as_user, inspector, late):
        response = as_user(inspector).post(place(late), {"note": "Measured again: fine"}, follow=True)
        page = response.content.decode()
        assert "Kept: you have looked at this entry." in page
        assert "Looked at by Petra Inspector" in page
        assert "Measured again: fine" in page
        assert "Nothing is missing" in page
        assert LateLook.objects.get().by == inspector

    def test_without_a_note_it_says_so(self, as_user, inspector, late):
        response = as_user(inspector).post(place(late), {"note": "  "})
        assert response.status_code == 422
        assert "Write what follows from it, even if it is nothing." in response.content.decode()

    def test_one_refused_brings_back_what_was_written(self, as_user, installer, late):
        response = as_user(installer).post(place(late), {"note": "Looked fine to me"})
        page = response.content.decode()
        assert response.status_code == 422
        assert "Only an inspector or the owner may do that." in page
        assert not LateLook.objects.exists()

    def test_an_entry_of_another_job_does_not_exist(self, as_user, inspector, late):
        hides(as_user(inspector), reverse("late_entry_look", args=[late.job_id + 1, late.pk]))

    def test_an_entry_that_was_taken_in_time_does_not_exist_there(self, as_user, inspector, late):
        hides(as_user(inspector), place(in_time(late)))

    def test_a_reader_sees_that_nobody_has_looked(self, as_user, office, late):
        page = page_of(as_user(office), late)
        assert "Nobody has looked at it yet." in page
        assert "I have looked at it" not in page

    def test_it_turns_others_away(self, as_user, turns_away, stranger, office, late):
        hides(as_user(stranger), place(late), "post")
        assert as_user(office).get(place(late)).status_code == 403
        assert as_user(office).delete(place(late)).status_code == 405


class TestAnswerOnTheRecordPage:
    def test_a_verdict_the_tablet_saw_otherwise_and_a_wrong_clock_are_told(self, as_user, inspector, on_site):
        on_site.clock_skew = -2 * 3_600.0
        on_site.send(answered("ceiling_support", "ceiling_clearance", "1 1/2", verdict="pass"))
        page = page_of(as_user(inspector), TabletEntry.objects.get())
        assert "The tablet had judged it pass; what counts is the verdict here." in page
        assert "Its clock was 2 hours behind." in page

    def test_one_brought_in_from_a_file_says_by_whom(self, as_user, inspector, office, on_site):
        on_site.send(answered("ceiling_support", "ceiling_clearance", "2"), brought_in_by=office)
        on_site.send(answered("ceiling_support", "ceiling_clearance", "3"))
        assert "Brought in from a file by Fern Office." in page_of(
            as_user(inspector), TabletEntry.objects.first()
        )

    def test_signatures_brought_in_from_a_file_say_by_whom(self, as_user, inspector, office, all_signed):
        record = SiteRecord.objects.get()
        record_return(record=record, by=inspector, reason="Seal again", stages=["sealing"], now=NOW + HOUR)
        key = record.stages.get(key="sealing").defects.get().item
        told = {"now": NOW + 2 * HOUR, "brought_in_by": office}
        results = all_signed.send(answered("sealing", key, "yes"), signed("sealing"), **told)
        saw = results[0].entry
        told["now"] += HOUR
        tablet = Tablet(all_signed.job, inspector)
        results += tablet.send(entry("sign_off", signature=SIGNED, saw=saw), **told)
        assert [one.outcome for one in results] == ["accepted"] * 3, results
        page = page_of(as_user(inspector), TabletEntry.objects.first())
        assert page.count("Brought in from a file by Fern Office.") == 3

    def test_one_like_any_other_says_nothing(self, on_site):
        on_site.send(answered("ceiling_support", "ceiling_clearance", "2", verdict="pass"))
        record = SiteRecord.objects.get()
        item = record_view(record).stage("ceiling_support").item("ceiling_clearance")
        assert item.answer.notes == ()


class TestToday:
    def test_it_stands_there_until_looked_at(self, as_user, inspector, owner, late):
        for person in (inspector, owner):
            page = as_user(person).get(reverse("today")).content.decode()
            assert "Came too late for the record" in page
            assert place(late) in page
        late_entry_look(entry=late, by=inspector, note="Seen", now=NOW)
        assert place(late) not in as_user(inspector).get(reverse("today")).content.decode()

    def test_the_crew_is_not_bothered(self, as_user, installer, late):
        assert place(late) not in as_user(installer).get(reverse("today")).content.decode()

    def test_work_on_a_job_cancelled_before_it_began_is_shown_and_looked_at(self, as_user, inspector, tablet):
        Job.objects.update(status=JobStatus.CANCELLED)
        tablet.send(entry("begin"), answered("ceiling_support", "ceiling_clearance", "2"))
        client = as_user(inspector)
        page = client.get(reverse("today")).content.decode()
        for one in TabletEntry.objects.all():
            assert place(one) in page
            shown = client.get(place(one)).content.decode()
            assert "is cancelled: this came too late for its record." in shown
            response = client.post(place(one), {"note": "Nothing follows"}, follow=True)
            assert "Looked at by Petra Inspector" in response.content.decode()
        assert LateLook.objects.count() == 2


@pytest.mark.parametrize(
    ("skew", "words"),
    [
        (None, ""),
        (300.0, ""),
        (-300.0, ""),
        (301.0, "5 minutes ahead"),
        (-660.0, "11 minutes behind"),
        (3_600.0, "1 hour ahead"),
        (-7_000.0, "2 hours behind"),
        (DAY, "1 day ahead"),
        (-400 * DAY, "400 days behind"),
    ],
)
def test_a_clock_that_is_off_is_told_in_words(skew, words):
    assert clock_words(skew) == words
