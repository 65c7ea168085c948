"""Everything about a customer in one file: whole, of nobody else, in a fixed order, and gone after a week."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from datetime import timedelta
from pathlib import Path
from xml.etree import ElementTree

import pytest
from django.conf import settings
from django.db import IntegrityError, transaction
from jsonschema import Draft202012Validator

from inspections.models import Photo
from inspections.models.customer_data import HELD
from inspections.services.customer_archives import archive_write
from inspections.services.customer_exports import (
    customer_export_make,
    customer_export_request,
    customer_exports_drop_old,
    customer_exports_left,
)
from jobs.errors import JobsError
from jobs.models import Customer, CustomerExport, DocumentAccess
from tests.factories import NOW, CustomerFactory
from tests.inspections.closing import photo_make
from tests.inspections.houses import house_closed, paper_write, words_of

pytestmark = pytest.mark.django_db
SCHEMA = json.loads((Path(settings.BASE_DIR) / "docs/schemas/customer-export.1.json").read_text())


@pytest.fixture
def people(office, installer, inspector):
    return {"office": office, "installer": installer, "inspector": inspector}


@pytest.fixture
def customer(people) -> Customer:
    customer = house_closed(mark="Quillon", **people)
    paper_write(customer=customer, content=b"%PDF-1.7 of Quillon")
    return customer


def exported(customer: Customer, by) -> CustomerExport:
    export = customer_export_request(customer=customer, by=by, now=NOW)
    assert customer_export_make(pk=export.pk, now=NOW)
    export.refresh_from_db()
    return export


def members(content: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}


def written(customer: Customer) -> bytes:
    out = io.BytesIO()
    archive_write(file=out, customer=customer, now=NOW)
    return out.getvalue()


def test_it_holds_every_row_and_every_file(customer, office):
    export = exported(customer, office)
    with export.file.open() as file:
        content = file.read()
    assert hashlib.sha256(content).hexdigest() == export.sha256
    assert len(content) == export.size
    inside = members(content)
    told = json.loads(inside["customer.json"])
    # jsonschema is the outside reader; the schema is the published one.
    Draft202012Validator(SCHEMA, format_checker=Draft202012Validator.FORMAT_CHECKER).validate(told)
    for held in HELD:
        if held.left_out or held.name in {"customer", "exports"}:
            continue
        assert len(told[held.name]) == held.rows(customer).count(), held.name
    unfilled = {name for name, rows in told.items() if rows == []}
    assert unfilled == {
        "plans", "missing", "carried_defects", "notices", "withdrawals", "reopenings", "erasures"
    }  # fmt: skip
    for file in told["files"]:
        assert hashlib.sha256(inside[file["path"]]).hexdigest() == file["sha256"]
        assert len(inside[file["path"]]) == file["size"]
    originals = {photo.sha256 for photo in Photo.objects.all()}
    assert originals <= {file["sha256"] for file in told["files"]}
    assert {"index.html", "customer.json", "customer-export.1.json"} <= set(inside)
    assert set(inside) == {file["path"] for file in told["files"]} | {
        "index.html", "customer.json", "customer-export.1.json"
    }  # fmt: skip


def test_a_signature_is_a_picture_and_the_index_leads_to_every_file(customer):
    inside = members(written(customer))
    drawn = [name for name in inside if name.startswith("signatures/")]
    assert drawn
    for name in drawn:
        assert ElementTree.fromstring(inside[name]).tag == "{http://www.w3.org/2000/svg}svg"
    index = inside["index.html"].decode()
    for file in json.loads(inside["customer.json"])["files"]:
        assert f'href="{file["path"]}"' in index
    assert "Quillon Ember" in index
    # As its checklist asks for it.
    assert "Photo of the connector" in index


def test_nothing_of_another_customer_is_in_it(customer, people):
    other = house_closed(mark="Vexley", **people)
    paper_write(customer=other, content=b"%PDF-1.7 of Vexley")
    theirs = {text for text in words_of(other) if "Vexley" in text}
    assert len(theirs) > 25
    for about, others_words, own in ((customer, theirs, "Quillon"), (other, words_of(customer), "Vexley")):
        inside = members(written(about))
        names_and_content = " ".join(inside) + "".join(
            content.decode(errors="replace") for content in inside.values()
        )
        assert own in names_and_content
        mark = "Vexley" if own == "Quillon" else "Quillon"
        assert mark not in names_and_content
        assert mark.lower() not in names_and_content
        assert [text for text in others_words if mark in text and text in names_and_content] == []


def test_the_same_rows_give_the_same_bytes(customer):
    first = written(customer)
    assert written(customer) == first
    photo_make(job=Photo.objects.first().job, by=Photo.objects.first().taken_by, number=77)
    assert written(customer) != first


def test_a_file_that_is_missing_or_altered_is_named_and_holds_up_nothing(customer):
    gone, changed = Photo.objects.order_by("pk")[:2]
    Path(gone.original.path).unlink()
    Path(changed.original.path).write_bytes(b"not what was sent")
    inside = members(written(customer))
    told = json.loads(inside["customer.json"])
    assert [one["why"] for one in told["missing"]] == [
        "The file is missing from storage.",
        "The file is not the one that was kept.",
    ]
    assert b"not what was sent" not in b"".join(inside.values())
    rows = {row["id"]: row for row in told["photos"]}
    assert rows[gone.pk]["original"] is None
    assert "What could not be put in" in inside["index.html"].decode()


def test_one_is_made_at_a_time(office):
    customer = CustomerFactory()
    customer_export_request(customer=customer, by=office, now=NOW)
    with pytest.raises(JobsError) as refusal:
        customer_export_request(customer=customer, by=office, now=NOW)
    assert refusal.value.code == "export_in_hand"
    with pytest.raises(IntegrityError), transaction.atomic():
        CustomerExport.objects.create(customer=customer, asked_by=office, requested_at=NOW, due_at=NOW)


def test_what_a_worker_left_is_made_by_the_next(office):
    export = customer_export_request(customer=CustomerFactory(), by=office, now=NOW)
    assert CustomerExport.claim(export.pk, NOW)
    assert customer_exports_left(now=NOW) == []
    assert not customer_export_make(pk=export.pk, now=NOW)
    later = NOW + timedelta(minutes=6)
    assert customer_exports_left(now=later) == [export.pk]
    # What the killed one left under another name goes.
    left = Path(settings.MEDIA_ROOT) / "exports" / f".{export.pk}-1.zip.draft"
    left.parent.mkdir(parents=True)
    left.write_bytes(b"half")
    assert customer_export_make(pk=export.pk, now=later)
    assert [path.name for path in left.parent.iterdir()] == [f"{export.pk}-2.zip"]


def test_one_that_cannot_be_made_is_tried_three_times_and_leaves_no_file(office, monkeypatch):
    def full(**told):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("inspections.services.customer_exports.archive_write", full)
    export = customer_export_request(customer=CustomerFactory(), by=office, now=NOW)
    now = NOW
    for _ in range(3):
        assert not customer_export_make(pk=export.pk, now=now)
        export.refresh_from_db()
        now = export.due_at
    assert export.gave_up_at is not None
    assert "OSError" in export.last_error
    assert list((Path(settings.MEDIA_ROOT) / "exports").iterdir()) == []
    # Another may be asked for.
    customer_export_request(customer=export.customer, by=office, now=now)


def test_its_file_goes_after_a_week_and_the_row_stays(customer, office):
    export = exported(customer, office)
    path = Path(export.file.path)
    assert customer_exports_drop_old(now=NOW + timedelta(days=6)) == 0
    assert path.exists()
    assert customer_exports_drop_old(now=NOW + timedelta(days=7)) == 1
    assert not path.exists()
    export.refresh_from_db()
    assert (export.state, export.file.name) == ("gone", "")
    assert customer_exports_drop_old(now=NOW + timedelta(days=8)) == 0


class TestFile:
    def test_the_office_takes_it_and_that_is_noted(self, as_user, office, customer):
        export = exported(customer, office)
        response = as_user(office).get(f"/exports/{export.pk}/")
        content = b"".join(response.streaming_content)
        response.close()
        assert hashlib.sha256(content).hexdigest() == export.sha256
        name = f"customer-{customer.pk}-2026-05-04.zip"
        assert response["Content-Disposition"] == f'attachment; filename="{name}"'
        noted = DocumentAccess.objects.get(kind="export")
        assert (noted.customer, noted.by, noted.sha256) == (customer, office, export.sha256)

    def test_one_that_is_not_ready_or_gone_is_not_there(self, as_user, office):
        export = customer_export_request(customer=CustomerFactory(), by=office, now=NOW)
        client = as_user(office)
        assert client.get(f"/exports/{export.pk}/").status_code == 404
        assert customer_export_make(pk=export.pk, now=NOW)
        Path(CustomerExport.objects.get().file.path).unlink()
        assert client.get(f"/exports/{export.pk}/").status_code == 404
        customer_exports_drop_old(now=NOW + timedelta(days=8))
        assert client.get(f"/exports/{export.pk}/").status_code == 404
        assert not DocumentAccess.objects.exists()
