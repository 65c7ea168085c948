"""Photos: kept as they came, copied upright, refused when they are none."""

from __future__ import annotations

import hashlib
import io
import struct
import uuid
import zlib
from datetime import timedelta

import pillow_heif
import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from PIL import Image, ImageFile

from inspections.errors import InspectionsError
from inspections.models import Photo
from inspections.services import pictures
from inspections.services.photo_copies import PRINT_SIDE, RESTS, photo_prepare, photos_left
from inspections.services.photos import photo_store
from inspections.tasks import pick_up_left_photos
from jobs.services.kept_files import file_read
from tests.factories import NOW
from tests.inspections.closing import job_ready_to_begin
from tests.inspections.pictures import HIGH, WIDE, corners, photo, scene

pytestmark = pytest.mark.django_db
UPRIGHT = ["red", "green", "blue", "white"]


@pytest.fixture
def store(job, installer):
    """Return a function that stores bytes as a photo of the job."""

    def keep(content: bytes, name: str = "camera.jpg", **told) -> Photo:
        upload = ContentFile(content, name=name)
        return photo_store(**{"job": job, "upload": upload, "by": installer, "now": NOW, **told})

    return keep


def refusal(store, content: bytes, **told) -> InspectionsError:
    with pytest.raises(InspectionsError) as refused:
        store(content, **told)
    assert not Photo.objects.exists()
    return refused.value


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["JPEG", "HEIF", "PNG", "WEBP"])
def test_copies_stand_upright_whichever_way_the_camera_was_held(store, kind, orientation):
    kept = store(photo(kind, orientation))
    assert photo_prepare(pk=kept.pk, now=NOW)
    kept.refresh_from_db()
    assert (kept.width, kept.height) == (WIDE, HIGH)
    for copy in (kept.thumbnail, kept.print_copy):
        content = file_read(name=copy.name)
        assert corners(content) == UPRIGHT
        assert Image.open(io.BytesIO(content)).size == (WIDE, HIGH)


@pytest.mark.parametrize(
    ("kind", "extension"), [("JPEG", "jpg"), ("HEIF", "heic"), ("PNG", "png"), ("WEBP", "webp")]
)
def test_the_original_is_kept_unaltered_under_its_hash(store, kind, extension):
    content = photo(kind, 6)
    kept = store(content, name="whatever.exe")
    assert file_read(name=kept.original.name) == content
    assert kept.sha256 == hashlib.sha256(content).hexdigest()
    assert kept.original.name == f"photos/{kept.sha256[:2]}/{kept.sha256}.{extension}"


@pytest.mark.parametrize("kind", ["JPEG", "HEIF", "PNG", "WEBP"])
def test_copies_carry_neither_place_nor_camera(store, kind):
    content = photo(kind, 6)
    assert b"Lanternworks" in content
    kept = store(content)
    photo_prepare(pk=kept.pk, now=NOW)
    kept.refresh_from_db()
    for copy in (kept.thumbnail, kept.print_copy):
        made = file_read(name=copy.name)
        assert not Image.open(io.BytesIO(made)).getexif()
        assert b"Lanternworks" not in made
        assert b"Exif" not in made


def test_the_same_picture_twice_is_one_file_and_two_photos(store):
    first, second = store(photo()), store(photo())
    assert first.original.name == second.original.name
    assert first != second


def test_the_same_entry_sent_twice_is_one_photo(store, office, technician):
    entry = uuid.uuid4()
    assert store(photo(), entry=entry) == store(photo(), entry=entry)
    other = job_ready_to_begin(office=office, crew=technician.crew)
    with pytest.raises(InspectionsError) as refused:
        store(photo(), entry=entry, job=other)
    assert refused.value.code == "entry_taken"


def test_another_photo_under_an_entry_that_arrived_is_told_so_not_dropped(store):
    entry = uuid.uuid4()
    store(photo(), entry=entry)
    with pytest.raises(InspectionsError) as refused:
        store(photo(orientation=3), entry=entry)
    assert refused.value.code == "entry_differs"


@pytest.mark.parametrize(
    "content",
    [
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"%PDF-1.7 not a picture",
        b"GIF89a" + bytes(40),
        b"\xff\xd8\xff\xe0 and then nothing",
        b"<html>hello</html>",
    ],
)
def test_what_is_no_photo_is_refused_whatever_its_name(store, content):
    assert refusal(store, content, name="photo.jpg").code in {"photo_not_a_picture", "photo_broken"}


@pytest.mark.parametrize("lenient", [True, False])
@pytest.mark.parametrize("kind", ["JPEG", "HEIF", "PNG", "WEBP"])
def test_a_photo_cut_short_is_refused_while_it_can_be_taken_again(store, kind, lenient, monkeypatch):
    # Importing WeasyPrint makes Pillow take pictures that were cut short.
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", lenient)
    pillow_heif.register_heif_opener()
    out = io.BytesIO()
    Image.effect_noise((640, 480), 80).convert("RGB").save(out, kind)
    content = out.getvalue()
    error = refusal(store, content[: len(content) * 3 // 4])
    assert error.code in {"photo_broken", "photo_not_a_picture"}
    assert "again" in error.sentence or "Send" in error.sentence


def test_a_jpeg_of_two_pictures_is_a_jpeg(store):
    out = io.BytesIO()
    scene().save(out, "MPO", save_all=True, append_images=[scene()])
    kept = store(out.getvalue())
    assert kept.extension == "jpg"
    assert photo_prepare(pk=kept.pk, now=NOW)


def test_an_empty_photo_is_refused(store):
    assert refusal(store, b"").code == "photo_empty"


def test_a_photo_too_large_is_refused_by_what_arrives_not_by_what_is_said(store, settings, job, installer):
    settings.PHOTO_MAX_BYTES = 500
    assert refusal(store, photo()).code == "photo_too_big"

    class Liar(io.BytesIO):
        size = 10

    with pytest.raises(InspectionsError) as refused:
        photo_store(job=job, upload=Liar(photo()), by=installer, now=NOW)
    assert refused.value.code == "photo_too_big"


def test_a_small_file_that_unpacks_to_a_huge_picture_is_refused(store):
    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0))
    bomb = b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")
    assert refusal(store, bomb).code in {"photo_too_many_pixels", "photo_not_a_picture"}


def test_more_pixels_than_a_camera_has_are_refused(store, monkeypatch):
    monkeypatch.setattr(pictures, "MOST_PIXELS", WIDE * HIGH - 1)
    error = refusal(store, photo())
    assert error.code == "photo_too_many_pixels"
    assert f"{WIDE} x {HIGH}" in error.sentence


@pytest.mark.parametrize("mode", ["L", "P", "RGBA", "LA", "I;16", "1"])
def test_every_kind_of_png_gives_a_copy(store, mode):
    out = io.BytesIO()
    image = Image.new(mode, (90, 60), 40000) if mode == "I;16" else scene().convert(mode)
    image.save(out, "PNG")
    kept = store(out.getvalue())
    assert photo_prepare(pk=kept.pk, now=NOW)
    kept.refresh_from_db()
    assert Image.open(io.BytesIO(file_read(name=kept.thumbnail.name))).mode == "RGB"


def test_what_is_clear_in_a_picture_becomes_white(store):
    out = io.BytesIO()
    Image.new("RGBA", (60, 60), (0, 0, 0, 0)).save(out, "PNG")
    kept = store(out.getvalue())
    photo_prepare(pk=kept.pk, now=NOW)
    kept.refresh_from_db()
    assert Image.open(io.BytesIO(file_read(name=kept.thumbnail.name))).getpixel((30, 30)) == (255, 255, 255)


def test_a_large_photo_is_shrunk(store):
    out = io.BytesIO()
    Image.linear_gradient("L").resize((3000, 2000)).convert("RGB").save(out, "JPEG")
    kept = store(out.getvalue())
    photo_prepare(pk=kept.pk, now=NOW)
    kept.refresh_from_db()
    assert Image.open(io.BytesIO(file_read(name=kept.print_copy.name))).size == (PRINT_SIDE, 1067)
    assert (kept.width, kept.height) == (3000, 2000)


def test_two_workers_never_take_one_photo(store):
    kept = store(photo())
    assert Photo.claim(kept.pk, NOW)
    assert not photo_prepare(pk=kept.pk, now=NOW)


def test_the_pick_up_makes_what_a_lost_bell_left(store):
    kept = store(photo())
    assert photos_left(now=NOW) == [kept.pk]
    pick_up_left_photos()
    kept.refresh_from_db()
    assert kept.done_at is not None


def test_a_photo_whose_file_was_altered_is_tried_again_then_given_up(store):
    kept = store(photo())
    with default_storage.open(kept.original.name, "wb") as file:
        file.write(photo(orientation=3))
    now = NOW
    for rest in (*RESTS, timedelta(hours=1)):
        assert not photo_prepare(pk=kept.pk, now=now)
        now += rest + timedelta(seconds=1)
    kept.refresh_from_db()
    assert kept.gave_up_at is not None
    assert kept.last_error == "The file of this photo is not the one that was sent."
    assert photos_left(now=now + timedelta(days=1)) == []


def test_a_missing_original_is_said_and_tried_again(store):
    kept = store(photo())
    default_storage.delete(kept.original.name)
    assert not photo_prepare(pk=kept.pk, now=NOW)
    kept.refresh_from_db()
    assert "FileNotFoundError" in kept.last_error
    assert kept.due_at == NOW + RESTS[0]


def test_a_damaged_file_under_the_same_hash_is_written_anew(store):
    first = store(photo())
    with default_storage.open(first.original.name, "wb") as file:
        file.write(b"half")
    second = store(photo())
    assert file_read(name=second.original.name) == photo()
