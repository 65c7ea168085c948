"""The rule books as a page of Markdown."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from calcs.checks import Provenance
from calcs.rule import RuleBook
from calcs.rule_sheet import PROVENANCE_WORDS, Line, chapters, not_held
from calcs.rulebook import codes, load_rulebook

#: How the columns say it; the head of the page spells it out.
_LEARNED = {
    Provenance.READ: "read",
    Provenance.SECOND_HAND: "second-hand",
    Provenance.MEMORY: "from memory",
}


def rules_markdown() -> Iterator[str]:
    """Every rule of every book, line by line.

    Returns
    -------
    Iterator of str
        The lines of the page [-]

    Examples
    --------
    >>> next(rules_markdown())
    '# Rules'
    """
    yield from (
        "# Rules",
        "",
        "Every figure the rule books in `calcs/rulebooks/` hold, as its source prints it and as the program",
        "reckons with it. A rule that a book does not hold gives *unknown*, never a default. Written by",
        "`python -m calcs rules --markdown`.",
        "",
        "How a figure was learned:",
        "",
    )
    yield from (f"- *{_LEARNED[one]}*: {words}." for one, words in PROVENANCE_WORDS.items())
    for code in codes():
        yield from _book(load_rulebook(code))


def _book(book: RuleBook) -> Iterator[str]:
    written = chapters(book)
    lines = [line for chapter in written for line in chapter.lines]
    count = Counter(line.source.provenance for line in lines)
    tally = ", ".join(f"{count[one]} {_LEARNED[one]}" for one in Provenance)
    yield from ("", f"## {book.title} (`{book.code}`, edition {book.edition})", "")
    yield f"{len(lines)} rules and rows of tables: {tally}."
    for chapter in written:
        yield from ("", f"### {book.code}: {chapter.title}")
        if chapter.rules:
            yield from _lines("rule", chapter.rules)
        for table, rows in chapter.tables:
            heads = f", columns for {' | '.join(table.heads)}" if table.heads else ""
            yield from ("", f"Table `{table.key}`{_cell(heads)}. {_cell(table.note)}".rstrip())
            yield from _lines("row", rows)
    if missing := not_held(book.code):
        yield from ("", f"### {book.code}: not held here", "")
        yield from (f"- `{key}` (held by {', '.join(books)})" for key, books in missing)


def _lines(first: str, lines: tuple[Line, ...]) -> Iterator[str]:
    yield from (
        "",
        f"| {first} | as printed | in SI | source | section | edition | learned | note |",
        f"|{' --- |' * 8}",
    )
    for line in lines:
        source = line.source
        what = f"`{line.key}`" if first == "rule" else f"`{line.key.partition('#')[2]}` {line.says}"
        cells = (
            what, line.printed, line.si, f"{source.kind}: {line.document}", line.section,
            source.edition or "none stated", _LEARNED[source.provenance], line.note,
        )  # fmt: skip
        yield f"| {' | '.join(_cell(cell) for cell in cells)} |"


def _cell(text: str) -> str:
    return text.replace("|", "\\|")
