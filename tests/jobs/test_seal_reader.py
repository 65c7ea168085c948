"""What strangers send is read apart: whatever a file is made of, there is an answer and no harm."""

from __future__ import annotations

import io
import json
import subprocess
import sys
import zlib

import pypdf
import pytest
from django.utils import timezone

from jobs.models import SealCertificate
from jobs.seal_keys import seal_key_file
from jobs.services import seal_checks
from jobs.services.seal_checks import SealState, seal_check
from jobs.services.seals import paper_seal
from tests.seals import plain_pdf

pytestmark = pytest.mark.django_db


def sealed() -> bytes:
    return paper_seal(content=plain_pdf(), now=timezone.now()).content


def test_a_pdf_without_a_seal_is_told_from_one_that_has_it():
    assert seal_check(content=plain_pdf()).state == SealState.NONE
    assert seal_check(content=sealed()).state == SealState.WHOLE


def test_a_seal_of_somebody_else_is_not_ours():
    content = sealed()
    SealCertificate.objects.all().delete()
    finding = seal_check(content=content)
    assert finding.state == SealState.OF_ANOTHER
    assert "not by this shop" in finding.sentence


def test_a_forged_certificate_of_the_same_name_is_not_ours():
    sealed()
    known = set(SealCertificate.objects.values_list("pk", flat=True))
    seal_key_file().unlink()
    forged = sealed()
    SealCertificate.objects.exclude(pk__in=known).delete()
    assert seal_check(content=forged).state == SealState.OF_ANOTHER


def test_what_was_added_after_the_seal_is_told():
    reader = pypdf.PdfReader(io.BytesIO(sealed()))
    writer = pypdf.PdfWriter(reader, incremental=True)
    writer.add_blank_page(300, 300)
    out = io.BytesIO()
    writer.write(out)
    finding = seal_check(content=out.getvalue())
    assert finding.state == SealState.ADDED_TO
    assert "something was added" in finding.sentence


def test_a_locked_file_is_refused(tmp_path):
    path, locked = tmp_path / "a.pdf", tmp_path / "b.pdf"
    path.write_bytes(sealed())
    subprocess.run(["qpdf", "--encrypt", "", "owner", "256", "--", path, locked], check=True)
    finding = seal_check(content=locked.read_bytes())
    assert finding.state == SealState.NOT_READ
    assert "password" in finding.sentence


def _deep() -> bytes:
    return b"%PDF-1.7\n1 0 obj\n" + b"[" * 200_000 + b"\nendobj\ntrailer <</Root 1 0 R>>\nstartxref\n9\n%%EOF"


def _in_a_circle() -> bytes:
    return (
        b"%PDF-1.7\n1 0 obj <</Type/Catalog/Pages 1 0 R/AcroForm 1 0 R/Fields[1 0 R]/Kids[1 0 R]/FT/Sig>>"
        b"endobj"
        b"\nxref\n0 2\n0000000000 65535 f \n0000000009 00000 n \ntrailer <</Root 1 0 R/Size 2/Prev 108>>"
        b"\nstartxref\n108\n%%EOF\n"
    )


def _bomb() -> bytes:
    """A table of places that unpacks to two gigabytes."""
    packer = zlib.compressobj(9)
    chunk = bytes(8 * 1024 * 1024)
    packed = b"".join(packer.compress(chunk) for _ in range(256)) + packer.flush()
    return (
        b"%PDF-1.7\n1 0 obj\n<</Type/XRef/Size 99999999/W[1 4 2]/Root 1 0 R/Filter/FlateDecode/Length "
        + str(len(packed)).encode()
        + b">>\nstream\n"
        + packed
        + b"\nendstream\nendobj\nstartxref\n9\n%%EOF\n"
    )


@pytest.mark.parametrize(
    "content",
    [b"", b"%PDF-", b"%PDF-1.7\n%%EOF", b"\x00" * 5000, b"GIF89a", _deep(), _in_a_circle(), _bomb()],
    ids=["nothing", "a head", "head and foot", "zeros", "a picture", "too deep", "a circle", "a bomb"],
)
def test_hostile_files_are_refused_in_a_sentence(content):
    finding = seal_check(content=content)
    assert finding.state == SealState.NOT_READ
    assert finding.sentence in seal_checks.REFUSALS.values()


def test_a_sealed_file_cut_short_anywhere_is_never_whole():
    content = sealed()
    for share in (0.1, 0.5, 0.9, 0.999):
        assert seal_check(content=content[: int(len(content) * share)]).state != SealState.WHOLE


def test_a_reader_that_does_not_come_back_is_stopped(monkeypatch):
    monkeypatch.setattr(seal_checks, "_READER", "import time; time.sleep(60)")
    monkeypatch.setattr(seal_checks, "PATIENCE", 0.5)
    finding = seal_check(content=b"%PDF-")
    assert finding.state == SealState.NOT_READ
    assert "could not be read to its end" in finding.sentence


def test_the_reader_knows_no_settings_and_has_little_memory():
    code = (
        "import sys, json, resource; sys.path.append(sys.argv[1]); from jobs import seal_reader;"
        "seal_reader._limit(); seal_reader.seals_read(b'');"
        "print(json.dumps([[name for name in sys.modules if name.split('.')[0] in ('django', 'config')],"
        "resource.getrlimit(resource.RLIMIT_AS)[0], resource.getrlimit(resource.RLIMIT_CPU)[0]]))"
    )
    from django.conf import settings  # noqa: PLC0415

    done = subprocess.run(
        [sys.executable, "-I", "-c", code, str(settings.BASE_DIR)], capture_output=True, check=True, env={}
    )
    imported, memory, seconds = json.loads(done.stdout)
    assert imported == []
    assert memory <= 1024**3
    assert seconds <= 10
