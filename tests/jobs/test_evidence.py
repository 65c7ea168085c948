"""The evidence log: each event holds the hash of the one before it."""

from __future__ import annotations

import json
import subprocess

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.evidence_chain import EvidenceEntry
from jobs.models import EvidenceEvent, EvidencePrivate
from jobs.services.evidence import evidence_append, evidence_append_all, evidence_head
from tests.factories import NOW, JobFactory

pytestmark = pytest.mark.django_db


def sha256sum(text: str) -> str:
    """What GNU coreutils says, another implementation of SHA-256."""
    told = subprocess.run(["sha256sum"], input=text.encode(), capture_output=True, check=True)
    return told.stdout.split()[0].decode()


def entries(count: int) -> list[EvidenceEntry]:
    return [
        EvidenceEntry(
            "looked", f"thing:{number}", {"gap": 0.05 * number}, NOW, private={"note": f"No {number}"}
        )
        for number in range(count)
    ]


@pytest.fixture
def job(db):
    return JobFactory()


def test_an_event_holds_the_hash_of_the_one_before(job, office):
    begun = EvidenceEvent.objects.filter(job=job).count()
    first, second = (
        evidence_append(job=job, kind="looked", subject="thing:1", facts={"gap": gap}, at=NOW, by=office)
        for gap in (0.05, 0.06)
    )
    assert (first.number, second.number) == (begun + 1, begun + 2)
    assert second.previous == first.hash
    assert evidence_head(job=job) == second.hash
    assert second.by_name == office.name


def test_the_first_event_holds_the_documented_beginning(job):
    (first,) = evidence_append_all(job=job, entries=entries(1))
    assert first.number == 1
    assert first.previous == sha256sum(f"fluewright evidence log 1 of {job.number}")


def test_the_hash_is_what_coreutils_says_of_the_documented_text(job, office):
    event = evidence_append(
        job=job, kind="looked", subject="thing:1", facts={"b": 1.0, "a": "½ in"}, at=NOW, by=office,
        device="tablet 7", private={"note": "By the dog's bed"},
    )  # fmt: skip
    told = {
        "at": "2026-05-04T15:00:00.000000Z", "by": {"id": office.pk, "name": office.name},
        "device": "tablet 7", "facts": {"a": "½ in", "b": 1}, "job": job.number, "kind": "looked",
        "number": event.number, "previous": event.previous, "private": event.private_commitment,
        "subject": "thing:1",
    }  # fmt: skip
    text = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert event.hash == sha256sum(text)
    again = EvidenceEvent.objects.get(pk=event.pk)
    assert again.hashed_text == text


def test_the_chain_holds_of_a_private_part_only_its_commitment(job):
    event = evidence_append_all(job=job, entries=entries(1))[0]
    private = EvidencePrivate.objects.get(event=event)
    assert len(private.salt) == 64
    assert event.private_commitment == sha256sum(private.salt + private.content)
    assert "No 0" not in event.hashed_text


def test_forty_events_cost_as_many_queries_as_two(job):
    with CaptureQueriesContext(connection) as few:
        evidence_append_all(job=job, entries=entries(2))
    with CaptureQueriesContext(connection) as many:
        evidence_append_all(job=job, entries=entries(40))
    assert len(many) == len(few)


def test_figures_that_are_none_are_not_logged(job):
    with pytest.raises(ValueError, match="nan"):
        evidence_append(job=job, kind="looked", subject="thing:1", facts={"gap": float("nan")}, at=NOW)
