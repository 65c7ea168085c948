"""Work that a tablet could not send, brought in at the desk."""

from __future__ import annotations

import base64
import json
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from jsonschema import Draft202012Validator

from inspections.models import Answer, Photo, TabletEntry
from inspections.queries.brought_rows import brought_rows, tally
from inspections.schemas import schemas_written
from inspections.services.bring_in import unsent_bring_in
from inspections.services.unsent_work import MOST_ENTRIES
from jobs.errors import JobsError
from tests.factories import NOW
from tests.inspections.closing import job_ready_to_begin
from tests.inspections.pictures import photo as picture
from tests.inspections.tablet import Tablet, entry, sha256

pytestmark = pytest.mark.django_db
DEVICE = "5f0c7c0e-1f1e-4c55-9d0e-0f4b3a7b9d10"


@pytest.fixture
def tablet(installer, as_user) -> Tablet:
    return Tablet(installer, as_user(installer))


@pytest.fixture
def saved(installer):
    """Return a function that gives the bytes of a file as the installer's tablet saves it."""

    def make(*entries: Any, **told: Any) -> bytes:
        file = {
            "format": "fluewright unsent work", "version": 1, "made_at": "2026-05-04T17:00:00-04:00",
            "device": DEVICE, "person": {"id": installer.pk, "name": installer.name}, "part": 1, "parts": 1,
            "entries": list(entries), **told,
        }  # fmt: skip
        return json.dumps(file).encode()

    return make


@pytest.fixture
def confirmed(record):
    """Return a function that makes an entry of a file confirming an item."""

    def make(**told: Any) -> dict[str, Any]:
        first = record.stages.order_by("position").first().key
        return {
            **entry("answer", stage=first, item="instructions_on_site", text="yes"),
            "job": record.job_id,
            **told,
        }

    return make


def pictured(record, **told: Any) -> dict[str, Any]:
    whole = picture()
    written = {
        "sha256": sha256(whole), "size": len(whole), "media_type": "image/jpeg",
        "bytes": base64.b64encode(whole).decode(), **told,
    }  # fmt: skip
    made = entry("photo", stage="before_work", item="label_photo", photo=written)
    return {**made, "job": record.job_id}


def upload(client, content: bytes):
    file = SimpleUploadedFile("unsent.json", content, "application/json")
    return client.post(reverse("bring_in"), {"file": file})


def outcomes(brought) -> list[str]:
    return [one.outcome for one in brought.entries]


def test_it_counts_as_the_work_of_who_made_it_and_tells_who_brought_it(saved, confirmed, office, installer):
    brought = unsent_bring_in(content=saved(confirmed()), by=office, now=NOW)
    assert outcomes(brought) == ["accepted"]
    assert Answer.objects.get().by == installer
    kept = TabletEntry.objects.get()
    assert (kept.by, kept.brought_in_by, kept.device) == (installer, office, DEVICE)
    assert kept.clock_skew is None


def test_a_file_brought_in_twice_is_kept_once(saved, confirmed, record, office):
    content = saved(confirmed(), pictured(record))
    first, second = (unsent_bring_in(content=content, by=office, now=NOW) for _ in range(2))
    assert outcomes(first) == ["accepted", "accepted"]
    assert outcomes(second) == ["there already", "there already"]
    assert (Answer.objects.count(), TabletEntry.objects.count(), Photo.objects.count()) == (2, 2, 1)


def test_what_the_tablet_sent_meanwhile_is_there_already(saved, confirmed, office, tablet, job):
    told = confirmed()
    tablet.send(job, told)
    assert outcomes(unsent_bring_in(content=saved(told), by=office, now=NOW)) == ["there already"]
    assert Answer.objects.count() == 1


def test_the_tablet_is_acknowledged_for_what_was_brought_in(saved, confirmed, office, tablet, job):
    told = confirmed()
    unsent_bring_in(content=saved(told), by=office, now=NOW)
    (result,) = tablet.send(job, told).json()["results"]
    assert (result["outcome"], result["entry"]) == ("accepted", told["entry"])
    assert Answer.objects.count() == 1


def test_a_photo_comes_with_its_bytes(saved, record, office):
    unsent_bring_in(content=saved(pictured(record)), by=office, now=NOW)
    assert Answer.objects.get().photo == Photo.objects.get()
    assert Photo.objects.get().sha256 == sha256(picture())


@pytest.mark.parametrize("bad", ["", "!!!", "AAAA", None, 7, ["A"], "é"])
def test_a_photo_that_is_not_the_one_taken_is_refused_alone(saved, confirmed, record, office, bad):
    content = saved(pictured(record, bytes=bad), confirmed())
    brought = unsent_bring_in(content=content, by=office, now=NOW)
    assert outcomes(brought) == ["refused", "accepted"]
    assert "not the one that was taken" in brought.entries[0].sentence
    assert not Photo.objects.exists()


def test_a_sign_off_is_not_taken_from_a_file(saved, confirmed, record, office):
    ink = {"strokes": [], "width": 400, "height": 120, "name": "Petra Inspector"}
    written = {**entry("sign_off", signature=ink), "job": record.job_id}
    brought = unsent_bring_in(content=saved(confirmed(), written), by=office, now=NOW)
    assert outcomes(brought) == ["accepted", "refused"]
    assert "signs in and signs the job off" in brought.entries[1].sentence


def test_bad_entries_do_not_spoil_the_good_ones(saved, confirmed, office):
    bad = [7, None, [], {}, {"job": True}, {"job": 10**30}, confirmed(job=987654), confirmed(kind="song")]
    brought = unsent_bring_in(content=saved(*bad, confirmed()), by=office, now=NOW)
    assert outcomes(brought) == [*["refused"] * len(bad), "accepted"]
    assert all(one.sentence for one in brought.entries[:-1])
    assert tally(brought.entries) == "1 accepted, 8 refused"
    assert len(brought_rows(brought)) == len(bad) + 1


def test_the_work_of_a_whole_day_comes_in_at_once(saved, confirmed, office):
    many = [confirmed() for _ in range(130)]
    brought = unsent_bring_in(content=saved(*many), by=office, now=NOW)
    assert set(outcomes(brought)) == {"accepted"}
    assert Answer.objects.count() == 130


def test_entries_of_several_jobs_stay_in_the_order_of_the_file(saved, confirmed, office, installer):
    other = job_ready_to_begin(office=office, crew=installer.technician.crew)
    begun = {**entry("begin"), "job": other.pk}
    content = saved(begun, confirmed(), confirmed(job=other.pk))
    brought = unsent_bring_in(content=content, by=office, now=NOW)
    assert outcomes(brought) == ["accepted"] * 3
    assert [one.job.pk for one in brought.entries] == [other.pk, confirmed()["job"], other.pk]


def test_somebody_whose_crew_is_elsewhere_is_refused_and_no_photo_kept(record, office, stranger, saved):
    told = saved(pictured(record), person={"id": stranger.pk, "name": stranger.name})
    brought = unsent_bring_in(content=told, by=office, now=NOW)
    assert outcomes(brought) == ["refused"]
    assert "crew" in brought.entries[0].sentence
    assert not Photo.objects.exists()


@pytest.mark.parametrize(
    ("spoil", "code"),
    [
        (lambda file: b"", "not_unsent_work"),
        (lambda file: file[: len(file) // 2], "not_unsent_work"),
        (lambda file: file[:-1], "not_unsent_work"),
        (lambda file: b"\xff" + file, "not_unsent_work"),
        (lambda file: file.replace(b'"yes"', b"NaN"), "not_unsent_work"),
        (lambda file: b"[" * 300_000, "not_unsent_work"),
        (lambda file: b"[]", "not_unsent_work"),
        (lambda file: b"\x89PNG\r\n" + bytes(400), "not_unsent_work"),
        (lambda file: file.replace(b"fluewright unsent work", b"a song"), "not_unsent_work"),
        (lambda file: file.replace(b'"version": 1,', b'"version": 2,', 1), "newer_file"),
        (lambda file: file.replace(b'"person"', b'"persons"'), "file_broken"),
        (lambda file: file.replace(b'"part": 1', b'"part": "x"'), "file_broken"),
        (lambda file: file.replace(b'"entries": [', b'"entries": 7, "was": ['), "file_broken"),
        (lambda file: file.replace(b'"id": ', b'"id": 99999999999'), "another_shop"),
        (lambda file: file.replace(b"Ivo Installer", b"Ivo Of Elsewhere"), "another_shop"),
        (lambda file: file.replace(b'"id": ', b'"id": -'), "file_broken"),
    ],
)
def test_what_is_no_file_of_this_shop_is_refused_whole(saved, confirmed, office, spoil, code):
    with pytest.raises(JobsError) as refused:
        unsent_bring_in(content=spoil(saved(confirmed())), by=office, now=NOW)
    assert refused.value.code == code
    assert refused.value.sentence.endswith(".")
    assert not TabletEntry.objects.exists()


def test_a_file_of_more_entries_than_any_tablet_holds_is_refused(saved, office):
    with pytest.raises(JobsError) as refused:
        unsent_bring_in(content=saved(*[0] * (MOST_ENTRIES + 1)), by=office, now=NOW)
    assert refused.value.code == "file_broken"


def test_the_published_schema_reads_a_file_as_a_tablet_saves_it(saved, confirmed, record):
    reader = Draft202012Validator(json.loads(schemas_written()["unsent-work.1.json"]))
    old = {name: told for name, told in confirmed(version=1).items() if name not in {"saw", "verdict"}}
    whole = json.loads(saved(confirmed(), old, pictured(record)))
    assert list(reader.iter_errors(whole)) == []
    for spoilt in ({"version": 3}, {"part": 0}, {"entries": [{"job": 1}]}, {"person": {}}):
        assert list(reader.iter_errors({**whole, **spoilt})), spoilt


def test_the_page_says_what_became_of_each_entry(saved, confirmed, record, office, as_user):
    page = upload(as_user(office), saved(confirmed(), confirmed(kind="song"), part=1, parts=2))
    told = page.content.decode()
    assert page.status_code == 200
    assert "1 accepted, 1 refused" in told
    assert "part 1 of 2" in told
    assert "Work of Ivo Installer" in told
    assert record.job.number in told
    assert "Something that is no entry" in told


def test_the_page_tells_the_verdict_of_what_it_took(saved, confirmed, office, as_user):
    short = confirmed(stage="position", item="clearance_rear", text="2 in", verdict="pass")
    page = upload(as_user(office), saved(short))
    assert "Back of the appliance to the wall: 2 in, fail" in page.content.decode()


def test_an_empty_file_of_unsent_work_is_told_as_one(saved, office, as_user):
    assert "holds no entry" in upload(as_user(office), saved()).content.decode()


@pytest.mark.parametrize(
    ("content", "sentence"),
    [(b"", "The file is empty"), (b"a song", "no file of unsent work"), (b"{}", "no file of unsent work")],
)
def test_the_page_says_in_a_sentence_why_a_file_is_refused(owner, as_user, content, sentence):
    page = upload(as_user(owner), content)
    assert page.status_code == 422
    assert sentence in page.content.decode()


def test_the_page_asks_for_a_file_where_none_was_chosen(office, as_user):
    page = as_user(office).post(reverse("bring_in"))
    assert page.status_code == 422
    assert "Choose the file" in page.content.decode()


def test_the_desk_finds_the_page_from_the_jobs(office, installer, as_user):
    path = reverse("bring_in")
    assert path in as_user(office).get(reverse("job_list")).content.decode()
    assert path not in as_user(installer).get(reverse("job_list")).content.decode()


@pytest.mark.parametrize(("megabytes", "status"), [(38, 200), (39, 413)])
def test_a_file_may_hold_the_largest_photo_written_as_text(office, as_user, megabytes, status):
    size = str(megabytes * 1024 * 1024)
    page = as_user(office).get(reverse("bring_in"), CONTENT_LENGTH=size)
    assert page.status_code == status


def test_a_wrong_method_is_refused(office, as_user):
    assert as_user(office).put(reverse("bring_in")).status_code == 405


def test_crews_and_inspectors_do_not_bring_in(installer, inspector, as_user):
    for person in (installer, inspector):
        page = as_user(person).get(reverse("bring_in"))
        assert page.status_code == 403
        assert "Not for your role" in page.content.decode()
