"""Whatever is changed behind the program's back is found and named."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.apps import apps
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from django.db import IntegrityError, connection, models, transaction

from config.evidence import ROWS
from inspections.models import Answer, Photo
from jobs.evidence_chain import canonical, digest
from jobs.models import NUMBERED, Document, EvidenceEvent, EvidencePrivate, Job, JobStatusChange
from tests.factories import NOW
from tests.inspections.proved import breaks, guards_off, job_proved

pytestmark = pytest.mark.django_db
FILES = {"file", "original"}
LOGGED = [kind for kind in ROWS if kind.kind]


@pytest.fixture
def job(office, installer, inspector) -> Job:
    job = job_proved(office=office, installer=installer, inspector=inspector)
    assert breaks() == []
    guards_off()
    return job


class Undone:
    """What is done inside is rolled back."""

    def __enter__(self):
        self.atomic = transaction.atomic()
        self.atomic.__enter__()

    def __exit__(self, kind, *told):
        if kind is None:
            transaction.set_rollback(True)
        return self.atomic.__exit__(kind, *told)


def another_row(field: models.Field, old):
    return field.related_model._default_manager.exclude(pk=old).values_list("pk", flat=True).first()


def other_words(field: models.Field, old: str) -> str:
    if field.choices:
        return next(one for one, _ in field.choices if one != old)
    return f"{old[:-1]}{'y' if old.endswith('x') else 'x'}"


#: The first kind of field that fits says how another value of its column is made.
OTHERS: tuple[tuple[type, Callable], ...] = (
    (models.ForeignKey, another_row),
    (models.JSONField, lambda field, old: {"altered": 1}),
    (models.UUIDField, lambda field, old: type(old)(int=(old.int + 1) % 2**128)),
    (models.BooleanField, lambda field, old: not old),
    (models.DateTimeField, lambda field, old: (old or NOW) + timedelta(seconds=1)),
    (models.IntegerField, lambda field, old: (old or 0) + 1),
    (models.FloatField, lambda field, old: (old or 0) + 1),
    (models.Field, lambda field, old: other_words(field, str(old or ""))),
)


def altered(field: models.Field, old):
    """Return another value a column takes; None where there is no other."""
    return next(make(field, old) for kind, make in OTHERS if isinstance(field, kind))


def test_a_change_of_any_column_of_any_row_is_found_and_named(job):
    looked_at = 0
    for kind in LOGGED:
        model = apps.get_model(kind.model)
        row = model.objects.order_by("pk").last()
        assert row is not None, kind.model
        for field in model._meta.concrete_fields:
            # The worker writes `changes`; they prove nothing and are proved by nothing.
            if field.primary_key or field.name in kind.changes:
                continue
            value = altered(field, getattr(row, field.attname))
            if value is None:
                continue
            with Undone():
                try:
                    with transaction.atomic():
                        model.objects.filter(pk=row.pk).update(**{field.attname: value})
                except IntegrityError:
                    continue
                found = breaks(files=field.name in FILES)
                assert any(kind.subject(row) == one.subject for one in found), (kind.model, field.name, found)
                looked_at += 1
    assert looked_at > 90


def test_a_row_that_is_taken_out_is_found(job):
    answer = Answer.objects.exclude(kind="photo").filter(superseded_by=None, opened_defect=None).first()
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM inspections_answer WHERE id = %s", [answer.pk])
    (found,) = breaks(job)
    assert found.words == "the row it speaks of is not there"
    assert found.subject == f"answer:{answer.entry}"


def test_a_row_that_is_put_in_past_the_log_is_found(job):
    answer = Answer.objects.first()
    answer.pk = None
    answer.entry, answer.supersedes = job_entry(), None
    answer.save(force_insert=True)
    (found,) = breaks(job)
    assert found.subject == f"answer:{answer.entry}"
    assert found.words == "no event of the log says “answer”"


def job_entry():
    return type(Photo.objects.first().entry)(int=7)


def test_a_status_set_by_hand_is_found(job):
    Job.objects.filter(pk=job.pk).update(status="cancelled", closed_at=None)
    (found,) = breaks(job)
    assert "it stands as “cancelled”; its last change was to “closed”" in str(found)


def test_a_change_of_any_column_of_an_event_is_found_at_that_event(job):
    event = EvidenceEvent.objects.filter(job=job).exclude(private_commitment="")[5]
    for field in EvidenceEvent._meta.concrete_fields:
        if field.name in {"id", "job", "number"}:
            continue
        with Undone():
            value = altered(field, getattr(event, field.attname))
            EvidenceEvent.objects.filter(pk=event.pk).update(**{field.attname: value})
            assert breaks(job, files=False)[0].number == event.number, field


def test_an_event_taken_out_cut_off_moved_or_put_in_is_found(job):
    for forge in (taken_out, cut_off, change_places, put_in):
        with Undone():
            forge(job)


def taken_out(job):
    event = EvidenceEvent.objects.get(job=job, number=7)
    EvidencePrivate.objects.filter(event=event).delete()
    event.delete()
    first = breaks(job)[0]
    assert (first.number, first.words) == (8, "it follows number 6: what was between them is missing")


def cut_off(job):
    last = EvidenceEvent.objects.filter(job=job).last()
    assert last.kind == "certificate withdrawn"
    EvidencePrivate.objects.filter(event=last).delete()
    last.delete()
    assert [one.words for one in breaks(job)] == ["no event of the log says “certificate withdrawn”"]


def change_places(job):
    for old, new in ((7, 1000), (8, 7), (1000, 8)):
        EvidenceEvent.objects.filter(job=job, number=old).update(number=new)
    assert breaks(job)[0].number == 7


def put_in(job):
    end = EvidenceEvent.objects.filter(job=job).last().number
    for number in range(end, 6, -1):
        EvidenceEvent.objects.filter(job=job, number=number).update(number=number + 1)
    before = EvidenceEvent.objects.get(job=job, number=6)
    forged = EvidenceEvent(
        job=job, number=7, kind="looked", subject="thing:1", at=before.at, facts="{}", previous=before.hash
    )
    forged.hash = digest(forged.hashed_text)
    forged.save()
    assert breaks(job)[0].number == 8


def rehashed(job: Job, start: int, facts: dict | None = None) -> None:
    """Reckon every hash anew from an event on, as somebody with the whole disk can."""
    previous = EvidenceEvent.objects.get(job=job, number=start).previous
    for event in EvidenceEvent.objects.filter(job=job, number__gte=start):
        event.previous = previous
        if event.number == start and facts is not None:
            event.facts = canonical(facts)
        event.hash = previous = digest(event.hashed_text)
        event.save()


def test_a_chain_reckoned_anew_from_the_middle_is_found_by_the_sealed_reports(job):
    change = JobStatusChange.objects.filter(job=job).first()
    event = EvidenceEvent.objects.get(job=job, subject=f"status:{change.pk}")
    JobStatusChange.objects.filter(pk=change.pk).update(old="planned")
    assert breaks(job)[0].number == event.number
    rehashed(job, event.number, {"new": change.new, "old": "planned"})
    found = breaks(job)
    sealed = Document.objects.filter(kind__in=NUMBERED)
    assert {one.subject for one in found} == {f"document:{one.pk}" for one in sealed}
    assert all("the sealed certificate bears" in one.words for one in found)


def test_a_private_part_that_was_changed_or_lost_is_found(job):
    private = EvidencePrivate.objects.select_related("event").filter(event__job=job).first()
    with Undone():
        EvidencePrivate.objects.filter(pk=private.pk).update(content=private.content.replace('"', "'", 1))
        assert breaks(job)[0].words == "its private part is not the one the chain is bound to"
    private.delete()
    found = breaks(job)[0]
    assert found.number == private.event.number
    assert found.words == "its private part is missing, and no erasure is on record"


def flipped(name: str) -> None:
    with default_storage.open(name) as file:
        content = bytearray(file.read())
    content[len(content) // 2] ^= 1
    default_storage.delete(name)
    assert default_storage.save(name, ContentFile(bytes(content))) == name


def test_one_bit_of_a_photo_or_a_paper_is_found(job):
    photo, paper = Photo.objects.first(), Document.objects.first()
    flipped(photo.original.name)
    flipped(paper.file.name)
    assert {one.subject for one in breaks(job)} == {f"photo:{photo.entry}", f"document:{paper.pk}"}
    assert breaks(job, files=False) == []


def test_a_file_that_is_missing_is_found(job):
    photo = Photo.objects.first()
    default_storage.delete(photo.original.name)
    (found,) = breaks(job)
    assert found.words == f"its file {photo.original.name} is missing"


def test_the_command_names_the_first_broken_place_and_the_others(job, capsys):
    EvidenceEvent.objects.filter(job=job, number__in=[4, 9]).update(device="Another")
    with pytest.raises(CommandError):
        call_command("verify_evidence", job.number)
    said = capsys.readouterr().out.splitlines()
    assert said[0].startswith(f"FIRST BROKEN: {job.number}, event 4 (")
    assert said[0].endswith("its hash is not that of what stands in it")
    assert any(line.startswith(f"  also: {job.number}, event 9 (") for line in said)
    assert any("triggers are missing" in line for line in said)
