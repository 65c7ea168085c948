"""Entries over the API: in batches, once each, whatever arrives beside them."""

from __future__ import annotations

import json
import uuid
from datetime import UTC, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inspections.models import Answer, Photo, SiteRecord, TabletEntry
from tests.inspections.pictures import photo as picture
from tests.inspections.tablet import SCRAWL, Tablet, entry, sha256

pytestmark = pytest.mark.django_db
STAGE = "before_work"


@pytest.fixture
def tablet(as_user, installer) -> Tablet:
    return Tablet(installer, as_user(installer))


@pytest.fixture
def confirm(record):
    """Return a function that makes an entry confirming an item of the first stage."""
    stage = record.stages.order_by("position").first().key

    def make(**told):
        return {**entry("answer", stage=stage, item="instructions_on_site", text="yes"), **told}

    return make


def results(answer) -> list[dict]:
    assert answer.status_code == 200, answer.content
    return answer.json()["results"]


def test_an_entry_is_judged_kept_and_acknowledged_by_its_number(tablet, job, confirm):
    sent = confirm(verdict="pass")
    answer = tablet.send(job, sent)
    (result,) = results(answer)
    assert result["entry"] == sent["entry"]
    assert (result["outcome"], result["verdict"], result["differs"]) == ("accepted", "pass", False)
    assert result["received_at"]
    assert str(Answer.objects.get().entry) == sent["entry"]


def test_sent_again_it_gets_the_same_answer_and_is_kept_once(tablet, job, confirm):
    sent = confirm()
    first, second = (results(tablet.send(job, sent)) for _ in range(2))
    assert first == second
    assert Answer.objects.count() == TabletEntry.objects.count() == 1


def test_who_lost_the_job_after_sending_still_hears_that_it_arrived(tablet, job, confirm):
    sent, more = confirm(), confirm()
    (first,) = results(tablet.send(job, sent))
    job.visits.all().delete()
    again, refused = results(tablet.send(job, sent, more))
    assert again == first
    assert (refused["outcome"], refused["code"]) == ("refused", "not_your_job")
    assert TabletEntry.objects.count() == 1


def test_the_work_may_begin_in_the_batch_that_answers(tablet, job, installer):
    began, answered = entry("begin"), entry("answer", item="instructions_on_site", text="yes")
    stage = tablet.get("tablet_bundle", job.pk).json()["stages"][0]["key"]
    (one, two) = results(tablet.send(job, began, {**answered, "stage": stage}))
    assert (one["outcome"], two["outcome"]) == ("accepted", "accepted")
    assert SiteRecord.objects.get().begun_by == installer


def test_an_entry_of_the_first_version_is_taken(tablet, job, confirm):
    old = {**confirm(), "version": 1}
    del old["saw"], old["verdict"]
    (result,) = results(tablet.send(job, old))
    assert result["outcome"] == "accepted"
    assert result["differs"] is False


def test_an_entry_of_a_version_nobody_knows_here_is_refused_with_what_to_do(tablet, job, confirm):
    (result,) = results(tablet.send(job, {**confirm(), "version": 3}))
    assert (result["outcome"], result["code"]) == ("refused", "entry_version")
    assert "Keep the entry" in result["sentence"]


def test_fields_of_a_later_app_are_passed_over(tablet, job, confirm):
    (result,) = results(tablet.send(job, {**confirm(), "mood": "cold", "seq": 4, "job": 99}))
    assert result["outcome"] == "accepted"
    assert "mood" not in TabletEntry.objects.get().raw


def test_a_bad_entry_does_not_spoil_the_good_ones(tablet, job, confirm):
    good, bad = confirm(), confirm(kind="confession")
    told = results(tablet.send(job, bad, good, 7, None, [], {"entry": "x"}))
    assert [one["outcome"] for one in told] == ["refused", "accepted", *["refused"] * 4]
    assert {one["code"] for one in told if one["outcome"] == "refused"} == {"not_understood"}
    assert [one["entry"] for one in told] == [bad["entry"], good["entry"], "", "", "", ""]
    assert "Enter it again" in told[0]["sentence"]


@pytest.mark.parametrize(
    "wrong",
    [
        {"entry": "no uuid"}, {"entry": 7}, {"entry": None}, {"entry": "9" * 4000},
        {"kind": "photo", "photo": None}, {"kind": "signature", "signature": None},
        {"kind": "photo", "photo": {"sha256": "zz", "size": 1, "media_type": ""}},
        {"kind": "photo", "photo": {"sha256": "a" * 64, "size": 10**12, "media_type": ""}},
        {"stage": "../../etc"}, {"item": "a" * 61}, {"stage": 7}, {"text": "x" * 4001},
        {"text": "a\x00b"}, {"text": "\ud800"}, {"text": ["yes"]}, {"verdict": "splendid"},
        {"saw": "no uuid"}, {"version": "2"}, {"version": True}, {"version": None}, {"version": 2.5},
        {"signature": {**SCRAWL, "width": 10**9}}, {"signature": {**SCRAWL, "strokes": [[[1, 2, 3]]]}},
        {"signature": {**SCRAWL, "strokes": [[[1e400, 2]]]}}, {"signature": {**SCRAWL, "strokes": [[]]}},
        {"signature": {**SCRAWL, "strokes": "ink"}}, {"signature": {**SCRAWL, "name": "\x00"}},
        {"taken_at": 12}, {"taken_at": "x" * 61},
    ],
    ids=lambda wrong: json.dumps(wrong)[:40],
)  # fmt: skip
def test_an_entry_that_makes_no_sense_is_refused_by_itself(tablet, job, confirm, wrong):
    body = json.dumps({"entries": [{**confirm(), **wrong}]}).replace("Infinity", "1e400")
    answer = tablet.client.post(
        reverse("tablet_entries", args=[job.pk]), body, "application/json", headers=tablet.headers
    )
    (result,) = results(answer)
    assert (result["outcome"], result["code"]) == ("refused", "not_understood")
    assert not TabletEntry.objects.exists()


@pytest.mark.parametrize(
    ("taken_at", "kept"),
    [
        ("2026-05-04T10:00:00-05:00", datetime(2026, 5, 4, 15, tzinfo=UTC)),
        ("0001-01-01T00:00:00+14:00", None),
        ("9999-12-31T23:59:59-12:00", None),
        ("2026-02-30T00:00:00Z", None),
        ("2026-05-04T10:00:00", None),
        ("yesterday", None),
        ("", None),
    ],
)
def test_a_clock_that_makes_no_sense_costs_nobody_an_entry(tablet, job, confirm, taken_at, kept):
    (result,) = results(tablet.send(job, confirm(taken_at=taken_at)))
    assert result["outcome"] == "accepted"
    assert TabletEntry.objects.get().taken_at == kept


def test_how_far_the_clock_is_off_is_told_and_kept(tablet, job, confirm):
    tablet.ahead = 86_400
    answer = tablet.send(job, confirm())
    assert answer.json()["clock_skew"] == pytest.approx(86_400, abs=5)
    kept = TabletEntry.objects.get()
    assert kept.clock_skew == pytest.approx(86_400, abs=5)
    assert (kept.device, kept.app) == (tablet.device, "a1b2c3")


@pytest.mark.parametrize("clock", ["", "noon", "2026-05-04T10:00:00", "2026-13-45T99:00:00Z", "9" * 500])
def test_a_clock_that_says_no_time_is_not_told(tablet, job, confirm, clock):
    answer = tablet.client.post(
        reverse("tablet_entries", args=[job.pk]), {"entries": [confirm()]}, "application/json",
        headers={**tablet.headers, "Fluewright-Clock": clock},
    )  # fmt: skip
    assert answer.json()["clock_skew"] is None
    assert results(answer)[0]["outcome"] == "accepted"


def test_a_photo_entry_asks_for_its_photo_until_it_is_here(tablet, job, record):
    whole, stage = picture(), record.stages.get(key="before_work").key
    sent = entry(
        "photo", stage=stage, item="label_photo",
        photo={"sha256": sha256(whole), "size": len(whole), "media_type": "image/jpeg"},
    )  # fmt: skip
    assert results(tablet.send(job, sent))[0]["outcome"] == "wants_photo"
    tablet.part(job, sent["entry"], whole, at=0, whole=whole)
    assert results(tablet.send(job, sent))[0]["outcome"] == "accepted"
    assert Answer.objects.get().photo == Photo.objects.get()


@pytest.mark.parametrize(
    "body",
    [
        b"", b"no json", b"[" * 200_000, b'{"entries": [NaN]}', b'{"entries": [Infinity]}',
        b'{"entries": ["\xff\xfe"]}', '{"entries": []}'.encode("utf-16"),
        b'{"entries": [' + b'{"a":' * 100_000,
    ],
    ids=lambda body: str(body[:14]),
)  # fmt: skip
def test_a_body_that_is_no_json_is_refused_as_a_whole(tablet, job, body):
    answer = tablet.client.post(
        reverse("tablet_entries", args=[job.pk]), body, "application/json", headers=tablet.headers
    )
    assert answer.status_code in {400, 422}
    assert answer.json()["code"] in {"not_json", "not_understood"}
    assert answer.json()["sentence"].endswith(".")


@pytest.mark.parametrize("body", [{}, {"entries": []}, {"entries": {}}, {"entries": None}, [], 7, None])
def test_a_body_that_is_no_batch_is_refused_in_words(tablet, job, body):
    answer = tablet.client.post(
        reverse("tablet_entries", args=[job.pk]), json.dumps(body), "application/json",
        headers=tablet.headers,
    )  # fmt: skip
    assert (answer.status_code, answer.json()["code"]) == (422, "not_understood")
    assert set(answer.json()) == {"code", "sentence"}


def test_a_batch_holds_fifty_and_no_more(tablet, job, confirm):
    answer = tablet.send(job, *(confirm() for _ in range(51)))
    assert (answer.status_code, answer.json()["code"]) == (422, "not_understood")
    assert not TabletEntry.objects.exists()
    assert len(results(tablet.send(job, *(confirm() for _ in range(50))))) == 50


def test_a_form_is_no_batch(tablet, job):
    for kind in ("multipart/form-data; boundary=x", "application/x-www-form-urlencoded", "text/plain"):
        answer = tablet.client.generic(
            "POST", reverse("tablet_entries", args=[job.pk]), b"--x\r\n\r\nentries=1", kind,
            headers=tablet.headers,
        )  # fmt: skip
        assert answer.status_code in {400, 422}, kind
        assert "code" in answer.json()


def test_more_than_a_batch_may_weigh_is_refused(tablet, job, settings):
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 1000
    answer = tablet.send(job, entry("answer", text="x" * 2000))
    assert (answer.status_code, answer.json()["code"]) == (413, "too_large")


def test_a_device_that_is_no_number_of_a_device_is_refused(tablet, job, confirm):
    tablet.device = "tab"
    answer = tablet.send(job, confirm())
    assert (answer.status_code, answer.json()["code"]) == (400, "device")


def test_a_crew_sent_elsewhere_sees_no_such_job(as_user, stranger, job, confirm):
    answer = Tablet(stranger, as_user(stranger)).send(job, confirm())
    assert (answer.status_code, answer.json()["code"]) == (404, "no_such_job")
    for number in ("0", "9" * 18):
        path = f"/tablet/api/jobs/{number}/entries"
        other = Tablet(stranger, as_user(stranger))
        answer = other.client.post(path, {"entries": [confirm()]}, "application/json", headers=other.headers)
        assert answer.json()["code"] == "no_such_job"


def test_an_inspector_may_read_but_answers_are_the_crews(as_user, inspector, job, confirm):
    (result,) = results(Tablet(inspector, as_user(inspector)).send(job, confirm()))
    assert (result["outcome"], result["code"]) == ("refused", "not_your_job")


def test_a_full_batch_asks_no_more_than_a_batch_of_one(tablet, job, record, confirm):
    stage = record.stages.order_by("position").first().key
    items = [
        one["key"]
        for one in tablet.get("tablet_bundle", job.pk).json()["stages"][0]["items"]
        if one["kind"] in {"confirm", "choose", "note"} and not one["when"]
    ]
    assert len(items) > 3

    def asked(keys) -> int:
        sent = [confirm(stage=stage, item=key, text="cannot tell") for key in keys]
        with CaptureQueriesContext(connection) as queries:
            tablet.send(job, *sent)
        return len(queries)

    one = asked(items[:1])
    assert asked(items[1:]) <= one + 1
    assert uuid.UUID(TabletEntry.objects.first().raw["entry"])
