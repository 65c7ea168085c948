"""The record embedded in a certificate keeps to its published schema, and is whole."""

from __future__ import annotations

import io
import json
from datetime import timedelta

import jsonschema
import pypdf
import pytest
from django.conf import settings

from inspections.models import Answer, Photo
from inspections.services.certificates import certificate_issue
from jobs.models import EvidenceEvent
from tests.factories import NOW
from tests.inspections.closing import job_closed
from tests.inspections.sealed import rendered
from tests.paper import Paper

SCHEMA = json.loads((settings.BASE_DIR / "docs" / "schemas" / "certificate-record.1.json").read_text())


@pytest.fixture
def close(office, installer, inspector):
    def close(**told):
        return job_closed(**{"office": office, "installer": installer, "inspector": inspector, **told})

    return close


def record_of(sign_off) -> dict:
    return sign_off.certificates.first().document.context["embedded"]["content"]


def complaints(record: dict) -> list[str]:
    """What jsonschema, which nobody here wrote, finds against the published schema."""
    checker = jsonschema.Draft202012Validator(SCHEMA, format_checker=jsonschema.FormatChecker())
    return [f"{one.json_path}: {one.message}" for one in checker.iter_errors(record)]


def test_the_schema_itself_is_one():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize(
    "told",
    [
        {},
        {"fails": "attic_clearance"},
        {"kind": "annual sweep"},
        {"site__country": "GB", "site__unit_system": "metric", "site__time_zone": "Europe/London"},
    ],
    ids=["new installation", "with a waiver", "without a plan", "metric"],
)
def test_every_record_keeps_to_the_schema(close, told):
    assert complaints(record_of(close(**told))) == []


def test_the_schema_refuses_what_is_wanting_too_much_or_of_another_kind(close):
    record = record_of(close(kind="annual sweep"))
    # Records from before there was an evidence log have no head of it.
    for name in record.keys() - {"evidence"}:
        assert complaints({key: value for key, value in record.items() if key != name}), name
    assert complaints({**record, "customer": "Maren Holt"})
    answers = [one for stage in record["stages"] for item in stage["items"] for one in item["answers"]]
    answers[0]["received_at"] = "yesterday"
    assert complaints(record)


def test_it_holds_every_answer_with_time_actor_and_limit(close):
    record = record_of(close(fails="attic_clearance"))
    told = {
        one["entry"]: one for stage in record["stages"] for item in stage["items"] for one in item["answers"]
    }
    kept = Answer.objects.select_related("by", "photo")
    assert len(told) == kept.count() > 60
    for answer in kept:
        one = told[str(answer.entry)]
        assert (one["typed"], one["value"], one["outcome"]) == (answer.raw_text, answer.value, answer.outcome)
        assert (one["by"], one["device"]) == (answer.by.name, answer.device)
        assert one["limit"] == answer.limit
        assert one["photo_sha256"] == (answer.photo.sha256 if answer.photo else None)
    assert {one["sha256"] for one in record["photos"]} == set(Photo.objects.values_list("sha256", flat=True))
    (defect,) = [one for one in record["defects"] if one["item"] == "attic_clearance"]
    assert defect["waiver"]["authority"] == "Town of Millbrook Falls, building official"
    assert record["sign_off"]["signature"]["strokes"]


def test_it_holds_what_the_plan_was_reckoned_from_and_the_limits_pinned(close):
    sign_off = close()
    record, plan = record_of(sign_off), sign_off.record.plan
    assert record["plan"]["inputs"]["survey"] == plan.data["survey"]
    assert record["plan"]["rule_book_edition"] == plan.rule_book_edition
    assert record["limits"] == sign_off.record.limits


def test_who_lives_in_the_house_is_not_in_it(close):
    sign_off = close(
        kind="annual sweep",
        site__customer__name="Maren Holt",
        site__customer__email="maren@house.example",
        site__customer__phone="(802) 555-0199",
        site__hazard_notes="Dog in the yard",
        site__access_notes="Key under the pot",
    )
    text = json.dumps(record_of(sign_off))
    for words in ("Maren", "house.example", "555-0199", "Dog", "Key under"):
        assert words not in text


def test_the_sealed_file_holds_the_record_as_it_was_frozen(close):
    sign_off = close(kind="annual sweep")
    certificate = sign_off.certificates.get()
    reader = pypdf.PdfReader(io.BytesIO(rendered(certificate)))
    (content,) = reader.attachments["certificate-record.json"]
    assert json.loads(content) == record_of(sign_off)
    assert complaints(json.loads(content)) == []


def test_the_head_of_the_evidence_chain_is_printed_and_embedded_always(close, inspector, tmp_path):
    sign_off = close(kind="annual sweep")
    first = sign_off.certificates.get()
    head = EvidenceEvent.objects.get(job=sign_off.record.job, kind="status changed", facts__contains="closed")
    assert record_of(sign_off)["evidence"] == {"chain_head": head.hash}
    assert head.hash in Paper(rendered(first), tmp_path).text
    made = EvidenceEvent.objects.get(job=sign_off.record.job, kind="document made")
    new = certificate_issue(
        sign_off=sign_off, by=inspector, now=NOW + timedelta(hours=9), supersedes=first,
        reason="The name was wrong.",
    )  # fmt: skip
    record = new.document.context["embedded"]["content"]
    assert record["evidence"] == {"chain_head": made.hash}
    assert record["certificate"]["supersedes"]["reason"] == "The name was wrong."
    assert complaints(record) == []
    assert made.hash in Paper(rendered(new), tmp_path).text
