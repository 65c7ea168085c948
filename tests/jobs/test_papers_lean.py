"""What keeps a worker's memory flat and a paper quick: no letter feature asked for line by line."""

from __future__ import annotations

import gc
import re
import subprocess
from pathlib import Path

import pytest
from django.conf import settings
from weasyprint.text import line_break

from jobs.services import papers
from jobs.services.papers import collector_at_rest, paper_render

FOLDER = Path(settings.BASE_DIR) / "templates" / "documents"
#: CSS properties that become features of a font, CSS Fonts Level 4, 6 and 7.
FEATURES = re.compile(r"font-(?:variant|feature|kerning)[\w-]*\s*:")


@pytest.fixture
def template(settings, tmp_path):
    """Return a function that writes a template in the papers' style and gives its name."""
    settings.TEMPLATES = [{**settings.TEMPLATES[0], "DIRS": [*settings.TEMPLATES[0]["DIRS"], tmp_path]}]

    def write(body: str) -> str:
        style = "<style>{% include 'documents/paper.css' %}</style>"
        (tmp_path / "lean.html").write_text(f"<html lang='en'><head>{style}</head><body>{body}</body></html>")
        return "lean.html"

    return write


def test_no_style_of_a_paper_asks_for_letter_features_outside_a_font_face():
    # WeasyPrint makes an attribute list for every line of such text and never frees it.
    looked_at = [one for one in FOLDER.rglob("*") if one.suffix in {".css", ".html"}]
    assert len(looked_at) > 10
    for one in looked_at:
        text = re.sub(r"@font-face\s*{[^}]*}", "", one.read_text())
        assert not FEATURES.search(text), one


def test_no_line_of_a_paper_asks_pango_for_letter_features(template, monkeypatch):
    asked = []
    whole = line_break.font_features

    def watched(*told):
        asked.append(whole(*told))
        return asked[-1]

    monkeypatch.setattr(line_break, "font_features", watched)
    paper_render(template=template("<h1>One</h1><p>12 1/2 in, <strong>bold</strong></p>"), context={})
    assert asked
    assert not any(asked)


def test_figures_still_stand_below_each_other(template, tmp_path):
    rows = "".join(
        f"<tr><td><{tag}>{one * 6}</{tag}></td></tr>" for tag in ("span", "b") for one in "0123456789"
    )
    (tmp_path / "figures.pdf").write_bytes(
        paper_render(template=template(f"<table>{rows}</table>"), context={})
    )
    told = subprocess.run(
        ["pdftotext", "-bbox", tmp_path / "figures.pdf", "-"], capture_output=True, text=True, check=True
    ).stdout
    words = re.findall(r'xMin="([\d.]+)"[^>]*xMax="([\d.]+)"[^>]*>(\d{6})<', told)
    assert len(words) == 20
    for cut in (words[:10], words[10:]):
        widths = [float(right) - float(left) for left, right, _ in cut]
        # In the proportional figures of these cuts a 1 is a third narrower than a 0.
        assert max(widths) - min(widths) < 0.01


def test_the_collector_rests_while_a_paper_is_made_and_works_again_after(template, monkeypatch):
    seen = []

    def finish(document, pdf):
        seen.append(gc.isenabled())

    monkeypatch.setattr(papers, "paper_finish", finish)
    paper_render(template=template("<p>x</p>"), context={})
    assert seen == [False]
    assert gc.isenabled()


def test_the_collector_works_again_after_a_paper_that_failed():
    with pytest.raises(ZeroDivisionError), collector_at_rest():
        raise ZeroDivisionError
    assert gc.isenabled()


def test_a_collector_that_was_off_stays_off():
    gc.disable()
    try:
        with collector_at_rest():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()
