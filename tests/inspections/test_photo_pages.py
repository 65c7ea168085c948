"""Photo files and who may open them."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from inspections.services.photo_copies import photo_prepare
from tests.factories import NOW
from tests.inspections.closing import photo_make

pytestmark = pytest.mark.django_db


@pytest.fixture
def picture(job, installer):
    return photo_make(job=job, by=installer, number=1)


def where(picture, size: str) -> str:
    return reverse("photo_file", args=[picture.pk, size])


@pytest.mark.parametrize("size", ["thumbnail", "print"])
def test_a_copy_is_sent_to_be_looked_at(as_user, installer, picture, size):
    photo_prepare(pk=picture.pk, now=NOW)
    response = as_user(installer).get(where(picture, size))
    assert response["Content-Type"] == "image/jpeg"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Cache-Control"] == "private, no-cache"
    assert response["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert b"".join(response.streaming_content)[:3] == b"\xff\xd8\xff"


def test_a_kept_picture_is_shown_again_only_to_who_may_still_see_it(as_user, installer, stranger, picture):
    photo_prepare(pk=picture.pk, now=NOW)
    first = as_user(installer).get(where(picture, "thumbnail"))
    b"".join(first.streaming_content)
    told = {"HTTP_IF_NONE_MATCH": first["ETag"]}
    assert as_user(installer).get(where(picture, "thumbnail"), **told).status_code == 304
    assert as_user(stranger).get(where(picture, "thumbnail"), **told).status_code == 404
    assert Client().get(where(picture, "thumbnail"), **told).status_code == 302


def test_the_original_is_sent_as_a_file_under_a_name_of_ours(as_user, inspector, picture):
    response = as_user(inspector).get(where(picture, "original"))
    assert response["Content-Disposition"] == f'attachment; filename="photo-{picture.pk}.jpg"'
    assert len(b"".join(response.streaming_content)) == picture.size


@pytest.mark.parametrize("size", ["thumbnail", "print"])
def test_a_copy_not_made_yet_does_not_exist(as_user, installer, picture, size):
    assert as_user(installer).get(where(picture, size)).status_code == 404


def test_a_file_that_is_gone_is_not_found(as_user, installer, picture):
    picture.original.storage.delete(picture.original.name)
    assert as_user(installer).get(where(picture, "original")).status_code == 404


def test_the_page_asks_again_until_the_copy_is_there(as_user, installer, picture):
    client, path = as_user(installer), reverse("photo_state", args=[picture.pk])
    assert "hx-get" in client.get(path).content.decode()
    photo_prepare(pk=picture.pk, now=NOW)
    page = client.get(path).content.decode()
    assert "hx-get" not in page
    assert where(picture, "thumbnail") in page


def test_a_photo_given_up_offers_its_original(as_user, installer, picture):
    type(picture).objects.filter(pk=picture.pk).update(gave_up_at=NOW)
    page = as_user(installer).get(reverse("photo_state", args=[picture.pk])).content.decode()
    assert where(picture, "original") in page


def test_photo_files_turn_others_away(turns_away, picture):
    turns_away(where(picture, "original"), method="get")


def test_photo_states_turn_others_away(turns_away, picture):
    turns_away(reverse("photo_state", args=[picture.pk]), method="get")


def test_a_size_nobody_knows_is_no_address(as_user, installer, picture):
    assert as_user(installer).get(f"/photos/{picture.pk}/huge/").status_code == 404
