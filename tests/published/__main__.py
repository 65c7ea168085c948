"""Writes docs/checks.md: every check in this folder with the source that stands beside it."""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

FOLDER = Path(__file__).parent
ROOT = FOLDER.parent.parent
#: What a source says -> what kind of ground it is.
GROUNDS = (
    (r"from memory|\(memory", "from memory"),
    (r"second-hand", "second-hand"),
    (r"common practice", "common practice"),
    (r"\(read\b|\bread[,;).]|public domain|as printed|textbook|handbook", "read"),
    (r"\bpackages?\b|\b(?:scipy|shapely|fluids|CoolProp|dateutil|icalendar|HiGHS)\b", "another program"),
    (r"geometr|trial|every|arithmetic|definition", "reckoned a second way"),
)  # fmt: skip
#: Sections such as r1003_9 and codes such as nbc, as the names of tests write them.
SECTION = re.compile(r"\b[a-z]?\d{1,4}(?: \d+)+\b")
CODES = re.compile(r"\b(?:irc|umc|nfpa|csa|nbc|adj|iso|en|uk|us|ashrae|ul|b365)\b")


@dataclass(frozen=True)
class PublishedCheck:
    """One test and what it stands on."""

    sentence: str
    source: str
    ground: str


def checks_in(path: Path) -> tuple[str, list[PublishedCheck]]:
    """Return what a file is about, and its checks.

    A check's source is the comment above it, else above the table it runs through, else its docstring, else
    what the file's docstring says at large.
    """
    text = path.read_text(encoding="utf-8")
    lines = text.splitlines()
    tree = ast.parse(text)
    about, _, at_large = (ast.get_docstring(tree) or "").partition("\n\n")
    checks, above_table = [], ""
    for node in tree.body:
        if isinstance(node, ast.Assign | ast.AnnAssign):
            above_table = _comment(node, lines, attributes=False) or above_table
        elif isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            told = _comment(node, lines) or above_table or ast.get_docstring(node) or at_large
            source = " ".join(told.split())
            checks.append(PublishedCheck(_sentence(node.name), source, ground_of(source)))
            above_table = ""
    return about, checks


def ground_of(source: str) -> str:
    """Return what kinds of ground a source names, "" where it names none."""
    found = [ground for pattern, ground in GROUNDS if re.search(pattern, source, re.IGNORECASE)]
    return ", ".join(dict.fromkeys(found))


def _sentence(name: str) -> str:
    words = name.removeprefix("test_").replace("_", " ")
    words = SECTION.sub(lambda found: found.group().replace(" ", ".").upper(), words)
    words = CODES.sub(lambda found: found.group().upper(), words)
    return words[:1].upper() + words[1:]


def _comment(node: ast.stmt, lines: list[str], *, attributes: bool = True) -> str:
    decorators = node.decorator_list if isinstance(node, ast.FunctionDef) else []
    first = min([node.lineno, *(one.lineno for one in decorators)]) - 1
    above: list[str] = []
    while first > 0 and lines[first - 1].startswith("#"):
        first -= 1
        above.insert(0, lines[first].lstrip("#: "))
    describes = not attributes and lines[first].startswith("#:")
    return "" if describes else " ".join(above)


def markdown() -> Iterator[str]:
    """Yield the page line by line."""
    yield from (
        "# Checks against the outside world",
        "",
        "Every check in `tests/published/` with the source named beside it, and the ground it stands on:",
        "*read* in the document, *second-hand* as quoted by somebody else, *from memory*, *common practice*",
        "of the trade, reckoned by *another program* of general purpose, or *reckoned a second way* here.",
        "Written by `python -m tests.published`.",
    )
    for path in sorted(FOLDER.glob("test_*.py")):
        about, checks = checks_in(path)
        yield from ("", f"## {about.rstrip('.')}", "", f"`{path.relative_to(ROOT)}`", "")
        yield from ("| check | source | ground |", "| --- | --- | --- |")
        for check in checks:
            cells = (check.sentence, check.source, check.ground)
            yield f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |"


if __name__ == "__main__":
    sys.stdout.write("\n".join(markdown()) + "\n")
