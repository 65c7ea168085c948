"""The plan behind a certificate, computed once more: from the database, and from nothing but the file."""

from __future__ import annotations

import io
import json
import shutil
import subprocess
import sys
from pathlib import Path

import jsonschema
import pypdf
import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.urls import reverse

from calcs.rulebook import FOLDER, load_rulebook
from inspections.errors import InspectionsError
from inspections.models import Certificate, SiteRecord
from inspections.queries.recomputing import certificate_recompute, pdf_recompute
from jobs.models import Document, Plan, Survey
from jobs.services.documents import TEMPLATES
from jobs.services.papers import paper_render
from tests.inspections.closing import job_closed
from tests.inspections.proved import guards_off
from tests.inspections.sealed import rendered
from tests.jobs.five import hides, needs_login, refuses_method
from tests.seals import plain_pdf

REAR = "appliance.clearance.rear"


@pytest.fixture
def certificate(office, installer, inspector) -> Certificate:
    return job_closed(office=office, installer=installer, inspector=inspector).certificates.get()


@pytest.fixture
def sweep(office, installer, inspector) -> Certificate:
    told = {"office": office, "installer": installer, "inspector": inspector, "kind": "annual sweep"}
    return job_closed(**told).certificates.get()


def told(*arguments: str, code: int = 0) -> str:
    """What the command prints; with a code, what it says when it ends with it."""
    out = io.StringIO()
    if code == 0:
        call_command("recompute_plan", *arguments, stdout=out)
        return out.getvalue()
    with pytest.raises(CommandError) as refusal:
        call_command("recompute_plan", *arguments, stdout=out)
    assert refusal.value.returncode == code
    return f"{out.getvalue()}{refusal.value}"


def plan_of(certificate: Certificate) -> Plan:
    plan = certificate.sign_off.record.plan
    assert plan is not None
    return plan


def pdf_with(certificate: Certificate, record: dict) -> bytes:
    """A paper that carries another record: what somebody might forge, or an older program have made."""
    document = Document.objects.get(pk=certificate.document_id)
    context = document.context
    context["embedded"]["content"] = record
    # The words of the paper are not what is looked at here.
    slim = {**context, "pictures": [], "photos": [], "drawings": [], "stages": []}
    return paper_render(template=TEMPLATES[document.kind], context=slim)


def record_of(certificate: Certificate) -> dict:
    content: dict = Document.objects.get(pk=certificate.document_id).context["embedded"]["content"]
    return content


def test_certificate_job_plan_and_file_say_the_same_and_the_file_alone_is_enough(certificate, tmp_path):
    file = tmp_path / "certificate.pdf"
    file.write_bytes(rendered(certificate))
    plan = plan_of(certificate)
    names = [certificate.serial, certificate.sign_off.record.job.number, f"plan-{plan.pk}"]
    for arguments in ([one] for one in (*names, names[0].lower())):
        text = told(*arguments)
        assert f"edition {plan.rule_book_edition}, SHA-256 {load_rulebook('us').digest}" in text
        assert "plan of schema 1" in text
        assert text.count(" same ") == len(plan.data["limits"]) > 20
    assert told("--pdf", str(file)).count(" same ") == len(plan.data["limits"])
    here, there = certificate_recompute(certificate).found, pdf_recompute(file.read_bytes()).found
    assert (here.pairs, here.plan.limits) == (there.pairs, there.plan.limits)
    assert told("--all").count("come out as stored") == Plan.objects.count()


def test_the_file_alone_gives_the_same_limits_in_a_process_that_knows_no_shop(certificate):
    # The record is taken out with pypdf, and computed by the command line of the calculations.
    reader = pypdf.PdfReader(io.BytesIO(rendered(certificate)))
    (content,) = reader.attachments["certificate-record.json"]
    plan = json.loads(content)["plan"]
    inputs = {"rulebook": plan["rule_book"], "edition": plan["rule_book_edition"], **plan["inputs"]}
    done = subprocess.run(
        [sys.executable, "-m", "calcs", "plan", "-", "--json"],
        cwd=settings.BASE_DIR, input=json.dumps(inputs), capture_output=True, text=True, check=True,
    )  # fmt: skip
    computed = json.loads(done.stdout)
    assert computed["limits"] == json.loads(content)["limits"] == plan_of(certificate).data["limits"]
    assert computed["rulebook_digest"] == plan["rule_book_sha256"]


def test_a_limit_changed_in_the_database_is_found_and_named(certificate):
    plan = plan_of(certificate)
    plan.data["limits"]["framing.opening"]["minimum"] += 0.01
    Plan.objects.filter(pk=plan.pk).update(data=plan.data)
    text = told(f"plan-{plan.pk}", code=1)
    assert "Different: framing.opening: stored" in text
    assert f"Not as stored: plan-{plan.pk}." in text
    assert text.count("DIFFERENT") == 1
    # The copies that were pinned and frozen tell on it as well.
    text = told(certificate.serial, code=1)
    assert "limits.framing.opening.minimum: in the plan" in text
    assert "pinned when work began" in text
    assert f"in {certificate.serial}" in text


def test_an_input_changed_in_the_database_is_found_and_named(certificate):
    plan = plan_of(certificate)
    plan.data["survey"]["member_spacing"] = 0.5
    Plan.objects.filter(pk=plan.pk).update(data=plan.data)
    text = told(certificate.serial, code=1)
    assert "survey.member_spacing: in the plan 0.5, in the survey it was made from" in text
    assert "inputs.survey.member_spacing: in the plan 0.5" in text


def test_an_input_changed_in_every_copy_still_comes_out_otherwise(certificate):
    plan = plan_of(certificate)
    plan.data["survey"]["attic_height"] += 0.5
    Plan.objects.filter(pk=plan.pk).update(data=plan.data)
    Survey.objects.filter(pk=plan.survey_id).update(attic_height=plan.data["survey"]["attic_height"])
    assert "Different: sections" in told(f"plan-{plan.pk}", code=1)


def test_a_limit_changed_where_it_was_pinned_is_found_and_named(certificate):
    record = certificate.sign_off.record
    record.limits["framing.opening"]["minimum"] = 0.1
    guards_off()
    SiteRecord.objects.filter(pk=record.pk).update(limits=record.limits)
    assert "limits.framing.opening.minimum: in the plan" in told(certificate.serial, code=1)


@pytest.mark.parametrize("place", ["limits", "inputs"])
def test_a_figure_changed_in_the_file_is_found_and_named(certificate, place, tmp_path):
    record, file = record_of(certificate), tmp_path / "forged.pdf"
    if place == "limits":
        record["limits"]["framing.opening"]["minimum"] = 0.1
    else:
        record["plan"]["inputs"]["chimney"]["clearance"] = 0.01
    file.write_bytes(pdf_with(certificate, record))
    text = told("--pdf", str(file), code=1)
    if place == "limits":
        assert "framing.opening: stored at least 0.1 m" in text
        assert "limits.framing.opening.minimum: in the file 0.1, on file in the shop" in text
    else:
        assert "chimney.clearance: stored" in text
        assert "plan.inputs.chimney.clearance: in the file 0.01, on file in the shop" in text


def test_another_edition_than_the_stored_one_is_told_with_the_file_to_put_back(certificate, tmp_path):
    books = Path(shutil.copytree(FOLDER, tmp_path / "rulebooks"))
    text = (books / "us.toml").read_text(encoding="utf-8")
    (books / "us.toml").write_text(text.replace('edition = "2025-1"', 'edition = "2031-1"', 1))
    told_so = told(certificate.serial, "--books", str(books), code=2)
    assert "calcs/rulebooks/editions/us-2025-1.toml" in told_so
    (books / "editions").mkdir(exist_ok=True)
    (books / "editions" / "us-2025-1.toml").write_text(text)
    assert "come out as stored" in told(certificate.serial, "--books", str(books))


def test_a_file_of_the_first_version_is_read_as_before(certificate):
    record = record_of(certificate)
    record["version"] = 1
    del record["plan"]["rule_book_sha256"], record["earlier_sign_offs"]
    first = json.loads((settings.BASE_DIR / "docs" / "schemas" / "certificate-record.1.json").read_text())
    jsonschema.Draft202012Validator(first).validate(record)
    assert pdf_recompute(pdf_with(certificate, record)).found.same


def test_a_certificate_without_a_plan_of_its_own_says_so(sweep):
    assert "rests on no plan of its own" in told(sweep.serial, code=2)
    with pytest.raises(InspectionsError) as refusal:
        pdf_recompute(rendered(sweep))
    assert refusal.value.code == "no_plan"


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "not_a_pdf"),
        (b"%PDF-1.7\n" + b"<<" * 5000, "not_a_pdf"),
        (plain_pdf(), "no_record"),
    ],
    ids=["empty", "broken", "without a record"],
)
def test_a_file_that_is_no_certificate_is_refused_in_words(content, code):
    with pytest.raises(InspectionsError) as refusal:
        pdf_recompute(content)
    assert refusal.value.code == code


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "Name a certificate"),
        (["FW-000099"], "no certificate FW-000099"),
        (["J-0099"], "no job J-0099"),
        (["plan-99"], "no plan-99"),
        (["everything"], "none of FW-000012"),
        (["--pdf", "/nowhere/at/all.pdf"], "No such file"),
    ],
)
def test_what_cannot_be_found_is_told_in_a_sentence(arguments, words):
    assert words in told(*arguments, code=2)


# The page


def page(certificate: Certificate) -> str:
    return reverse("certificate_recompute", args=[certificate.document_id])


@pytest.mark.parametrize("who", ["owner", "office", "inspector", "installer"])
def test_the_page_shows_the_same_table(who, certificate, as_user, request):
    client = as_user(request.getfixturevalue(who))
    detail = client.get(reverse("certificate_detail", args=[certificate.document_id])).content.decode()
    assert page(certificate) in detail
    text = client.get(page(certificate)).content.decode()
    assert "Everything as stored" in text
    assert text.count('data-verdict="pass">Same') == len(plan_of(certificate).data["limits"]) + 1
    assert load_rulebook("us").digest in text


def test_the_page_names_what_differs(certificate, as_user, inspector):
    plan = plan_of(certificate)
    plan.data["limits"]["framing.opening"]["minimum"] = 0.1
    Plan.objects.filter(pk=plan.pk).update(data=plan.data)
    text = as_user(inspector).get(page(certificate)).content.decode()
    assert "Not as stored" in text
    assert "framing.opening: stored at least 0.1 m" in text
    assert text.count('data-verdict="fail">Different') == 2


def test_the_page_of_a_certificate_without_a_plan_says_so(sweep, as_user, inspector):
    client = as_user(inspector)
    assert "rests on no plan of its own" in client.get(page(sweep)).content.decode()
    detail = client.get(reverse("certificate_detail", args=[sweep.document_id])).content.decode()
    assert page(sweep) not in detail


def test_who_is_turned_away(sweep, as_user, stranger, inspector):
    needs_login(page(sweep))
    hides(as_user(stranger), page(sweep))
    refuses_method(as_user(inspector), page(sweep), "post")
