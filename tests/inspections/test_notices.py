"""A danger puts the notice out, once, in the transaction that records it; its end lifts it."""

from __future__ import annotations

import io
from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from pypdf import PdfReader

from inspections.errors import InspectionsError
from inspections.models import Defect, DoNotUseNotice
from inspections.queries.open_defects import dangers_of
from inspections.services.answers import answer_record
from inspections.services.defects import defect_grade, defect_report, waiver_accept
from inspections.services.notices import notice_issue, notice_told
from jobs.models import Customer, Document, OutgoingMail, Shop
from jobs.services.documents import document_content, document_render
from tests.factories import NOW
from tests.inspections.closing import photo_make
from tests.inspections.sending import entry

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop(db):
    Shop.current()
    Shop.objects.update(name="Emberline", email="office@shop.example", phone="555 0100")


@pytest.fixture
def danger(stage, installer):
    def report(description="Flue open in the attic", **told):
        whole = {"stage": stage("sealing"), "severity": "danger", "by": installer, "now": NOW}
        return defect_report(description=description, **{**whole, **told})

    return report


def texts(to: str) -> list[str]:
    return list(OutgoingMail.objects.filter(to=to).order_by("pk").values_list("text", flat=True))


def customer_of(job) -> Customer:
    return job.installation.site.customer


def test_a_danger_puts_paper_and_mails_out_with_it(danger, job):
    defect = danger(place="Second joint from the ceiling")
    notice = DoNotUseNotice.objects.get()
    assert (notice.defect, notice.document.kind) == (defect, "do-not-use notice")
    assert notice.document.for_customer
    [text] = texts(customer_of(job).email)
    # The mail stands for itself: a customer may never open the paper.
    for said in (
        "DO NOT USE THE STOVE", "Flue open in the attic", "Second joint from the ceiling", "Do not light it",
        "let it go out by itself", "Open windows", "call 911 from outside", "tag on the appliance",
        "before this notice is lifted in writing", customer_of(job).link_token,
    ):  # fmt: skip
        assert said in text, said
    [office] = texts("office@shop.example")
    assert "Telephone as well" in office


def test_an_office_without_an_address_is_told_at_those_of_its_people(danger, job, office):
    Shop.objects.update(email="")
    danger()
    [text] = texts(office.email)
    assert DoNotUseNotice.objects.get().office_mail == OutgoingMail.objects.get(to=office.email)
    assert "Flue open in the attic" in text


def test_what_is_to_be_corrected_puts_no_notice_out(danger):
    danger(severity="correct")
    assert not DoNotUseNotice.objects.exists()
    assert not OutgoingMail.objects.exists()


def test_a_danger_from_a_tablet_puts_it_out_once_however_often_it_is_sent(on_site, job):
    sent = entry("defect", "sealing", "", "Flue open", severity="danger")
    for _ in range(3):
        on_site.send_one(sent)
    assert DoNotUseNotice.objects.count() == 1
    assert len(texts(customer_of(job).email)) == 1


def test_a_danger_put_right_in_the_same_batch_alarms_nobody(on_site):
    sent = entry("defect", "sealing", "", "Flue open", severity="danger")
    right = entry("answer", "sealing", f"defect-{sent.entry.hex[:12]}", "yes")
    on_site.send(sent, right)
    assert not Defect.objects.get().is_open
    assert not DoNotUseNotice.objects.exists()


def test_no_second_notice_holds_beside_the_first(danger, installer):
    defect = danger()
    notice = DoNotUseNotice.objects.get()
    assert notice_issue(defect=defect, by=installer, now=NOW) == notice
    copy = Document.objects.create(
        job=notice.document.job, kind="do-not-use notice", title="x", context={}, requested_at=NOW, due_at=NOW
    )
    told = {"defect": defect, "document": copy, "issued_by": installer, "issued_at": NOW}
    with pytest.raises(IntegrityError), transaction.atomic():
        DoNotUseNotice.objects.create(**told)


def test_grading_to_danger_puts_it_out_and_grading_down_lifts_it(danger, inspector, job):
    defect = danger(severity="correct")
    told = {"defect": defect, "by": inspector, "now": NOW}
    defect_grade(severity="danger", reason="It is through.", **told)
    assert DoNotUseNotice.objects.get().is_out
    assert dangers_of(job.installation) == [defect]
    defect_grade(severity="correct", reason="Only the skin.", **told)
    notice = DoNotUseNotice.objects.get()
    assert not notice.is_out
    assert "Only the skin." in notice.lifted_by_what
    assert dangers_of(job.installation) == []
    defect_grade(severity="danger", reason="It is through after all.", **told)
    assert DoNotUseNotice.objects.filter(lifted_at=None).count() == 1


def test_the_evidence_that_closes_it_lifts_it_and_is_named(danger, stage, installer, job):
    defect = danger()
    later = NOW + timedelta(hours=1)
    answer_record(stage=stage("sealing"), item=defect.item, raw_text="yes", by=installer, now=later)
    notice = DoNotUseNotice.objects.get()
    assert notice.lifted_at == later
    assert installer.name in notice.lifted_by_what
    assert notice.document.withdrawn_at == later
    lifted = texts(customer_of(job).email)[-1]
    assert "is lifted" in lifted
    assert notice.lifted_by_what in lifted
    assert "You may take the tag off" in lifted


def test_a_waiver_lifts_it_by_its_authority(danger, inspector):
    told = {"authority": "Fire marshal", "reason": "Disused flue, capped.", "by": inspector, "now": NOW}
    waiver_accept(defect=danger(), **told)
    assert "authority of Fire marshal" in DoNotUseNotice.objects.get().lifted_by_what


def test_one_lifted_of_two_says_that_the_stove_stays_out_of_use(danger, stage, installer, job):
    first, _ = danger(), danger("Hearth burnt through")
    answer_record(stage=stage("sealing"), item=first.item, raw_text="yes", by=installer, now=NOW)
    text = texts(customer_of(job).email)[-1]
    assert "STILL NOT TO BE USED" in text
    assert "take the tag off" not in text
    assert len(dangers_of(job.installation)) == 1


class TestWithoutAnAddress:
    @pytest.fixture
    def notice(self, danger, job):
        Customer.objects.update(email="")
        danger()
        return DoNotUseNotice.objects.get()

    def test_the_office_is_asked_to_hand_it_over(self, notice, as_user, office):
        assert notice.wants_telling
        assert "THE CUSTOMER HAS NO MAIL ADDRESS" in texts("office@shop.example")[0]
        assert "Hand over by hand, or telephone" in as_user(office).get("/").content.decode()

    def test_who_told_the_customer_is_kept(self, notice, as_user, installer, job):
        path = reverse("notice_told", args=[job.installation_id, notice.pk])
        page = as_user(installer).post(path, follow=True).content.decode()
        notice.refresh_from_db()
        assert notice.told_by == installer
        assert f"told by {installer.name}" in page
        assert "I have told the customer" not in page

    def test_it_is_told_once(self, notice, installer):
        notice_told(notice=notice, by=installer, now=NOW)
        with pytest.raises(InspectionsError) as refused:
            notice_told(notice=notice, by=installer, now=NOW)
        assert refused.value.code == "already_told"

    def test_it_turns_others_away(self, notice, turns_away, job):
        turns_away(reverse("notice_told", args=[job.installation_id, notice.pk]), method="post")


def test_every_page_about_the_stove_says_so_at_the_top(danger, as_user, installer, client, job):
    danger()
    customer = customer_of(job)
    for path in (
        "/", reverse("installation_detail", args=[job.installation_id]), reverse("job_detail", args=[job.pk]),
        reverse("work", args=[job.pk]), reverse("stage", args=[job.pk, "sealing"]),
    ):  # fmt: skip
        page = as_user(installer).get(path).content.decode()
        assert "Do not use" in page, path
        assert "Flue open in the attic" in page, path
    own = client.get(reverse("customer_page", args=[customer.link_token])).content.decode()
    assert "Do not use this stove" in own
    assert "call 911 from outside" in own


def test_the_paper_says_all_of_it_has_a_tag_and_is_sealed(danger, installer, job):
    photos = [photo_make(job=job, by=installer, number=number) for number in (1, 2)]
    danger(place="Second joint", photos=photos)
    document = DoNotUseNotice.objects.get().document
    assert document_render(pk=document.pk, now=NOW)
    document.refresh_from_db()
    assert document.sealed_with is not None
    pdf = PdfReader(io.BytesIO(document_content(document=document)))
    pages = [page.extract_text() for page in pdf.pages]
    assert len(pages) == 2
    said = " ".join(" ".join(pages).split())
    for words in ("Flue open in the attic", "Second joint", "What to do now", "Until when", "Cut here"):
        assert words in said, words
    assert "Photo 2 of the defect as found" in said


def test_the_paper_of_another_danger_is_no_replacement_and_a_lifted_one_says_so(
    danger, installer, stage, client, job
):
    first, _ = danger(), danger("Hearth burnt through")
    for document in Document.objects.filter(kind="do-not-use notice"):
        document_render(pk=document.pk, now=NOW)
    path = reverse("customer_page", args=[customer_of(job).link_token])
    assert "replaced by a newer one" not in client.get(path).content.decode()
    answer_record(stage=stage("sealing"), item=first.item, raw_text="yes", by=installer, now=NOW)
    page = client.get(path).content.decode()
    assert page.count("lifted: it no longer holds") == 1
