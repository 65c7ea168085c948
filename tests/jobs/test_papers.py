"""A paper is made of its frozen context, the bundled fonts and the pictures it names, and of nothing else."""

from __future__ import annotations

import http.server
import threading

import pytest
from django.core import checks
from weasyprint.urls import FatalURLFetchingError

from jobs import paper_fonts
from jobs.errors import JobsError
from jobs.services.paper_sources import PaperFetcher
from jobs.services.papers import paper_render
from tests.paper import FONTS, Paper

KNOWN = "a" * 64


@pytest.fixture
def template(settings, tmp_path):
    """Return a function that writes a template and gives its name."""
    settings.TEMPLATES = [{**settings.TEMPLATES[0], "DIRS": [*settings.TEMPLATES[0]["DIRS"], tmp_path]}]

    def write(body: str) -> str:
        style = "<style>{% include 'documents/paper.css' %}</style>"
        (tmp_path / "one.html").write_text(f"<html lang='en'><head>{style}</head><body>{body}</body></html>")
        return "one.html"

    return write


@pytest.mark.parametrize(
    "url",
    [
        "http://127.0.0.1/x.png",
        "https://house.example/x.png",
        "ftp://house.example/x.png",
        "file:///etc/hostname",
        "FILE:///etc/hostname",
        "static:css/fluewright.css",
        "static:../manage.py",
        "static:/etc/hostname",
        f"picture:{'b' * 64}",
        "picture:",
        "/etc/hostname",
    ],
)
def test_the_fetcher_refuses_everything_a_paper_does_not_name(url):
    with pytest.raises(FatalURLFetchingError):
        PaperFetcher([KNOWN]).fetch(url)


def test_the_fetcher_opens_bundled_fonts_named_pictures_and_data(settings, monkeypatch):
    monkeypatch.setattr(
        "jobs.services.paper_sources.picture_read", lambda sha256: (sha256.encode(), "image/jpeg")
    )
    fetcher = PaperFetcher([KNOWN])
    assert fetcher.fetch(f"static:{paper_fonts.FONTS[0]}").read(4) == b"wOF2"
    assert fetcher.fetch(f"picture:{KNOWN}").read() == KNOWN.encode()
    assert fetcher.fetch("data:text/plain,hello").read() == b"hello"


def test_rendering_asks_nothing_of_the_network_and_stops(template):
    asked: list[str] = []

    class Listener(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)

    server = http.server.HTTPServer(("127.0.0.1", 0), Listener)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        for body in (
            "<img src='{}'>",
            "<style>@import url({});</style>",
            "<p style='background: url({})'>x</p>",
        ):
            with pytest.raises(JobsError) as refusal:
                paper_render(
                    template=template(body.format(f"http://127.0.0.1:{server.server_port}/x")), context={}
                )
            assert refusal.value.code == "part_missing"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
    assert asked == []


@pytest.fixture
def no_fonts(settings):
    """Static files without the npm packages."""
    settings.STATICFILES_DIRS = [settings.BASE_DIR / "static"]
    paper_fonts.finders.get_finder.cache_clear()
    yield
    paper_fonts.finders.get_finder.cache_clear()


def test_a_missing_font_is_an_error_that_says_what_to_do(no_fonts, template):
    with pytest.raises(JobsError) as refusal:
        paper_render(template=template("x"), context={})
    assert refusal.value.code == "font_missing"
    assert "bin/setup" in refusal.value.sentence


def test_a_system_check_names_missing_fonts(no_fonts):
    (found,) = checks.run_checks(tags=["papers"])
    assert found.id == "fluewright.E009"
    assert paper_fonts.FONTS[0] in found.msg


def test_with_its_fonts_the_system_check_has_nothing_to_say():
    assert checks.run_checks(tags=["papers"]) == []


def test_a_name_beyond_latin_1_is_set_in_the_bundled_fonts(template, tmp_path):
    paper = Paper(
        paper_render(template=template("<h1>Żółć</h1><p>Łukaszewska, Šimůnek, Ångström</p>"), context={}),
        tmp_path,
    )
    assert "Łukaszewska, Šimůnek, Ångström" in paper.text
    assert paper.fonts <= {*FONTS, "Barlow-Condensed-Ext"}


def test_signs_the_fonts_lack_are_spelled_out(template, tmp_path):
    paper = Paper(paper_render(template=template("<p>22⅝″ ≥ 2½</p>"), context={}), tmp_path)
    assert '22 5/8" at least 2½' in paper.text
    assert paper.fonts <= FONTS


def test_what_a_person_typed_is_text_and_never_markup(template, tmp_path):
    paper = Paper(
        paper_render(
            template=template("<p>{{ typed }}</p>"), context={"typed": "<img src='http://x.example/y'>"}
        ),
        tmp_path,
    )
    assert "<img src='http://x.example/y'>" in paper.text
