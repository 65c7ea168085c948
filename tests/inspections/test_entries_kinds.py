"""Photos, signatures, defects and the sign-off, sent by a tablet."""

from __future__ import annotations

import uuid
from dataclasses import replace

import pytest

from inspections.models import Answer, Certificate, Defect, Photo, SignOff, StageRecord, TabletEntry
from inspections.queries.record_rows import rows_read
from inspections.queries.records import record_view
from inspections.services.sent_entries import SentSignature
from jobs.errors import JobsError
from jobs.models import JobStatus
from tests.factories import NOW
from tests.inspections.closing import job_ready_to_begin, passing_text, photo_make
from tests.inspections.sending import SIGNED, Tablet, answered, entry, pictured, signed

pytestmark = pytest.mark.django_db


def _newest(tablet: Tablet) -> uuid.UUID:
    return (
        Answer.objects.filter(stage__record__job=tablet.job)
        .order_by("-pk")
        .values_list("entry", flat=True)[0]
    )


class TestPhoto:
    def test_it_goes_with_the_bytes_that_came_before_it(self, on_site):
        photo = photo_make(job=on_site.job, by=on_site.by, number=1)
        told = on_site.send_one(pictured("before_work", "label_photo", photo))
        assert (told.outcome, told.verdict, told.said) == ("accepted", "recorded", "Photo")
        assert Answer.objects.get().photo == photo
        assert TabletEntry.objects.get().photo == photo

    def test_without_its_bytes_it_is_asked_for_and_nothing_is_kept(self, on_site):
        told = on_site.send_one(entry("photo", "before_work", "label_photo", sha256="0" * 64))
        assert told.outcome == "wants_photo"
        assert not TabletEntry.objects.exists()
        assert not Answer.objects.exists()

    def test_bytes_of_another_picture_are_refused(self, on_site):
        photo = photo_make(job=on_site.job, by=on_site.by, number=1)
        sent = replace(pictured("before_work", "label_photo", photo), sha256="0" * 64)
        assert on_site.send_one(sent).code == "entry_differs"

    def test_bytes_of_another_job_are_refused(self, on_site, office, technician):
        other = job_ready_to_begin(office=office, crew=technician.crew)
        photo = photo_make(job=other, by=on_site.by, number=1)
        assert on_site.send_one(pictured("before_work", "label_photo", photo)).code == "entry_taken"

    def test_another_crew_is_not_asked_for_bytes(self, job, record, stranger):
        told = Tablet(job, stranger).send_one(entry("photo", "before_work", "label_photo"))
        assert (told.outcome, told.code) == ("refused", "not_your_job")

    def test_a_photo_of_a_correction_stands_with_the_records_photos(self, on_site, record):
        told = on_site.send_one(defect := entry("defect", "sealing", text="Nail head open"))
        assert told.outcome == "accepted"
        photo = photo_make(job=on_site.job, by=on_site.by, number=1)
        key = f"defect-{defect.entry.hex[:12]}-photo"
        assert on_site.send_one(pictured("sealing", key, photo)).outcome == "accepted"
        assert rows_read(record).photos() == (photo,)


class TestSignature:
    def test_a_stage_is_answered_and_signed_in_one_batch(self, on_site, record):
        view = record_view(record).stages[0]
        answers = []
        for item in view.items:
            if item.item.kind == "photo":
                photo = photo_make(job=on_site.job, by=on_site.by, number=len(answers))
                answers.append(pictured(view.key, item.key, photo))
            else:
                answers.append(answered(view.key, item.key, passing_text(item, "imperial")))
        results = on_site.send(*answers, signed(view.key))
        assert {one.outcome for one in results} == {"accepted"}, results
        stage = StageRecord.objects.get(key=view.key)
        assert (stage.signed_by, stage.signed_at, stage.signature.strokes) == (
            on_site.by,
            NOW,
            SIGNED.strokes,
        )

    def test_it_is_refused_as_a_page_refuses_it(self, on_site):
        incomplete, ahead = on_site.send(signed("before_work"), signed("position"))
        assert (incomplete.code, incomplete.outcome) == ("stage_incomplete", "refused")
        assert "not answered yet" in incomplete.sentence
        assert (ahead.code, ahead.outcome) == ("hold_point", "refused")

    @pytest.mark.parametrize(
        ("ink", "code"),
        [
            (None, "signature_missing"),
            (SentSignature(), "signature_missing"),
            (SentSignature(strokes=[[[1, 1]]]), "signature_too_small"),
        ],
    )
    def test_what_is_no_signature_is_refused(self, all_signed, inspector, ink, code):
        tablet = Tablet(all_signed.job, inspector)
        assert tablet.send_one(entry("sign_off", signature=ink, saw=_newest(tablet))).code == code

    def test_no_stage_of_that_name_is_refused(self, on_site):
        assert on_site.send_one(signed("moon")).code == "no_such_stage"


class TestDefect:
    def test_it_is_raised_under_a_number_made_on_the_tablet_and_put_right(self, on_site):
        raised = entry("defect", "sealing", text=" Nail head open ")
        key = f"defect-{raised.entry.hex[:12]}"
        told, right = on_site.send(raised, answered("sealing", key, "yes"))
        assert (told.outcome, right.outcome) == ("accepted", "accepted")
        defect = Defect.objects.get()
        assert (defect.description, defect.item, defect.is_open) == ("Nail head open", key, False)
        assert TabletEntry.objects.get(kind="defect").defect == defect

    def test_the_inspector_raises_one_on_a_signed_stage_too(self, all_signed, inspector):
        told = Tablet(all_signed.job, inspector).send_one(entry("defect", "sealing", text="Nail head open"))
        assert told.outcome == "accepted"
        assert Defect.objects.get(closed_at=None).opened_by == inspector

    @pytest.mark.parametrize(
        ("told", "code"),
        [
            ({"text": "  "}, "description_missing"),
            ({"text": "Loose", "item": "moon"}, "no_such_item"),
            ({"text": "Loose", "stage": "moon"}, "no_such_stage"),
        ],
    )
    def test_it_needs_words_and_a_place(self, on_site, told, code):
        assert on_site.send_one(entry("defect", **{"stage": "sealing", **told})).code == code
        assert not Defect.objects.exists()

    def test_two_at_once_on_one_item_are_refused(self, on_site):
        first, second = on_site.send(
            entry("defect", "sealing", "nail_heads", "Bare"), entry("defect", "sealing", "nail_heads", "Bare")
        )
        assert (first.outcome, second.code) == ("accepted", "defect_open")

    def test_the_office_and_another_crew_raise_none(self, job, record, office, stranger):
        for person in (office, stranger):
            assert Tablet(job, person).send_one(entry("defect", "sealing", text="x")).code == "not_your_job"

    def test_corrections_stand_in_the_order_the_defects_were_raised(self, on_site, record):
        high, low = (uuid.UUID(int=at << 120) for at in (0xF0, 0x10))
        on_site.send(
            entry("defect", "sealing", text="First", entry=high),
            entry("defect", "sealing", text="Second", entry=low),
        )
        asked = [item.item.ask for item in record_view(record).stage("sealing").items]
        assert [one for one in asked if one.startswith("Put right")] == [
            "Put right: First",
            "Put right: Second",
        ]


class TestSignOff:
    def test_it_closes_the_job_with_remarks(self, all_signed, inspector):
        tablet = Tablet(all_signed.job, inspector)
        told = tablet.send_one(entry("sign_off", text="Tidy", signature=SIGNED, saw=_newest(tablet)))
        assert told.outcome == "accepted", told
        all_signed.job.refresh_from_db()
        assert all_signed.job.status == JobStatus.CLOSED
        assert SignOff.objects.get().remarks == "Tidy"
        assert Certificate.objects.count() == 1

    def test_it_is_refused_when_answers_came_that_were_not_seen(self, on_site, inspector):
        on_site.send(first := answered("before_work", "services_traced", "yes"))
        on_site.send(answered("before_work", "access_safe", "yes"))
        tablet = Tablet(on_site.job, inspector)
        for saw, code in ((first.entry, "record_changed"), (None, "record_changed"),
                          (_newest(tablet), "record_incomplete")):  # fmt: skip
            assert tablet.send_one(entry("sign_off", signature=SIGNED, saw=saw)).code == code

    def test_own_answers_of_this_tablet_are_known_to_it(self, job, record, owner):
        tablet = Tablet(job, owner)
        tablet.send(answered("before_work", "services_traced", "yes"))
        told = tablet.send_one(entry("sign_off", signature=SIGNED))
        assert told.code == "own_work"

    def test_the_crew_signs_nothing_off(self, all_signed):
        told = all_signed.send_one(entry("sign_off", signature=SIGNED, saw=_newest(all_signed)))
        assert (told.outcome, told.code) == ("refused", "not_an_inspector")

    def test_one_that_breaks_in_the_middle_leaves_the_job_as_it_was(self, all_signed, inspector, monkeypatch):
        def refuse(**told):
            raise JobsError("done_in_future", "That day is still to come.")

        tablet = Tablet(all_signed.job, inspector)
        sent = entry("sign_off", signature=SIGNED, saw=_newest(tablet))
        with monkeypatch.context() as patch:
            patch.setattr("inspections.services.signoff.services_schedule", refuse)
            told, after = tablet.send(sent, entry("defect", "sealing", text="Loose"))
        assert (told.outcome, told.code) == ("refused", "done_in_future")
        assert after.outcome == "accepted"
        all_signed.job.refresh_from_db()
        assert all_signed.job.status == JobStatus.READY
        assert not SignOff.objects.exists()


def test_photos_of_entries_are_counted_once(on_site):
    photo = photo_make(job=on_site.job, by=on_site.by, number=1)
    sent = pictured("before_work", "label_photo", photo)
    assert on_site.send_one(sent) == on_site.send_one(sent)
    assert Photo.objects.count() == Answer.objects.count() == 1
