"""The pages of docs/ that are written by a command stay what the command writes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.urls import reverse

from calcs.checks import Provenance
from calcs.rule_markdown import rules_markdown
from calcs.rulebook import codes, load_rulebook
from tests.published import __main__ as published

#: Modules an engineer looks for.
ENTRY_POINTS = (
    "air_supply", "atmosphere", "clearance", "connector", "designation", "draft", "flashing", "fluegas",
    "framing", "hearth", "roof", "sections", "servicing", "shield", "termination",
)  # fmt: skip
DOCS = Path(settings.BASE_DIR) / "docs"
FILES = sorted(published.FOLDER.glob("test_*.py"))


def assert_kept(page: str, written: list[str], command: str) -> None:
    kept = (DOCS / page).read_text(encoding="utf-8").splitlines()
    differing = [line for line in (*written, *kept) if line not in kept or line not in written]
    assert kept == written, f"run: {command} > docs/{page} (differs first at: {differing[:1]})"


def test_the_page_of_rules_is_what_the_rule_books_hold():
    assert_kept("rules.md", list(rules_markdown()), ".venv/bin/python -m calcs rules --markdown")


def test_the_page_of_checks_is_what_the_tests_name():
    assert_kept("checks.md", list(published.markdown()), ".venv/bin/python -m tests.published")


@pytest.mark.parametrize("code", codes())
def test_the_page_of_rules_holds_every_rule_and_row_once(code):
    book = load_rulebook(code)
    text = "\n".join(rules_markdown()).split(f"(`{code}`, edition")[1].split("\n## ")[0]
    for key, rule in book.rules.items():
        assert text.count(f"\n| `{key}` |") == 1
        assert rule.as_printed in text
    for key, table in book.tables.items():
        assert text.count(f"\nTable `{key}`") == 1
        part = text.split(f"\nTable `{key}`")[1].split("\nTable ")[0]
        assert all(part.count(f"\n| `{row}` ") == 1 for row in table.rows)


def test_every_way_a_figure_was_learned_is_spelled_out():
    head = "\n".join(rules_markdown()).split("\n## ")[0]
    assert head.count("\n- *") == len(Provenance)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_published_check_names_its_source_and_ground(path):
    about, checks = published.checks_in(path)
    assert about
    assert checks
    for check in checks:
        assert check.source, f"{check.sentence}: write its source in a comment above the test"
        assert check.ground, (
            f"{check.sentence}: say whether “{check.source}” was read, second-hand, from memory, common "
            "practice, another program's or reckoned a second way"
        )


@pytest.mark.parametrize(
    ("source", "ground"),
    [
        ("IRC R1003.9 (read): 3 ft.", "read"),
        ("12/12 and 6/12 read, the others from memory.", "from memory, read"),
        ("The scipy package.", "another program"),
        ("Because.", ""),
    ],
)
def test_the_ground_is_what_the_source_says(source, ground):
    assert published.ground_of(source) == ground


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md", "docs/tablet.md"])
def test_every_file_a_page_names_is_there(page):
    root = Path(settings.BASE_DIR)
    named = re.findall(
        r"`((?:calcs|tests|bin|jobs|config|docs)/[\w./]+?)`|\]\(([\w./]+)\)", (root / page).read_text()
    )
    assert named
    for code, link in named:
        assert (root / code if code else (root / page).parent / link).exists(), code or link


def test_the_readme_says_where_every_relation_with_a_source_of_its_own_is():
    root = Path(settings.BASE_DIR)
    readme = (root / "README.md").read_text(encoding="utf-8")
    for name in ENTRY_POINTS:
        assert f"`calcs/{name}.py`" in readme
        assert (root / "calcs" / f"{name}.py").is_file()


def test_the_words_the_page_of_the_tablet_quotes_stand_in_the_app():
    """Up to the first figure, which the app fills in."""
    root = Path(settings.BASE_DIR)
    sources = [*(root / "static" / "tablet").rglob("*.js")]
    # A sentence may be written in pieces.
    app = re.sub(r'"\s*\+\s*"', "", "\n".join(path.read_text(encoding="utf-8") for path in sources))
    quoted = re.findall(r"“(.+?)”", (DOCS / "tablet.md").read_text(encoding="utf-8"))
    assert len(quoted) > 15
    assert [words for words in quoted if re.split(r"\d|just now", words)[0] not in app] == []


def test_the_page_of_the_tablet_leads_to_places_there_are():
    text = (DOCS / "tablet.md").read_text(encoding="utf-8")
    assert reverse("tablet") in text
    assert f"`{reverse('bring_in')}`" in text
    assert f"`{reverse('tablet_service_worker')}`" in text
    headings = {
        re.sub(r"[^\w\- ]", "", line.lstrip("# ").lower()).replace(" ", "-")
        for line in text.splitlines()
        if line.startswith("#")
    }
    assert set(re.findall(r"\]\(#([\w-]+)\)", text)) <= headings


def test_the_page_about_the_seal_leads_only_to_what_is_there():
    text = (DOCS / "sealing.md").read_text(encoding="utf-8")
    for link in re.findall(r"\]\(([^)#]+)\)", text):
        assert (DOCS / link).is_file(), link
    for path in re.findall(r"`([a-z_]+/[\w/]+\.py)`", text):
        assert (DOCS.parent / path).is_file(), path
