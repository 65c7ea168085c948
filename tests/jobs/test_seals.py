"""A seal covers the whole file, with a time stamp where a server gives one, and pdfsig agrees."""

from __future__ import annotations

import random
import subprocess
import time

import pytest
from django.utils import timezone

from jobs.models import SealCertificate, Shop
from jobs.seal_keys import seal_key_file
from jobs.services import time_stamps
from jobs.services.seal_checks import SealState, seal_check
from jobs.services.seals import paper_seal
from tests.seals import PASSWORD, certificate_for, key_of, pdfsig, pkcs12_file, plain_pdf
from tests.stamps import stamp_server

pytestmark = pytest.mark.django_db


def sealed(content: bytes | None = None):
    return paper_seal(content=content or plain_pdf(), now=timezone.now())


def contents_of(content: bytes) -> tuple[int, int]:
    """Where the signature itself lies, its brackets left out."""
    start = content.rindex(b"/Contents <") + len(b"/Contents <")
    return start, content.index(b">", start)


@pytest.fixture
def server(tmp_path, settings):
    folder = tmp_path / "stamps"
    folder.mkdir()
    with stamp_server(folder) as server:
        settings.TIMESTAMP_URL = server.url
        yield server


def test_pdfsig_finds_one_valid_seal_over_the_whole_file(tmp_path):
    Shop.current()
    Shop.objects.update(name="Lantern Hill Stoves")
    said = pdfsig(sealed().content, tmp_path)
    assert "Signer full Distinguished Name: CN=Lantern Hill Stoves seal,O=Lantern Hill Stoves" in said
    assert "Signature Type: ETSI.CAdES.detached" in said
    assert "Total document signed" in said
    assert "Signature Validation: Signature is Valid." in said
    assert "Signature #2" not in said


def test_qpdf_finds_nothing_wrong_in_a_sealed_file(tmp_path):
    path = tmp_path / "sealed.pdf"
    path.write_bytes(sealed().content)
    done = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_shops_own_rsa_certificate_seals_as_well(settings, tmp_path):
    key = key_of("3072")
    certificate = certificate_for(key, now=timezone.now())
    settings.SEAL_CERTIFICATE = pkcs12_file(tmp_path, key, certificate)
    settings.SEAL_PASSWORD = PASSWORD
    one = sealed()
    said = pdfsig(one.content, tmp_path)
    assert "Stoves of the Upper Valley" in said
    assert "Signature Validation: Signature is Valid." in said
    assert seal_check(content=one.content).state == SealState.WHOLE


def test_a_seal_is_known_again_after_the_key_was_replaced():
    old = sealed()
    seal_key_file().unlink()
    new = sealed()
    assert old.certificate != new.certificate
    assert SealCertificate.objects.count() == 2
    for one in (old, new):
        assert seal_check(content=one.content).state == SealState.WHOLE


def test_a_time_stamp_is_asked_for_once_and_kept_with_the_seal(server, tmp_path):
    before = timezone.now()
    one = sealed()
    assert one.note == ""
    assert one.stamped_at is not None
    assert abs((one.stamped_at - before).total_seconds()) < 120
    assert server.asked == 1
    checked = seal_check(content=one.content)
    assert checked.state == SealState.WHOLE
    assert checked.stamped_at == one.stamped_at
    assert "Signature Validation: Signature is Valid." in pdfsig(one.content, tmp_path)


def _silent(server, settings, monkeypatch):
    settings.TIMESTAMP_URL = "http://127.0.0.1:9/tsa"


def _unwell(server, settings, monkeypatch):
    server.answer = lambda query: b""


def _babbling(server, settings, monkeypatch):
    server.answer = lambda query: b"\x30\x03no\x00"


def _endless(server, settings, monkeypatch):
    server.answer = lambda query: b"\x30" * 200_000


def _of_yesterday(server, settings, monkeypatch):
    """Stamps something else than what was asked, with the nonce of the question."""
    answer = server.stamp
    server.answer = lambda query: answer(query[:40] + bytes([query[40] ^ 1]) + query[41:])


def _slow(server, settings, monkeypatch):
    monkeypatch.setattr(time_stamps, "PATIENCE", 0.4)
    answer = server.stamp

    def late(query: bytes) -> bytes:
        time.sleep(1)
        return answer(query)

    server.answer = late


@pytest.mark.parametrize("misbehaves", [_silent, _unwell, _babbling, _endless, _of_yesterday, _slow])
def test_without_a_time_stamp_it_is_sealed_all_the_same_and_says_so(
    misbehaves, server, settings, monkeypatch, tmp_path
):
    misbehaves(server, settings, monkeypatch)
    one = sealed()
    assert one.stamped_at is None
    assert one.note.startswith("Sealed without a time stamp: ")
    assert "127.0.0.1" in one.note
    assert "Signature Validation: Signature is Valid." in pdfsig(one.content, tmp_path)
    assert seal_check(content=one.content).state == SealState.WHOLE


def test_a_byte_changed_anywhere_under_the_seal_is_found_by_pdfsig_and_by_the_shop(tmp_path):
    content = sealed(plain_pdf(3)).content
    start, end = contents_of(content)
    chance = random.Random(3)
    places = [0, 5, start - 400, end + 3, len(content) - 2]
    places += [chance.randrange(start - 500) for _ in range(6)]
    for place in places:
        altered = bytearray(content)
        altered[place] ^= 0x01
        said = pdfsig(bytes(altered), tmp_path)
        assert "Signature is Valid" not in said, place
        assert seal_check(content=bytes(altered)).state != SealState.WHOLE, place


def test_a_byte_changed_in_the_signature_itself_is_found(tmp_path):
    content = sealed().content
    start, end = contents_of(content)
    used = len(content[start:end].rstrip(b"0"))
    # The certificate lies in the middle: whose seal it is, is not pdfsig's to say.
    for place, by_pdfsig in ((start + 200, False), (start + used // 2, False), (start + used - 20, True)):
        altered = bytearray(content)
        altered[place] = ord("1") if altered[place] != ord("1") else ord("2")
        assert seal_check(content=bytes(altered)).state != SealState.WHOLE, place
        if by_pdfsig:
            assert "Signature is Valid" not in pdfsig(bytes(altered), tmp_path), place
