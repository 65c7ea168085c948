"""What PDF/A-3a asks of a file, looked at by pypdf, qpdf and poppler.

No package registry was found to carry a validator of PDF/A-3, so these are the program's own structural
checks, each with its clause; they do not stand in for a validator. Clauses of ISO 19005-3 are named from
memory; level a takes over those of ISO 19005-2.
"""

from __future__ import annotations

import io
import json
import re
import subprocess
from xml.etree import ElementTree

import pypdf
import pytest
from pypdf.generic import IndirectObject

from inspections.models import Photo
from jobs.models import Shop
from tests.inspections.closing import job_closed
from tests.inspections.sealed import rendered
from tests.paper import Paper

#: Standard structure types, ISO 32000-1, 14.8.4 (from memory).
TYPES = {
    "Document", "Part", "Art", "Sect", "Div", "BlockQuote", "Caption", "TOC", "TOCI", "Index", "NonStruct",
    "Private", "P", "H", "H1", "H2", "H3", "H4", "H5", "H6", "L", "LI", "Lbl", "LBody", "Table", "TR", "TH",
    "TD", "THead", "TBody", "TFoot", "Span", "Quote", "Note", "Reference", "BibEntry", "Code", "Link",
    "Annot", "Figure", "Formula", "Form",
}  # fmt: skip


@pytest.fixture
def content(office, installer, inspector) -> bytes:
    Shop.current()
    Shop.objects.update(name="Lantern Hill Stoves", phone="(802) 555-0142")
    sign_off = job_closed(office=office, installer=installer, inspector=inspector)
    return rendered(sign_off.certificates.get())


def elements(root) -> list:
    """Every structure element the tree leads to."""
    found, waiting = [], [root]
    while waiting:
        kids = waiting.pop().get("/K", [])
        for kid in kids if isinstance(kids, list) else [kids]:
            one = kid.get_object()
            if isinstance(one, dict) and "/S" in one:
                found.append(one)
                waiting.append(one)
    return found


def test_a_certificate_is_a_whole_pdf_a_3a(content, tmp_path):
    reader = pypdf.PdfReader(io.BytesIO(content))
    root = reader.trailer["/Root"]

    # 6.1.2, 6.1.3: version, file identifier, no encryption.
    assert content.startswith(b"%PDF-1.7\n%")
    assert len(reader.trailer["/ID"]) == 2
    assert "/Encrypt" not in reader.trailer

    # 6.6: metadata that names part and level, and agrees with the information dictionary.
    packet = ElementTree.fromstring(root["/Metadata"].get_object().get_data())
    claims = {
        name: value
        for one in packet.iter()
        for name, value in one.attrib.items()
        if name.rpartition("/")[0].endswith("/pdfa/ns/id")
    }
    assert sorted(claims.values()) == ["3", "A"]
    titles = [one.text for one in packet.findall(".//{*}title//{*}li")]
    assert titles == [reader.metadata.title] == ["Closing certificate FW-000001"]
    authors = [one.text for one in packet.findall(".//{*}creator//{*}li")]
    assert authors == [reader.metadata.author] == ["Lantern Hill Stoves"]
    assert set(reader.metadata) == {"/Title", "/Author", "/Producer"}

    # 6.2.3: one output intent with its profile.
    (intent,) = root["/OutputIntents"]
    assert intent["/S"] == "/GTS_PDFA1"
    assert intent["/DestOutputProfile"].get_object()["/N"] == 3
    assert intent["/DestOutputProfile"].get_object().get_data()[36:40] == b"acsp"

    # 6.2.11: every font embedded, each with its letters' Unicode.
    for line in poppler("pdffonts", content, tmp_path).splitlines()[2:]:
        assert line.split()[-5:-2] == ["yes", "yes", "yes"], line

    # 6.3: the seal's field is printable, not hidden, and shows nothing.
    annotations = [one.get_object() for page in reader.pages for one in page.get("/Annots", [])]
    assert [one["/Subtype"] for one in annotations] == ["/Widget"]
    assert annotations[0]["/F"] & 0b100111 == 0b100
    assert len(set(annotations[0]["/Rect"])) == 1
    assert not root["/AcroForm"].get_object().get("/NeedAppearances", False)

    # 6.5.2: no actions, no script.
    for word in ("/OpenAction", "/AA", "/JavaScript", "/XFA"):
        assert word not in root

    # 6.8: the record is associated with the document, said to be its data, and named once.
    (associated,) = root["/AF"]
    file = associated.get_object()
    assert (file["/AFRelationship"], file["/UF"], file["/F"]) == ("/Data", *["certificate-record.json"] * 2)
    assert file["/Desc"]
    embedded = file["/EF"]["/F"].get_object()
    assert embedded["/Subtype"] == "/application/json"
    assert embedded["/Params"]["/ModDate"].startswith("D:20260504")
    names = root["/Names"]["/EmbeddedFiles"]["/Names"]
    assert isinstance(names[1], IndirectObject)
    assert names[1].idnum == associated.idnum

    # 6.7 of part 2: marked, in a language, with a tree of standard types, and every picture in words.
    assert root["/MarkInfo"]["/Marked"] is True or root["/MarkInfo"]["/Marked"].value is True
    assert root["/Lang"] == "en-US"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    tree = elements(root["/StructTreeRoot"])
    assert {one["/S"][1:] for one in tree} <= TYPES
    figures = [one for one in tree if one["/S"] == "/Figure"]
    assert len(figures) > Photo.objects.count() > 10
    assert all(one.get("/Alt") for one in figures)


def test_what_stands_in_a_pages_foot_is_no_content(content, tmp_path):
    said = poppler("pdfinfo", content, tmp_path, "-struct-text")
    assert "Closing certificate" in said
    assert "Record mark" in Paper(content, tmp_path).page(2)
    assert "Page 2 of" not in said
    # On the first page and in the record, but not once more for every page.
    assert said.count("To check this paper") == 0
    for page in pypdf.PdfReader(io.BytesIO(content)).pages:
        assert b"/Artifact <</Type /Pagination/Subtype /Footer>>" in re.sub(
            rb"\s+", b" ", page.get_contents().get_data()
        )


def test_every_marked_piece_of_a_page_has_its_place_in_the_tree(content):
    reader = pypdf.PdfReader(io.BytesIO(content))
    numbers = reader.trailer["/Root"]["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    places = dict(zip(numbers[::2], numbers[1::2], strict=True))
    known = {id(one) for one in elements(reader.trailer["/Root"]["/StructTreeRoot"])}
    for page in reader.pages:
        marked = {int(one) for one in re.findall(rb"/MCID (\d+)", page.get_contents().get_data())}
        placed = places[page["/StructParents"]].get_object()
        assert marked
        for number in marked:
            assert id(placed[number].get_object()) in known


def test_qpdf_reads_all_of_it_as_json(content, tmp_path):
    Paper(content, tmp_path)
    done = subprocess.run(["qpdf", "--json", tmp_path / "paper.pdf"], capture_output=True, check=True)
    told = json.loads(done.stdout)
    assert told["encrypt"]["encrypted"] is False
    assert list(told["attachments"]) == ["certificate-record.json"]
    assert [one["fieldtype"] for one in told["acroform"]["fields"]] == ["/Sig"]


def test_a_certificate_stays_below_three_megabytes(content):
    assert len(content) < 3_000_000


def poppler(program: str, content: bytes, folder, *told: str) -> str:
    path = folder / "looked_at.pdf"
    path.write_bytes(content)
    return subprocess.run([program, *told, path], capture_output=True, text=True, check=True).stdout
