"""A real worker puts an export together, and removes the files of somebody who was erased."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from pathlib import Path

import pytest
from django.utils import timezone

from inspections.services.customer_exports import customer_export_request
from inspections.services.erasing import customer_erase
from jobs.models import CustomerExport, Document, DocumentKind, FileRemoval, Role
from tests.factories import CustomerFactory, JobFactory, UserFactory
from tests.worker.running import RunningShop, wait_until

pytestmark = pytest.mark.worker


def test_an_export_is_made_and_an_erased_customers_files_go(shop: RunningShop):
    owner = UserFactory(role=Role.OWNER)
    customer = CustomerFactory(name="Ada Ember")
    job = JobFactory(installation__site__customer=customer, status="cancelled")
    media = shop.folder / "media"
    paper = _paper(job, media)
    shop.start_worker()
    customer_export_request(customer=customer, by=owner, now=timezone.now())
    export = wait_until(
        CustomerExport.objects.filter(done_at__isnull=False).first, what="an export that is ready"
    )
    with zipfile.ZipFile(io.BytesIO((media / export.file.name).read_bytes())) as archive:
        told = json.loads(archive.read("customer.json"))
    assert told["customer"]["name"] == "Ada Ember"
    assert len(told["files"]) == 1
    customer_erase(
        customer=customer, by=owner, reason="Asked for.", name="Ada Ember", override="They insist.",
        now=timezone.now(),
    )  # fmt: skip
    wait_until(FileRemoval.objects.filter(done_at__isnull=False).exists, what="files that are gone")
    assert not paper.exists()
    assert [path for path in media.rglob("*") if path.is_file()] == []
    assert (shop.folder / "erasures.jsonl").exists()


def _paper(job, media: Path) -> Path:
    content, now = b"%PDF of Ada Ember", timezone.now()
    document = Document.objects.create(
        job=job, kind=DocumentKind.WORK_PACK, title="Work pack", context={}, requested_at=now, due_at=now,
    )  # fmt: skip
    name = f"documents/{job.pk}/{document.pk}-pack.pdf"
    (media / name).parent.mkdir(parents=True)
    (media / name).write_bytes(content)
    Document.objects.filter(pk=document.pk).update(
        file=name, sha256=hashlib.sha256(content).hexdigest(), done_at=now
    )
    return media / name
