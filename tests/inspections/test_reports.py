"""An inspection report: its title, its finding, what it compares, and that it is sealed and counts."""

from __future__ import annotations

import re
import subprocess
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from inspections.models import Defect
from inspections.services.certificates import certificate_issue
from jobs.models import REPORTED, Document, DocumentKind, JobKind, Shop
from jobs.queries.documents import documents_of_job, replacement_of
from jobs.services.documents import SEALED, TEMPLATES
from tests.factories import NOW, SurveyFactory
from tests.inspections.closing import job_closed
from tests.inspections.proved import guards_off
from tests.inspections.sealed import rendered
from tests.inspections.test_certificate_record import complaints
from tests.inspections.visits import visit_closed
from tests.paper import FONTS, Paper
from tests.seals import pdfsig

pytestmark = pytest.mark.django_db
SWEEP = JobKind.ANNUAL_SWEEP
TITLES = {
    JobKind.ANNUAL_SWEEP: "Sweep report",
    JobKind.INSPECTION_1: "Inspection report, level 1",
    JobKind.INSPECTION_2: "Inspection report, level 2",
    JobKind.INSPECTION_3: "Inspection report, level 3",
    JobKind.INSPECTION_AFTER_FIRE: "Inspection report after a chimney fire",
    JobKind.INSPECTION_ON_SALE: "Inspection report on sale of the house",
}


@pytest.fixture
def close(technician, inspector):
    """Return a function that works a visit to one house from end to end."""
    Shop.current()
    Shop.objects.update(name="Lantern Hill Stoves", phone="(802) 555-0142")
    house = SurveyFactory().installation

    def close(kind=SWEEP, now=NOW, installation=house, **answers):
        return visit_closed(
            installation=installation, kind=kind, now=now, by=technician.user, inspector=inspector,
            answers=answers,
        )  # fmt: skip

    return close


def context_of(sign_off) -> dict:
    return sign_off.certificates.first().document.context


@pytest.mark.parametrize("kind", sorted(REPORTED))
def test_each_kind_walks_from_job_to_signed_report(close, kind):
    sign_off = close(kind)
    certificate = sign_off.certificates.get()
    document, context = certificate.document, certificate.document.context
    assert (document.kind, document.title) == (DocumentKind.REPORT, f"{TITLES[kind]} {certificate.serial}")
    assert (certificate.paper, certificate.noun) == ("Inspection report", "report")
    assert sign_off.record.job.status == "closed"
    assert context["finding"]["word"] == "May be used"
    assert context["scope"]["covers"]
    assert context["scope"]["leaves_out"]
    assert {one["change"] for one in context["compared"]} <= {"first", "unseen"}
    assert [one["service"] for one in context["next_due"]]
    assert complaints(context["embedded"]["content"]) == []


def test_a_new_installation_keeps_its_closing_certificate(office, installer, inspector):
    sign_off = job_closed(office=office, installer=installer, inspector=inspector)
    certificate = sign_off.certificates.get()
    assert certificate.document.kind == DocumentKind.CERTIFICATE
    assert certificate.document.title == f"Closing certificate {certificate.serial}"
    assert "finding" not in certificate.document.context


def test_a_report_has_its_template_and_is_sealed():
    assert TEMPLATES[DocumentKind.REPORT] == "documents/report.html"
    assert DocumentKind.REPORT in SEALED


@pytest.mark.parametrize(
    ("answers", "word"),
    [
        ({"moisture": "24 %"}, "May be used"),
        ({"co_alarm": "none"}, "May be used when put right"),
        ({"connector_sound": "bad", "co_alarm": "none"}, "Do not use"),
    ],
)
def test_the_finding_is_as_grave_as_the_gravest_open_defect(close, answers, word):
    context = context_of(close(**answers))
    assert context["finding"]["word"] == word
    open_now = Defect.objects.filter(closed_at=None, carried_from=None).count()
    assert sum(one["count"] for one in context["counts"]) == len(answers) == open_now


def test_defects_are_told_by_severity_with_rule_photo_and_who_puts_them_right(close):
    context = context_of(close(connector_sound="bad", co_alarm="none", moisture="24 %"))
    told = context["open_defects"]
    assert [group["severity"] for group in told] == ["danger", "correct", "advice"]
    danger, correct = told[0]["defects"][0], told[1]["defects"][0]
    assert (danger["place"], danger["number"]) == ("Connector", 1)
    assert danger["photo"] in context["pictures"]
    assert "R315" in correct["rule"]
    assert re.fullmatch(r"J-\d{4}", danger["taken_over"])
    assert all("licensed or registered" in group["by_whom"] for group in told[:2])
    assert [line["number"] for line in context["front_defects"]] == [1, 2, 3]


def test_what_was_not_reached_is_told_and_judged_nowhere(close):
    context = context_of(close(attic_part="not_reached", roof_seen="not_reached"))
    not_reached = " ".join(context["scope"]["not_reached"])
    assert "chimney through the attic" in not_reached
    assert "it could not be seen safely" in not_reached
    attic = next(one for one in context["compared"] if one["name"].startswith("Chimney through"))
    assert (attic["now"]["word"], attic["now"]["verdict"]) == ("Not looked at", "recorded")


def test_no_fire_is_lit_with_a_danger_open_and_the_report_says_what_was_not_tested(close):
    context = context_of(close(JobKind.INSPECTION_AFTER_FIRE, liner_heat="bad", test_fire="not_reached"))
    assert context["finding"]["word"] == "Do not use"
    assert any("were not tested" in one for one in context["scope"]["not_reached"])
    assert "Draft at the service" not in {one["name"] for one in context["trends"]}


def test_what_an_earlier_visit_left_open_still_stands_in_the_next_report(close):
    close(now=NOW - timedelta(days=360), connector_sound="bad")
    context = context_of(close())
    assert context["finding"]["word"] == "Do not use"
    assert context["open_defects"] == []
    assert [one["word"] for one in context["earlier_defects"]] == ["Immediate danger"]


def test_levels_defer_to_the_rules_of_the_country(close):
    british = SurveyFactory(
        installation__site__country="GB",
        installation__site__unit_system="metric",
        installation__site__time_zone="Europe/London",
    )
    context = context_of(close(JobKind.INSPECTION_1, installation=british.installation))
    assert "In the United Kingdom" in context["scope"]["local"]
    assert "NFPA 211, known second-hand" in context["scope"]["local"]


@pytest.fixture
def report(close):
    """The report of a second sweep, and its certificate."""
    close(now=NOW - timedelta(days=360), deposit_before="1/16 in", appliance_body="worn")
    sign_off = close(deposit_before="1/4 in", connector_sound="bad", attic_part="not_reached")
    return sign_off.certificates.get()


def test_the_paper_is_whole_sealed_and_says_first_what_matters(report, tmp_path):
    content = rendered(report)
    paper = Paper(content, tmp_path)
    first = paper.page(1)
    for words in (
        "Sweep report", report.serial, "Do not use", "Immediate danger: 1", "What was inspected",
        "What was not", "What was found", "Next due",
    ):  # fmt: skip
        assert words in first, words
    text = paper.text
    for words in (
        "What must be put right", "What could not be seen or judged", "compared with May 9, 2025",
        "What was measured", "at most 1/8 in", "It is no warranty", "Photographs", "Not seen this time",
    ):  # fmt: skip
        assert words in text, words
    assert paper.pages < 20
    assert paper.fonts <= FONTS
    assert paper.pictures >= len(report.document.context["pictures"])
    assert "Signature is Valid" in pdfsig(content, tmp_path)
    attached = subprocess.run(
        ["pdfdetach", "-list", str(paper.path)], capture_output=True, text=True, check=True
    )
    assert "certificate-record.json" in attached.stdout


def test_the_public_page_calls_it_an_inspection_report(report, as_user, inspector):
    public = Client().get(reverse("verify_certificate", args=[report.verify_code])).content.decode()
    assert f"Inspection report {report.serial}" in public
    assert "<dt>Paper</dt><dd>Inspection report</dd>" in public
    page = as_user(inspector).get(reverse("certificate_detail", args=[report.document_id])).content.decode()
    assert "This report counts" in page
    job = report.sign_off.record.job
    assert "Number and mark" in as_user(inspector).get(reverse("job_detail", args=[job.pk])).content.decode()
    record = as_user(inspector).get(reverse("record_review", args=[job.pk])).content.decode()
    assert reverse("record_compared", args=[job.pk]) in record


def test_the_customer_finds_it_among_the_papers(report):
    rendered(report)
    customer = report.sign_off.record.job.installation.site.customer
    page = Client().get(reverse("customer_page", args=[customer.link_token])).content.decode()
    assert report.document.title in page


def test_one_issued_again_compares_with_the_same_visits(report, inspector):
    new = certificate_issue(
        sign_off=report.sign_off, by=inspector, now=NOW, supersedes=report, reason="Wrong street."
    )
    assert new.document.kind == DocumentKind.REPORT
    before, after = report.document.context, new.document.context
    assert before["compared"] == after["compared"]
    assert before["trends"] == after["trends"]
    assert after["supersedes"]["serial"] == report.serial


def test_it_takes_the_place_of_a_certificate_that_a_sweep_had_in_earlier_days(report, inspector):
    guards_off()
    Document.objects.filter(pk=report.document_id).update(kind=DocumentKind.CERTIFICATE)
    old = Document.objects.get(pk=report.document_id)
    assert not documents_of_job(old.job).get(pk=old.pk).is_replaced
    new = certificate_issue(
        sign_off=report.sign_off, by=inspector, now=NOW, supersedes=report, reason="Wrong street."
    )
    assert documents_of_job(old.job).get(pk=old.pk).is_replaced
    assert not documents_of_job(old.job).get(pk=new.document_id).is_replaced
    assert replacement_of(old) == new.document
    assert replacement_of(new.document) is None
