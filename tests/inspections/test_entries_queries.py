"""What a batch costs the database does not grow with it."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from bench.tablet.asking import statements
from inspections.models import Answer, Defect, SiteRecord
from inspections.queries.records import record_view
from inspections.services.sent_entries import SentEntry
from jobs.models import Shop
from tests.inspections.closing import passing_text
from tests.inspections.sending import SIGNED, Tablet, answered, entry, signed

pytestmark = pytest.mark.django_db


def _failures(record: SiteRecord, count: int) -> list[SentEntry]:
    """Answers to so many items, each of which opens a defect."""
    text = {"confirm": "no", "measure": "cannot tell", "choose": "cannot tell"}
    found = [
        answered(stage.key, item.key, text[item.item.kind])
        for stage in record_view(record).stages
        for item in stage.items
        if item.item.kind in text and item.required and not item.item.as_found
    ]
    assert len(found) >= count
    return found[:count]


def _passing(sent: SentEntry, record: SiteRecord) -> str:
    item = record_view(record).stage(sent.stage).item(sent.item)
    return passing_text(item, "imperial")


def _queries(tablet: Tablet, *sent: SentEntry, outcome: str) -> int:
    with CaptureQueriesContext(connection) as told:
        results = tablet.send(*sent)
    assert {one.outcome for one in results} == {outcome}, results
    # On SQLite the ORM writes an INSERT of more than 999 values in pieces.
    return len(statements(query["sql"] for query in told))


def test_forty_answers_cost_as_many_queries_as_two(on_site, record):
    sent = _failures(record, 42)
    on_site.send_one(entry("defect", "sealing", text="Nail"))
    few, many = sent[:2], sent[2:]
    assert _queries(on_site, *many, outcome="accepted") == _queries(on_site, *few, outcome="accepted")
    assert (Answer.objects.count(), Defect.objects.count()) == (42, 43)


def test_putting_forty_defects_right_costs_as_many_queries_as_two(on_site, record):
    sent = _failures(record, 42)
    on_site.send(*sent[:40])
    on_site.send(*sent[40:])
    right = [answered(one.stage, one.item, _passing(one, record), saw=one.entry) for one in sent]
    assert _queries(on_site, *right[2:], outcome="accepted") == _queries(
        on_site, *right[:2], outcome="accepted"
    )
    assert not Defect.objects.filter(closed_at=None, item__in=[one.item for one in sent]).exists()


def test_forty_sent_again_cost_as_many_queries_as_two(on_site, record):
    sent = _failures(record, 40)
    on_site.send(*sent)
    assert _queries(on_site, *sent, outcome="accepted") == _queries(on_site, *sent[:2], outcome="accepted")


def test_forty_refused_ones_cost_as_many_queries_as_five(on_site, inspector):
    Shop.current()
    refused = [
        answered("moon", "gap", "2"),
        signed("before_work"),
        signed("position"),
        entry("defect", "sealing"),
        entry("sign_off", signature=SIGNED),
    ] * 8
    for tablet in (on_site, Tablet(on_site.job, inspector)):
        many = _queries(tablet, *refused, outcome="refused")
        assert many == _queries(tablet, *refused[:5], outcome="refused")


def test_beginning_in_vain_costs_the_same_however_often(tablet):
    type(tablet.job).objects.update(status="planned")
    vain = [entry("begin") for _ in range(20)]
    assert _queries(tablet, *vain, outcome="refused") == _queries(tablet, *vain[:2], outcome="refused")


def test_forty_late_ones_cost_as_many_queries_as_two(on_site, record):
    sent = _failures(record, 42)
    type(on_site.job).objects.update(status="cancelled")
    assert _queries(on_site, *sent[2:], outcome="late") == _queries(on_site, *sent[:2], outcome="late")


def test_raising_forty_defects_costs_as_many_queries_as_two(on_site):
    # A record that has a defect is read with what was said of it since.
    on_site.send_one(entry("defect", "sealing", text="Nail"))
    raised = [entry("defect", "sealing", text=f"Nail {count}") for count in range(42)]
    assert _queries(on_site, *raised[2:], outcome="accepted") == _queries(
        on_site, *raised[:2], outcome="accepted"
    )
    assert Defect.objects.count() == 43
