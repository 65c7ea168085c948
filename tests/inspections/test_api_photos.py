"""Photos that come in parts, from wherever a cut left them."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest
from django.urls import reverse

from inspections.models import Photo, PhotoPart
from inspections.services.left_parts import photo_parts_drop_left
from jobs.services.kept_files import file_read
from tests.factories import NOW
from tests.inspections.pictures import photo as picture
from tests.inspections.tablet import Tablet, digest

pytestmark = pytest.mark.django_db
ENTRY = str(uuid.UUID(int=7))


@pytest.fixture
def tablet(as_user, installer) -> Tablet:
    return Tablet(installer, as_user(installer))


def pieces(whole: bytes, size: int) -> list[tuple[int, bytes]]:
    return [(at, whole[at : at + size]) for at in range(0, len(whole), size)]


def test_the_last_part_makes_the_photo_and_leaves_no_part(tablet, job):
    whole = picture()
    for at, content in pieces(whole, 1000):
        answer = tablet.part(job, ENTRY, content, at=at, whole=whole)
        assert answer.status_code == 200, answer.content
        assert answer.json() == {
            "offset": at + len(content),
            "complete": at + len(content) == len(whole),
        }
    photo = Photo.objects.get(entry=ENTRY)
    assert file_read(name=photo.original.name) == whole
    assert (photo.job, photo.taken_by) == (job, tablet.user)
    assert not PhotoPart.objects.exists()


def test_after_a_cut_it_goes_on_where_the_server_stands(tablet, job):
    whole = picture()
    tablet.part(job, ENTRY, whole[:1500], at=0, whole=whole)
    state = tablet.get("tablet_photo", job.pk, ENTRY).json()
    assert state == {"offset": 1500, "complete": False}
    tablet.part(job, ENTRY, whole[1500:], at=1500, whole=whole)
    assert tablet.get("tablet_photo", job.pk, ENTRY).json() == {"offset": len(whole), "complete": True}


def test_a_part_whose_answer_was_lost_may_come_again(tablet, job):
    whole = picture()
    for _ in range(2):
        answer = tablet.part(job, ENTRY, whole[:1500], at=0, whole=whole)
        assert answer.json() == {"offset": 1500, "complete": False}
    assert PhotoPart.objects.count() == 1


def test_the_last_part_may_come_again_too(tablet, job):
    whole = picture()
    for _ in range(2):
        answer = tablet.part(job, ENTRY, whole, at=0, whole=whole)
        assert answer.json() == {"offset": len(whole), "complete": True}
    assert Photo.objects.count() == 1


def test_a_part_for_another_place_is_told_where_to_go_on(tablet, job):
    whole = picture()
    tablet.part(job, ENTRY, whole[:1000], at=0, whole=whole)
    for at in (500, 1200):
        answer = tablet.part(job, ENTRY, whole[at : at + 100], at=at, whole=whole)
        assert answer.status_code == 409
        assert answer.json()["code"] == "wrong_offset"
        assert answer.json()["offset"] == 1000
        assert "1000 bytes" in answer.json()["sentence"]


def test_a_part_changed_on_its_way_is_refused_and_asked_for_again(tablet, job):
    whole = picture()
    told = {"Content-Digest": digest(b"something else")}
    answer = tablet.part(job, ENTRY, whole[:1000], at=0, whole=whole, **told)
    assert (answer.status_code, answer.json()["code"]) == (409, "part_broken")
    assert not PhotoPart.objects.exists()


def test_a_whole_that_is_not_what_was_promised_is_started_anew(tablet, job):
    whole = picture()
    other = whole[:-1] + bytes([whole[-1] ^ 1])
    tablet.part(job, ENTRY, whole[:1000], at=0, whole=other)
    answer = tablet.part(job, ENTRY, whole[1000:], at=1000, whole=other)
    assert (answer.status_code, answer.json()["code"]) == (409, "photo_broken")
    assert not Photo.objects.exists()
    assert tablet.get("tablet_photo", job.pk, ENTRY).json() == {"offset": 0, "complete": False}


def test_a_whole_that_is_no_picture_is_refused_and_nothing_of_it_stays(tablet, job):
    whole = b"no picture at all" * 20
    answer = tablet.part(job, ENTRY, whole, at=0, whole=whole)
    assert (answer.status_code, answer.json()["code"]) == (409, "photo_not_a_picture")
    assert not PhotoPart.objects.exists()
    assert not Photo.objects.exists()


def test_another_photo_under_the_same_number_starts_from_its_own_beginning(tablet, job):
    first, second = picture(), picture("PNG")
    tablet.part(job, ENTRY, first[:1000], at=0, whole=first)
    answer = tablet.part(job, ENTRY, second[100:200], at=100, whole=second)
    assert answer.json()["offset"] == 0
    tablet.part(job, ENTRY, second[:300], at=0, whole=second)
    assert tablet.get("tablet_photo", job.pk, ENTRY).json() == {"offset": 300, "complete": False}


def test_a_photo_that_is_here_is_not_replaced_by_another(tablet, job):
    first, second = picture(), picture("PNG")
    tablet.part(job, ENTRY, first, at=0, whole=first)
    answer = tablet.part(job, ENTRY, second, at=0, whole=second)
    assert (answer.status_code, answer.json()["code"]) == (409, "entry_differs")
    assert file_read(name=Photo.objects.get().original.name) == first


@pytest.mark.parametrize(
    ("header", "told", "code"),
    [
        ("Upload-Offset", "", "headers"),
        ("Upload-Offset", "-1", "headers"),
        ("Upload-Offset", "9" * 5000, "headers"),
        ("Upload-Offset", "²", "headers"),
        ("Upload-Offset", "999999999999", "part_outside"),
        ("Upload-Length", "0", "part_outside"),
        ("Upload-Length", "99", "part_outside"),
        ("Upload-Length", "999999999999", "photo_too_big"),
        ("Upload-Length", "1e3", "headers"),
        ("Content-Digest", "", "digest_missing"),
        ("Content-Digest", "sha-256=:???:", "digest_missing"),
        ("Content-Digest", "sha-256=:YWJj:", "digest_missing"),
        ("Content-Digest", "md5=:YWJj:", "digest_missing"),
        ("Repr-Digest", "sha-256=:" + "A" * 43 + ":", "digest_missing"),
    ],
)
def test_headers_that_make_no_sense_are_refused_and_nothing_is_kept(tablet, job, header, told, code):
    whole = picture()
    answer = tablet.part(job, ENTRY, whole[:1000], at=0, whole=whole, **{header: told})
    assert 400 <= answer.status_code < 500
    assert answer.json()["code"] == code
    assert answer.json()["sentence"].endswith(".")
    assert not PhotoPart.objects.exists()


def test_a_part_of_more_than_a_part_may_have_is_refused_unread(tablet, job):
    whole = b"x" * (512 * 1024 + 1)
    answer = tablet.part(job, ENTRY, whole, at=0, whole=whole)
    assert (answer.status_code, answer.json()["code"]) == (413, "part_too_large")


def test_a_part_without_bytes_is_refused(tablet, job):
    answer = tablet.part(job, ENTRY, b"", at=0, whole=picture())
    assert answer.json()["code"] == "part_size"


def test_a_digest_may_stand_beside_others(tablet, job):
    whole = picture()
    told = {"Content-Digest": f"unixsum=:AAA=:, {digest(whole)}"}
    assert tablet.part(job, ENTRY, whole, at=0, whole=whole, **told).status_code == 200


def test_an_inspector_may_send_a_photo_too(as_user, inspector, job):
    tablet, whole = Tablet(inspector, as_user(inspector)), picture()
    assert tablet.part(job, ENTRY, whole, at=0, whole=whole).json()["complete"]


def test_a_number_begun_by_somebody_else_is_taken(tablet, as_user, inspector, job):
    whole = picture()
    tablet.part(job, ENTRY, whole[:1000], at=0, whole=whole)
    other = Tablet(inspector, as_user(inspector))
    answer = other.part(job, ENTRY, whole[1000:], at=1000, whole=whole)
    assert (answer.status_code, answer.json()["code"]) == (409, "entry_taken")
    assert other.get("tablet_photo", job.pk, ENTRY).json()["code"] == "entry_taken"


def test_a_crew_sent_elsewhere_sees_no_such_job(as_user, stranger, job):
    tablet, whole = Tablet(stranger, as_user(stranger)), picture()
    for answer in (
        tablet.part(job, ENTRY, whole, at=0, whole=whole),
        tablet.get("tablet_photo", job.pk, ENTRY),
    ):
        assert (answer.status_code, answer.json()["code"]) == (404, "no_such_job")


def test_a_wrong_method_is_refused_in_json(tablet, job):
    answer = tablet.client.put(reverse("tablet_photo", args=[job.pk, ENTRY]), headers=tablet.headers)
    assert (answer.status_code, answer.json()["code"]) == (405, "wrong_method")
    assert set(answer["Allow"].split(", ")) == {"GET", "PATCH"}


def test_parts_nobody_goes_on_with_are_cleared_away_after_a_month(tablet, job):
    whole = picture()
    tablet.part(job, ENTRY, whole[:100], at=0, whole=whole)
    going_on = str(uuid.UUID(int=8))
    tablet.part(job, going_on, whole[:100], at=0, whole=whole)
    tablet.part(job, going_on, whole[100:200], at=100, whole=whole)
    PhotoPart.objects.filter(offset=0).update(received_at=NOW - timedelta(days=31))
    PhotoPart.objects.filter(offset=100).update(received_at=NOW)
    assert photo_parts_drop_left(now=NOW) == 1
    assert {str(part.entry) for part in PhotoPart.objects.all()} == {going_on}
    assert photo_parts_drop_left(now=NOW) == 0
