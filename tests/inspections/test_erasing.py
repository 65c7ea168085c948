"""Erasing: no word about the customer is left anywhere, and what proves the work still does."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.db.migrations.recorder import MigrationRecorder
from django.test import Client

from config.evidence import ROWS
from inspections.erasure_list import erasure_list_file, erasure_list_read
from inspections.models import Answer, Certificate, Defect, DoNotUseNotice, Photo, SignOff, StageRecord
from inspections.models.customer_data import HELD, WORD
from inspections.services.certificates import certificate_issue
from inspections.services.customer_exports import customer_export_make, customer_export_request
from inspections.services.defects import defect_grade
from inspections.services.erasing import customer_erase
from inspections.services.file_removals import files_remove, removals_left
from inspections.services.hand_over import flue_label_request, hand_over_request
from inspections.services.photo_copies import photo_prepare
from inspections.services.reopening import record_reopen
from jobs.errors import JobsError
from jobs.models import (
    Customer,
    CustomerExport,
    Document,
    DocumentAccess,
    Erasure,
    EvidenceEvent,
    EvidencePrivate,
    FileRemoval,
    Job,
    OutgoingMail,
    ServiceSchedule,
    Shop,
    Site,
)
from jobs.queries.documents import paper_offers
from jobs.services.customers import customer_save
from jobs.services.evidence_checks import EvidenceCheck
from jobs.services.house_papers import care_sheet_request, notice_plate_request
from jobs.services.jobs import job_create
from tests.factories import NOW, CustomerFactory, JobFactory
from tests.inspections.closing import job_closed, photo_make
from tests.inspections.houses import house_closed, paper_write, words_of

pytestmark = pytest.mark.django_db
#: Eleven years on.
LATER = NOW + timedelta(days=4020)
PAPER = b"%PDF-1.7 of Quillon"


@pytest.fixture
def people(office, installer, inspector):
    return {"office": office, "installer": installer, "inspector": inspector}


@pytest.fixture
def customer(people) -> Customer:
    customer = house_closed(mark="Quillon", **people)
    Customer.objects.filter(pk=customer.pk).update(created_at=NOW)
    Job.objects.update(closed_at=NOW)
    paper_write(customer=customer, content=PAPER)
    photo_make(job=Job.objects.get(), by=people["installer"], number=99)
    Photo.objects.filter(done_at=None).update(done_at=NOW, thumbnail="x", print_copy="x")
    return Customer.objects.get(pk=customer.pk)


def erase(customer: Customer, owner, **told) -> Erasure:
    told = {"reason": "Asked for.", "name": customer.name, "now": LATER, **told}
    return customer_erase(customer=customer, by=owner, **told)


def remove_files() -> None:
    for pk in removals_left(now=LATER):
        assert files_remove(pk=pk, now=LATER)


def everything_stored() -> Iterator[tuple[str, str]]:
    """Every column of every row of every table, whatever the table of customer data says."""
    for model in [*apps.get_models(), MigrationRecorder.Migration]:
        for row in model._base_manager.values():
            for column, value in row.items():
                yield (
                    f"{model._meta.label}.{column}",
                    (
                        bytes(value).decode(errors="replace")
                        if isinstance(value, bytes | memoryview)
                        else json.dumps(value, default=str, ensure_ascii=False)
                    ),
                )


def kept_files() -> dict[str, bytes]:
    root = Path(settings.MEDIA_ROOT)
    return {
        path.relative_to(root).as_posix(): path.read_bytes() for path in root.rglob("*") if path.is_file()
    }


def test_no_word_about_the_customer_is_left_in_any_table(customer, owner, office):
    told = {text for text in words_of(customer) if "quillon" in text.casefold()}
    assert len(told) > 25
    token = customer.link_token
    assert any("quillon" in text.casefold() for _, text in everything_stored())
    erase(customer, owner)
    left = [
        place
        for place, text in everything_stored()
        if "quillon" in text.casefold() or token in text or "z9" in text
    ]
    assert left == []


def test_its_files_go_and_those_of_others_stay(customer, people, owner):
    other = house_closed(mark="Vexley", **people)
    theirs = {str(photo.original) for photo in Photo.objects.filter(job__installation__site__customer=other)}
    export = customer_export_request(customer=customer, by=owner, now=NOW)
    assert customer_export_make(pk=export.pk, now=NOW)
    before = kept_files()
    paper = Document.objects.get(sha256=hashlib.sha256(PAPER).hexdigest())
    draft = Path(settings.MEDIA_ROOT) / f"documents/{paper.job_id}/.{paper.pk}-half.pdf.draft"
    draft.write_bytes(b"a draft a killed worker left of Quillon")
    neighbour = draft.with_name(f"{paper.pk}0-of-somebody-else.pdf")
    neighbour.write_bytes(b"another paper")
    erase(customer, owner)
    # Nothing is removed before the rows are committed.
    assert before.items() <= kept_files().items()
    remove_files()
    after = kept_files()
    assert theirs <= set(after)
    kept = {name for name in after if not any(name.startswith(one.rpartition(".")[0]) for one in theirs)}
    assert kept == {neighbour.relative_to(settings.MEDIA_ROOT).as_posix()}
    assert not any(b"Quillon" in content for content in after.values())
    assert words_of(other)
    assert not Photo.objects.filter(job__installation__site__customer=customer).exclude(original="").exists()
    export = CustomerExport.objects.get()
    assert (export.file.name, export.state) == ("", "gone")


def test_another_customers_rows_are_not_touched(customer, people, owner):
    other = house_closed(mark="Vexley", **people)

    def rows() -> dict[str, list[dict[str, object]]]:
        return {held.name: list(held.rows(other).values()) for held in HELD}

    before = rows()
    erase(customer, owner)
    remove_files()
    assert rows() == before


def test_the_technical_record_stays(customer, owner):
    columns = ("pk", "item", "value", "limit", "outcome", "by", "margin")
    answers = list(Answer.objects.order_by("pk").values(*columns))
    measured = list(Answer.objects.exclude(kind="note").order_by("pk").values_list("raw_text", flat=True))
    hashes = list(Photo.objects.order_by("pk").values_list("sha256", flat=True))
    stages = list(StageRecord.objects.order_by("pk").values())
    serial = Certificate.objects.get().serial
    erase(customer, owner)
    remove_files()
    kept = Answer.objects.order_by("pk")
    assert list(kept.values(*columns)) == answers
    assert list(kept.exclude(kind="note").values_list("raw_text", flat=True)) == measured
    assert list(Photo.objects.order_by("pk").values_list("sha256", flat=True)) == hashes
    assert list(StageRecord.objects.order_by("pk").values()) == stages
    assert Certificate.objects.get().serial == serial
    site = Site.objects.get()
    assert (site.country, site.region, site.street, site.postcode) == ("US", "VT", WORD, "")
    paper = Document.objects.get()
    assert (paper.state, paper.sha256) == ("erased", hashlib.sha256(PAPER).hexdigest())
    assert not ServiceSchedule.objects.filter(ended_on=None).exists()
    customer.refresh_from_db()
    assert (customer.name, customer.erased_at) == ("Erased customer", LATER)
    assert customer.reminders_stopped_at == LATER


def test_the_chain_of_hashes_still_holds(customer, owner):
    check = EvidenceCheck(ROWS)
    before = [str(one) for one in check.breaks(Job.objects.all())]
    heads = list(EvidenceEvent.objects.order_by("pk").values_list("hash", flat=True))
    assert EvidencePrivate.objects.exists()
    erase(customer, owner)
    remove_files()
    after = EvidenceCheck(ROWS)
    found = [str(one) for one in after.breaks(Job.objects.all())]
    # Rows that the fixture writes past the services are in no chain, before as after.
    assert set(found) <= set(before)
    assert after.figures.events == len(heads) > 20
    assert list(EvidenceEvent.objects.order_by("pk").values_list("hash", flat=True)) == heads
    assert not EvidencePrivate.objects.exists()


def test_a_chain_that_was_whole_is_whole_afterwards(owner, people):
    sign_off = job_closed(kind="annual sweep", **people)
    job = sign_off.record.job
    for photo in Photo.objects.all():
        photo_prepare(pk=photo.pk, now=NOW)
    Document.objects.update(gave_up_at=NOW)
    assert list(EvidenceCheck(ROWS).breaks(Job.objects.all())) == []
    erase(job.installation.site.customer, owner)
    remove_files()
    check = EvidenceCheck(ROWS)
    assert list(check.breaks(Job.objects.all())) == []
    assert check.figures.events > 20


def test_the_public_page_still_answers_for_the_code_and_for_the_file(customer, owner):
    certificate = Certificate.objects.get()
    erase(customer, owner)
    remove_files()
    page = Client().get(f"/verify/{certificate.verify_code}/")
    assert page.status_code == 200
    assert certificate.serial in page.content.decode()
    sent = SimpleUploadedFile("kept.pdf", PAPER, "application/pdf")
    page = Client().post("/verify/", {"paper": sent}).content.decode()
    assert f"this is the file this shop issued as {certificate.serial}" in page


def test_the_private_link_opens_nothing_any_more(customer, owner):
    token = customer.link_token
    assert Client().get(f"/c/{token}/").status_code == 200
    erase(customer, owner)
    assert Client().get(f"/c/{token}/").status_code == 404


def test_who_opened_papers_is_still_told(customer, owner):
    count = DocumentAccess.objects.count()
    erase(customer, owner)
    assert DocumentAccess.objects.count() == count > 0


def refused(customer: Customer, by, **told) -> str:
    with pytest.raises(JobsError) as refusal:
        erase(customer, by, **told)
    assert not Erasure.objects.exists()
    assert Customer.objects.get(pk=customer.pk).name != "Erased customer"
    return refusal.value.code


class TestRefusals:
    @pytest.fixture
    def customer(self) -> Customer:
        customer = CustomerFactory(name="Quillon  Ember")
        Customer.objects.filter(pk=customer.pk).update(created_at=NOW)
        return customer

    def test_only_an_owner_erases(self, customer, office):
        assert refused(customer, office) == "owner_only"

    def test_it_asks_for_a_reason_and_for_the_name(self, customer, owner):
        assert refused(customer, owner, reason="  ") == "no_reason"
        assert refused(customer, owner, name="Quillon") == "name_differs"
        erase(customer, owner, name=" quillon ember ")

    def test_not_while_a_job_is_open(self, customer, owner):
        job = JobFactory(installation__site__customer=customer)
        assert refused(customer, owner, now=LATER) == "jobs_open"
        Job.objects.filter(pk=job.pk).update(status="cancelled")
        erase(customer, owner)

    def test_not_before_its_time_unless_the_owner_says_why(self, customer, owner):
        JobFactory(installation__site__customer=customer, status="closed", closed_at=NOW)
        day = NOW.replace(year=NOW.year + 10)
        assert refused(customer, owner, now=day - timedelta(days=1)) == "still_kept"
        erasure = erase(customer, owner, now=day - timedelta(days=1), override="They insist.")
        assert erasure.reason == "Asked for. Before 4 May 2036, because: They insist."

    def test_on_the_day_itself_nothing_more_is_asked(self, customer, owner):
        JobFactory(installation__site__customer=customer, status="closed", closed_at=NOW)
        assert erase(customer, owner, now=NOW.replace(year=NOW.year + 10)).reason == "Asked for."

    def test_the_shop_says_how_long_it_keeps(self, customer, owner):
        Shop.current()
        Shop.objects.update(keep_years=2)
        assert refused(customer, owner, now=NOW + timedelta(days=700)) == "still_kept"
        erase(customer, owner, now=NOW + timedelta(days=732))

    def test_not_while_a_mail_waits(self, customer, owner):
        OutgoingMail.objects.create(
            message_id="<1@x>", to="a@house.example", subject="s", text="t", customer=customer,
            requested_at=NOW, due_at=NOW,
        )  # fmt: skip
        assert refused(customer, owner) == "in_hand"

    def test_not_twice(self, customer, owner):
        erase(customer, owner)
        with pytest.raises(JobsError) as refusal:
            erase(Customer.objects.get(), owner)
        assert refusal.value.code == "already_erased"


@pytest.mark.parametrize("by", ["defect", "notice"])
def test_not_while_a_stove_must_not_be_used(by, customer, owner):
    told = {"stage": StageRecord.objects.first(), "opened_by": owner, "opened_at": NOW, "description": "Gap"}
    if by == "defect":
        Defect.objects.create(severity="danger", **told)
    else:
        defect = Defect.objects.create(closed_at=NOW, **told)
        DoNotUseNotice.objects.create(
            defect=defect, document=Document.objects.get(), issued_by=owner, issued_at=NOW
        )
    assert refused(customer, owner) == "danger_stands"


def test_nothing_is_written_about_an_erased_customer(customer, owner):
    erase(customer, owner)
    customer.refresh_from_db()
    job = Job.objects.get()
    for write in (
        lambda: customer_save(customer=customer),
        lambda: job_create(installation=job.installation, kind="repair", by=owner, now=LATER),
        lambda: certificate_issue(sign_off=SignOff.objects.get(), by=owner, now=LATER),
        lambda: care_sheet_request(job=job, now=LATER),
        lambda: notice_plate_request(job=job, now=LATER),
        lambda: hand_over_request(job=job, now=LATER),
        lambda: flue_label_request(job=job, now=LATER),
        lambda: record_reopen(
            record=SignOff.objects.get().record, by=owner, reason="Why", stages=[], now=LATER
        ),
        lambda: defect_grade(
            defect=Defect.objects.create(
                stage=StageRecord.objects.first(), description=WORD, opened_by=owner, opened_at=NOW
            ),
            severity="danger",
            reason="Why",
            by=owner,
            now=LATER,
        ),
    ):
        with pytest.raises(JobsError) as refusal:
            write()
        assert refusal.value.code == "customer_erased"
    assert paper_offers(job) == ()


def test_the_database_lets_nothing_private_go_without_an_erasure(customer, owner):
    """Beside the service: somebody with SQL, or a bug."""
    tries = (
        lambda: Document.objects.update(file=""),
        lambda: Photo.objects.update(original=""),
        lambda: Defect.objects.update(description=WORD),
        lambda: EvidencePrivate.objects.all().delete(),
    )
    for write in tries:
        with pytest.raises(IntegrityError), transaction.atomic():
            write()
    Erasure.objects.create(customer=CustomerFactory(), by=owner, reason="Of somebody else", at=NOW)
    for write in tries:
        with pytest.raises(IntegrityError), transaction.atomic():
            write()


def test_a_failure_in_the_middle_leaves_everything_as_it_was(customer, owner, monkeypatch):
    def fail(**told):
        raise RuntimeError

    before = dict(everything_stored())
    monkeypatch.setattr("inspections.services.erasing.files_removal_request", fail)
    with pytest.raises(RuntimeError):
        erase(customer, owner)
    assert dict(everything_stored()) == before


class TestFileRemoval:
    def test_one_that_fails_is_done_later_and_never_given_up(self, customer, owner, monkeypatch):
        erase(customer, owner)
        with monkeypatch.context() as patch:
            patch.setattr("inspections.services.file_removals.files_drop", lambda **told: 1 / 0)
            now = LATER
            for _ in range(8):
                removal = FileRemoval.objects.get()
                assert not files_remove(pk=removal.pk, now=now)
                now = FileRemoval.objects.get().due_at
        removal = FileRemoval.objects.get()
        assert removal.gave_up_at is None
        assert files_remove(pk=removal.pk, now=now)
        assert kept_files() == {}

    def test_it_is_noted_outside_the_database_once_and_without_a_name(self, customer, owner):
        erase(customer, owner)
        assert not erasure_list_file().exists()
        erasure_list_file().write_text('{"customer": 9, "entered')
        remove_files()
        FileRemoval.objects.update(done_at=None)
        remove_files()
        customer.refresh_from_db()
        assert [(one.customer, one.at) for one in erasure_list_read(erasure_list_file())] == [
            (customer.pk, LATER)
        ]
        assert "Quillon" not in erasure_list_file().read_text()


def test_every_column_of_the_table_that_goes_is_blank_afterwards(customer, owner):
    erase(customer, owner)
    customer.refresh_from_db()
    for held in HELD:
        rows = held.rows(customer)
        if held.goes:
            assert not rows.exists(), held.name
            continue
        for column, leave in held.private.items():
            if leave.fresh:
                continue
            values = set(map(str, rows.filter(leave.where).values_list(column, flat=True)))
            assert values <= {str(leave.value), ""}, (held.name, column)
