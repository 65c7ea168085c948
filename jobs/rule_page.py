"""A rule book as its pages show it, and the address of the rule behind a source."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from urllib.parse import urlencode

from django.urls import reverse

from calcs.checks import Provenance, Source
from calcs.rule import Row, RuleBook, Table
from calcs.rule_sheet import Chapter, Line, chapters, key_words, not_held, search, topic_title
from calcs.rulebook import codes, load_rulebook

_LEARNED = {
    Provenance.READ: "read",
    Provenance.SECOND_HAND: "second-hand",
    Provenance.MEMORY: "from memory",
}


@dataclass(frozen=True)
class BookCard:
    """A rule book in a line or two."""

    code: str
    title: str
    edition: str
    rules: int
    #: How many figures were learned in which way, such as "62 read, 30 second-hand".
    tally: str


@dataclass(frozen=True)
class RuleRow:
    """A rule, or a row of a table."""

    line: Line
    learned: str
    url: str
    #: Each cell as printed, and in SI.
    cells: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class RuleTable:
    """A table as its document prints it."""

    key: str
    title: str
    note: str
    #: Name, unit and number of columns of each group of figures, then the heads under them.
    groups: tuple[tuple[str, str, int], ...]
    heads: tuple[str, ...]
    rows: tuple[RuleRow, ...]


@dataclass(frozen=True)
class RuleChapter:
    """What is shown of one topic."""

    topic: str
    title: str
    rules: tuple[RuleRow, ...]
    tables: tuple[RuleTable, ...]


@dataclass(frozen=True)
class OtherBook:
    """What another book says under the same key."""

    code: str
    title: str
    printed: str
    learned: str
    url: str


@dataclass(frozen=True)
class RuleAlone:
    """One rule or table with what the other books say."""

    key: str
    title: str
    topic: str
    held: bool
    row: RuleRow | None = None
    table: RuleTable | None = None
    others: tuple[OtherBook, ...] = ()


@dataclass(frozen=True)
class BookPage:
    """One rule book, or as much of it as was asked for."""

    card: BookCard
    topics: tuple[tuple[str, str], ...]
    chapters: tuple[RuleChapter, ...]
    missing: tuple[tuple[str, str, tuple[str, ...]], ...] = ()
    alone: RuleAlone | None = None
    #: A rule that was asked for and that no book holds.
    nowhere: str = ""
    found: int = field(default=0)


def rule_address(code: str, source: Source | None) -> str:
    """Return the address of the rule a source is, "" where it is none of that book."""
    if source is None or not source.rule or code not in codes():
        return ""
    book, key = load_rulebook(code), source.rule.partition("#")[0]
    return _address(code, source.rule) if key in book.rules or key in book.tables else ""


def book_cards() -> list[BookCard]:
    """Return every rule book in short."""
    return [_card(load_rulebook(code)) for code in codes()]


def rules_found(text: str) -> list[tuple[BookCard, list[RuleRow]]]:
    """Return the rules of all books that hold the words of a text."""
    found = []
    for code in codes():
        book = load_rulebook(code)
        if lines := search(book, text):
            found.append((_card(book), [_row(code, line) for line in lines]))
    return found


def book_page(code: str, *, text: str = "", topic: str = "", key: str = "") -> BookPage:
    """Return a rule book: one rule with its topic, the rules that hold a text, one topic, or all."""
    book = load_rulebook(code)
    written = chapters(book)
    alone = _alone(book, key) if key else None
    if alone:
        shown = [one for one in written if one.topic == alone.topic]
    elif text:
        keys = {line.key for line in search(book, text)}
        shown = [cut for one in written if (cut := _cut(one, keys)).lines]
    else:
        shown = [one for one in written if topic in ("", one.topic)]
    whole = not (text or topic or alone)
    missing = [(one, key_words(one), books) for one, books in not_held(code)] if whole else []
    return BookPage(
        card=_card(book),
        topics=tuple((one.topic, one.title) for one in written),
        chapters=tuple(_chapter(code, one) for one in shown),
        missing=tuple(missing),
        alone=alone,
        nowhere=key if key and alone is None else "",
        found=sum(len(one.lines) for one in shown),
    )


def _address(code: str, key: str) -> str:
    return f"{reverse('rule_book', args=[code])}?{urlencode({'rule': key})}"


def _card(book: RuleBook) -> BookCard:
    lines = [line for chapter in chapters(book) for line in chapter.lines]
    count = Counter(line.source.provenance for line in lines)
    tally = ", ".join(f"{count[one]} {_LEARNED[one]}" for one in Provenance if count[one])
    return BookCard(book.code, book.title, book.edition, len(lines), tally)


def _cut(chapter: Chapter, keys: set[str]) -> Chapter:
    tables = ((table, tuple(one for one in lines if one.key in keys)) for table, lines in chapter.tables)
    return Chapter(
        chapter.topic,
        chapter.title,
        tuple(line for line in chapter.rules if line.key in keys),
        tuple((table, lines) for table, lines in tables if lines),
    )


def _chapter(code: str, chapter: Chapter) -> RuleChapter:
    return RuleChapter(
        chapter.topic,
        chapter.title,
        tuple(_row(code, line) for line in chapter.rules),
        tuple(_table(code, table, lines) for table, lines in chapter.tables),
    )


def _row(code: str, line: Line, cells: tuple[tuple[str, str], ...] = ()) -> RuleRow:
    return RuleRow(line, _LEARNED[line.source.provenance], _address(code, line.key), cells)


def _table(code: str, table: Table, lines: tuple[Line, ...]) -> RuleTable:
    span = len(table.heads) or 1
    return RuleTable(
        table.key,
        key_words(table.key),
        table.note,
        tuple(
            (name.replace("_", " "), "" if unit == "count" else unit, span)
            for name, (unit, _) in table.fields.items()
        ),
        table.heads * len(table.fields),
        tuple(_row(code, line, _cells(table, table.rows[line.key.partition("#")[2]])) for line in lines),
    )


def _cells(table: Table, row: Row) -> tuple[tuple[str, str], ...]:
    cells = []
    for name, (_, unit) in table.fields.items():
        for printed, figure in zip(row.as_printed[name], row.figures[name], strict=True):
            bare = "" if unit in {"1", "count"} else f" {unit}"
            cells.append((printed, "" if figure is None else f"{figure:.5g}{bare}"))
    return tuple(cells)


def _alone(book: RuleBook, asked: str) -> RuleAlone | None:
    key, _, row = asked.partition("#")
    holders = [code for code in codes() if key in _keys(load_rulebook(code))]
    if not holders:
        return None
    others = tuple(_other(code, key, row) for code in holders if code != book.code)
    topic = key.partition(".")[0]
    title = f"{topic_title(topic)}: {key_words(key)}"
    chapter = next((one for one in chapters(book) if one.topic == topic), None)
    if chapter is None or book.code not in holders:
        return RuleAlone(key, title, topic, held=False, others=others)
    for line in chapter.lines:
        if line.key == asked and (line.key == key or row):
            found = f"{title}, {line.says}" if row else title
            return RuleAlone(key, found, topic, held=True, row=_row(book.code, line), others=others)
    table = next(_table(book.code, one, lines) for one, lines in chapter.tables if one.key == key)
    return RuleAlone(key, title, topic, held=True, table=table, others=others)


def _keys(book: RuleBook) -> Mapping[str, object]:
    return {**book.rules, **book.tables}


def _other(code: str, key: str, row: str) -> OtherBook:
    book = load_rulebook(code)
    asked = f"{key}#{row}" if row and row in getattr(book.table(key), "rows", {}) else key
    line = next((one for chapter in chapters(book) for one in chapter.lines if one.key == asked), None)
    printed = line.printed if line else "a table of its own"
    learned = _LEARNED[line.source.provenance] if line else ""
    return OtherBook(code, book.title, printed, learned, _address(code, asked))
