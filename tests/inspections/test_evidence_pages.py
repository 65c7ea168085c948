"""The evidence log on its page and in its file, which proves itself without this program."""

from __future__ import annotations

import json
import re
import subprocess
import sys

import jsonschema
import pytest
from django.conf import settings
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inspections.queries.evidence_log import evidence_lines
from jobs.models import Erasure, EvidenceEvent, EvidencePrivate
from tests.factories import NOW
from tests.inspections.closing import job_closed
from tests.inspections.proved import breaks, job_proved

pytestmark = pytest.mark.django_db
DOCS = settings.BASE_DIR / "docs"


@pytest.fixture
def proved(office, installer, inspector):
    return job_proved(office=office, installer=installer, inspector=inspector)


@pytest.fixture
def script(tmp_path):
    """The very script that docs/evidence.md prints, run as anybody would."""
    (code,) = re.findall(r"```python\n(.*?)```", (DOCS / "evidence.md").read_text(), re.DOTALL)
    path = tmp_path / "verify.py"
    path.write_text(code)

    def run(content: str, *heads: str) -> tuple[int, str]:
        file = tmp_path / "evidence.jsonl"
        file.write_text(content, encoding="utf-8", newline="\n")
        done = subprocess.run(
            [sys.executable, "-I", "-W", "ignore::ResourceWarning", path, file, *heads],
            capture_output=True, text=True, check=False,
        )  # fmt: skip
        return done.returncode, done.stdout + done.stderr

    return run


def whole(job) -> str:
    return "".join(f"{line}\n" for line in evidence_lines(job))


def test_the_page_lists_events_with_head_actor_and_what_is_hashed(as_user, inspector, job, answer):
    answer("ceiling_support", "ceiling_clearance", "1 1/2", device="Tablet Seven")
    last = EvidenceEvent.objects.filter(job=job).last()
    page = as_user(inspector).get(reverse("record_evidence", args=[job.pk])).content.decode()
    assert last.hash in page
    assert "<strong>Answer</strong>: ceiling support, ceiling clearance, 1 1/2, fail" in page
    assert "<strong>Defect opened</strong>" in page
    assert "<strong>Status changed</strong>: scheduled to on site" in page
    assert "Ivo Installer" in page
    assert "Tablet Seven" in page
    review = as_user(inspector).get(reverse("record_review", args=[job.pk])).content.decode()
    assert last.hash in review
    assert f"{last.number} events" in review


def test_the_page_costs_the_same_however_many_events(as_user, inspector, job, answer, record):
    client, path = as_user(inspector), reverse("record_evidence", args=[job.pk])
    client.get(path)
    with CaptureQueriesContext(connection) as few:
        client.get(path)
    for count in range(30):
        answer("ceiling_support", "ceiling_clearance", f"{count + 2} in")
    with CaptureQueriesContext(connection) as many:
        assert "page 1 of" not in client.get(path).content.decode()
    assert len(many) == len(few)


def test_long_chains_come_in_pages(as_user, inspector, proved):
    client, path = as_user(inspector), reverse("record_evidence", args=[proved.pk])
    (pages,) = re.findall(r"page 1 of (\d+)", client.get(path).content.decode())
    assert int(pages) > 1
    last = EvidenceEvent.objects.filter(job=proved).last()
    assert f'aria-label="Event {last.number}"' in client.get(path, {"page": pages}).content.decode()


@pytest.mark.parametrize("name", ["record_evidence", "record_evidence_file"])
def test_it_is_for_those_who_may_see_the_record(name, turns_away, record):
    turns_away(reverse(name, args=[record.job_id]), method="get")


def test_the_file_keeps_to_the_published_schema_and_proves_itself(as_user, inspector, proved, script):
    response = as_user(inspector).get(reverse("record_evidence_file", args=[proved.pk]))
    content = b"".join(response.streaming_content).decode()
    assert response["Content-Disposition"] == f'attachment; filename="{proved.number}-evidence.jsonl"'
    schema = json.loads((DOCS / "schemas" / "evidence-event.1.json").read_text())
    checker = jsonschema.Draft202012Validator(schema)
    for line in content.splitlines():
        assert checker.is_valid(json.loads(line)), line
    head = proved.site_record.sign_offs.last().certificates.last().document.context["chain_head"]
    code, said = script(content, head, "0" * 64)
    events = EvidenceEvent.objects.filter(job=proved)
    assert code == 0, said
    assert f"{events.count()} events hold. The head is {events.last().hash}" in said
    assert f"{head} is in the chain." in said
    assert f"{'0' * 64} IS NOT IN THE CHAIN." in said


def test_coreutils_says_of_a_line_what_the_next_one_holds(proved, tmp_path):
    file = tmp_path / "evidence.jsonl"
    file.write_text(whole(proved), encoding="utf-8", newline="\n")
    told = subprocess.run(
        f"sed -n 1p {file} | tr -d '\\n' | sha256sum", shell=True, capture_output=True, text=True, check=True
    )
    openssl = subprocess.run(
        ["openssl", "dgst", "-sha256", "-r"], input=whole(proved).split("\n")[0].encode(),
        capture_output=True, check=True,
    )  # fmt: skip
    following = EvidenceEvent.objects.get(job=proved, number=2).previous
    assert told.stdout.split()[0] == openssl.stdout.decode().split()[0] == following


def test_the_script_finds_what_was_changed_in_a_file(proved, script):
    lines = whole(proved).splitlines()
    private = next(at for at, line in enumerate(lines) if "private_of" in line)
    forged = {
        "follow": [*lines[:3], lines[3].replace("2026", "2025", 1), *lines[4:]],
        "private part": [*lines[:private], lines[private].replace("salt", "salt", 1).replace(
            json.loads(lines[private])["salt"][:8], "00000000"), *lines[private + 1:]],
        "end is missing": lines[:-1],
    }  # fmt: skip
    for words, told in forged.items():
        code, said = script("\n".join(told) + "\n")
        assert code == 1
        assert words in said


def test_after_an_erasure_the_file_is_without_the_private_parts_and_still_holds(
    as_user, inspector, owner, proved, script
):
    assert "cracked tile" in whole(proved)
    customer = proved.installation.site.customer
    Erasure.objects.create(customer=customer, by=owner, reason="They asked for it.", at=NOW)
    EvidencePrivate.objects.filter(event__job=proved).delete()
    content = whole(proved)
    assert "cracked tile" not in content
    assert script(content)[0] == 0
    assert breaks() == []
    page = as_user(inspector).get(reverse("record_evidence", args=[proved.pk])).content.decode()
    assert "Forgotten when the customer’s data was erased." in page


def test_verifying_more_jobs_asks_no_more_of_the_database(office, installer, inspector):
    people = {"office": office, "installer": installer, "inspector": inspector, "kind": "annual sweep"}
    job_closed(**people)
    with CaptureQueriesContext(connection) as one:
        assert breaks(files=False) == []
    for _ in range(2):
        job_closed(**people)
    with CaptureQueriesContext(connection) as three:
        assert breaks(files=False) == []
    assert len(three) == len(one)
