"""The database itself refuses to change what is recorded."""

from __future__ import annotations

import pytest
from django.apps import apps
from django.core.management import CommandError, call_command
from django.db import IntegrityError, connection, models, transaction

from config.checks import check_evidence_guards
from config.evidence import ROWS
from inspections.models import Answer, TabletEntry, Waiver
from jobs.evidence_guards import guards_missing
from jobs.models import Document, Erasure, EvidenceEvent, EvidencePrivate, Job
from tests.factories import NOW
from tests.inspections.proved import breaks, guards_off, job_proved
from tests.inspections.test_evidence_tampering import Undone, altered

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(office, installer, inspector) -> Job:
    return job_proved(office=office, installer=installer, inspector=inspector)


@pytest.fixture
def erased(job, owner) -> Job:
    customer = job.installation.site.customer
    Erasure.objects.create(customer=customer, by=owner, reason="They asked for it.", at=NOW)
    return job


def refused(act, words: str = "recorded for good") -> bool:
    with transaction.atomic(), pytest.raises(IntegrityError) as error, transaction.atomic():
        act()
    return words in str(error.value)


def test_no_column_that_was_recorded_is_changed_and_no_row_goes(erased):
    tried = 0
    for kind in ROWS:
        model = apps.get_model(kind.model)
        row = model.objects.order_by("pk").first()
        assert row is not None, kind.model
        rows = model.objects.filter(pk=row.pk)
        for field in model._meta.concrete_fields:
            old = getattr(row, field.attname)
            value = altered(field, old)
            if field.primary_key or field.name in kind.changes or value is None:
                continue
            if field.name in kind.once and old in {None, ""}:
                continue
            tried += 1
            assert refused(lambda rows=rows, f=field, v=value: rows.update(**{f.attname: v})), (kind, field)
        if not (kind.goes or kind.ages):
            assert refused(lambda rows=rows: rows._raw_delete("default")), kind
    assert tried > 110


def test_what_was_not_changed_may_be_written_again(job):
    for kind in ROWS:
        if not kind.sealed:
            apps.get_model(kind.model).objects.first().save()
    assert breaks() == []


def test_what_comes_later_is_written_once(job):
    paper = Document.objects.exclude(withdrawn_at=None).exclude(file="").first()
    assert refused(lambda: Document.objects.filter(pk=paper.pk).update(withdrawn_at=None))
    assert refused(lambda: Document.objects.filter(pk=paper.pk).update(sha256="0" * 64))
    assert refused(lambda: Document.objects.filter(pk=paper.pk).update(file=""))


def blank(row: models.Model, column: str, value) -> int:
    return type(row).objects.filter(pk=row.pk).update(**{column: value})


def test_without_an_erasure_nothing_private_goes(job):
    note = Answer.objects.filter(kind="note").first()
    assert refused(lambda: EvidencePrivate.objects.first().delete())
    assert refused(lambda: blank(note, "raw_text", ""))
    assert refused(lambda: blank(Waiver.objects.first(), "reason", "(erased)"))
    assert refused(lambda: blank(TabletEntry.objects.first(), "raw", {}))


def test_an_erasure_lets_the_private_parts_of_its_customer_go_and_the_chain_still_holds(erased, office):
    note = Answer.objects.filter(kind="note").first()
    told = Answer.objects.filter(kind="confirm").first()
    assert blank(note, "raw_text", "") == 1
    assert blank(Waiver.objects.first(), "reason", "(erased)") == 1
    assert blank(TabletEntry.objects.first(), "raw", {}) == 1
    assert blank(Document.objects.first(), "context", {}) == 1
    assert refused(lambda: blank(told, "raw_text", ""))
    assert refused(lambda: blank(Waiver.objects.last(), "authority", "Another"))
    EvidencePrivate.objects.filter(event__job=erased).delete()
    assert EvidenceEvent.objects.filter(job=erased).exclude(private_commitment="").exists()
    assert breaks() == []


def test_an_erasure_lets_nothing_of_another_customer_go(erased, office, installer, inspector):
    other = job_proved(office=office, installer=installer, inspector=inspector, closed=False)
    assert refused(lambda: EvidencePrivate.objects.filter(event__job=other).first().delete())
    assert refused(lambda: Erasure.objects.get().delete())


def test_no_row_takes_the_place_of_another(job):
    if connection.vendor == "sqlite":
        copy = "INSERT OR REPLACE INTO jobs_evidenceevent SELECT * FROM jobs_evidenceevent WHERE number = 3"
        words = "no other takes its place"
    else:
        copy, words = "TRUNCATE jobs_evidenceevent CASCADE", "recorded for good"
    # PostgreSQL would not truncate a table that waits for its keys to be looked at anyhow.
    connection.check_constraints()
    with connection.cursor() as cursor:
        assert refused(lambda: cursor.execute(copy), words)


def test_a_missing_or_altered_trigger_is_named(job):
    assert guards_missing(connection, ROWS) == []
    assert check_evidence_guards(databases=["default"]) == []
    with Undone():
        guards_off()
        assert len(guards_missing(connection, ROWS)) == sum(2 if kind.ages else 3 for kind in ROWS)
        assert check_evidence_guards(databases=["default"])[0].id == "fluewright.E012"
        with pytest.raises(CommandError, match="does not hold"):
            call_command("verify_evidence")
    call_command("verify_evidence")


def test_migrating_lays_what_a_killed_run_left_off_and_is_not_refused_for_it(job):
    guards_off()
    call_command("migrate", skip_checks=False, verbosity=0)
    assert guards_missing(connection, ROWS) == []
