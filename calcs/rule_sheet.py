"""The rule books as people read them: every rule with its figures, source and how it was learned."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from calcs.checks import Provenance, Source
from calcs.rule import Row, Rule, RuleBook, Table
from calcs.rulebook import codes, load_rulebook

#: How a figure was learned, spelled out.
PROVENANCE_WORDS = {
    Provenance.READ: "read in the document or in a code that reprints it",
    Provenance.SECOND_HAND: "second-hand: quoted by somebody else",
    Provenance.MEMORY: "from memory, not seen: look it up before relying on it",
}
_TOPICS = {
    "air_supply": "Air for the fire",
    "alarm": "Alarms",
    "chimney": "Chimney and flue",
    "clearance": "Clearances",
    "connector": "Connector",
    "draft": "Draft",
    "dust": "Dust and fibres",
    "fall": "Falls",
    "flashing": "Flashing",
    "framing": "Framing",
    "fuel": "Fuel",
    "hearth": "Hearth",
    "inspection": "Inspection",
    "ladder": "Ladders",
    "liner": "Liner in a masonry chimney",
    "notice": "Notice plate and papers",
    "shield": "Attic shield",
    "support": "Ceiling support",
    "sweep": "Sweeping",
    "termination": "Outlet above the roof",
    "vault": "Vaulted ceiling",
    "wall": "Through the wall",
}
#: Units of a rule without a figure, and of bare numbers, are not written out.
_BARE = frozenset({"words", "count", "1"})


@dataclass(frozen=True)
class Line:
    """One rule or one row of a table, ready to be shown."""

    #: Key in its book, `table#row` for a row.
    key: str
    says: str
    printed: str
    si: str
    section: str
    source: Source
    note: str

    @property
    def provenance(self) -> str:
        """How it was learned, spelled out."""
        return PROVENANCE_WORDS[self.source.provenance]

    @property
    def document(self) -> str:
        """The source without the section in it."""
        return self.source.reference.removesuffix(self.section).strip()


@dataclass(frozen=True)
class Chapter:
    """All a book holds on one topic."""

    topic: str
    title: str
    rules: tuple[Line, ...]
    tables: tuple[tuple[Table, tuple[Line, ...]], ...]

    @property
    def lines(self) -> tuple[Line, ...]:
        """Rules first, then the rows of the tables."""
        return (*self.rules, *(line for _, lines in self.tables for line in lines))


def key_words(key: str) -> str:
    """Key of a rule as words.

    Parameters
    ----------
    key : str
        Key of a rule or a table, or `table#row` [-]

    Returns
    -------
    str
        What the key says after its topic [-]

    Examples
    --------
    >>> key_words("hearth.front.listed"), key_words("alarm.co_distance")
    ('Front, listed', 'CO distance')
    """
    rest = key.partition("#")[0].partition(".")[2] or key
    words = re.sub(r"\bco\b", "CO", rest.replace(".", ", ").replace("_", " "))
    return words[:1].upper() + words[1:]


def topic_title(topic: str) -> str:
    """Topic of a rule as a heading.

    Parameters
    ----------
    topic : str
        First word of a rule's key [-]

    Returns
    -------
    str
        The heading [-]

    Examples
    --------
    >>> topic_title("air_supply")
    'Air for the fire'
    """
    return _TOPICS.get(topic) or topic.replace("_", " ").capitalize()


def chapters(book: RuleBook) -> tuple[Chapter, ...]:
    """A rule book by topic, in the order of the topics' headings.

    Parameters
    ----------
    book : RuleBook
        The rule book [-]

    Returns
    -------
    tuple of Chapter
        Every rule and every row of every table once [-]

    Examples
    --------
    >>> [one.title for one in chapters(load_rulebook("us"))][:2]
    ['Air for the fire', 'Alarms']
    """
    topics = {key.partition(".")[0] for key in (*book.rules, *book.tables)}
    return tuple(
        Chapter(
            topic,
            topic_title(topic),
            tuple(rule_line(rule) for key, rule in book.rules.items() if _topic(key) == topic),
            tuple(
                (table, tuple(row_line(table, row) for row in table.rows.values()))
                for key, table in book.tables.items()
                if _topic(key) == topic
            ),
        )
        for topic in sorted(topics, key=topic_title)
    )


def rule_line(rule: Rule) -> Line:
    """One rule as a line.

    Parameters
    ----------
    rule : Rule
        The rule [-]

    Returns
    -------
    Line
        The line [-]

    Examples
    --------
    >>> rule_line(load_rulebook("us").rules["termination.radius"]).si
    '3.048 m'
    """
    ends = [_si(value, rule.unit) for value in (rule.value, rule.upper) if value is not None]
    return Line(
        rule.key,
        key_words(rule.key),
        rule.as_printed,
        " to ".join(ends),
        rule.section,
        rule.source,
        rule.note,
    )


def row_line(table: Table, row: Row) -> Line:
    """One row of a table as a line, its cells one after the other.

    Parameters
    ----------
    table : Table
        The table [-]
    row : Row
        One of its rows [-]

    Returns
    -------
    Line
        The line [-]

    Examples
    --------
    >>> table = load_rulebook("uk").tables["chimney.flue_size"]
    >>> row_line(table, table.rows["open"]).printed
    'diameter 200 mm'
    """
    printed, si = [], []
    for name, (unit, si_unit) in table.fields.items():
        cells, figures = row.as_printed.get(name, ()), row.figures.get(name, ())
        if all(cell == "-" for cell in cells) and not table.heads:
            continue
        words = name.replace("_", " ")
        printed.append(f"{words} {' | '.join(cells)} {'' if unit == 'count' else unit}".strip())
        si.append(f"{words} {' | '.join(_si(figure, si_unit) for figure in figures)}")
    return Line(
        f"{table.key}#{row.key}",
        row.name,
        "; ".join(printed),
        "; ".join(si),
        table.section,
        row.source,
        row.note,
    )


def search(book: RuleBook, text: str) -> tuple[Line, ...]:
    """Rules and rows that hold every word of a text.

    Parameters
    ----------
    book : RuleBook
        The rule book [-]
    text : str
        Words in any order and case; keys, figures, sources, sections and notes are searched [-]

    Returns
    -------
    tuple of Line
        The lines found, in the order of the book [-]

    Examples
    --------
    >>> [line.key for line in search(load_rulebook("us"), "R1003.9 radius")]
    ['termination.above_radius', 'termination.radius']
    """
    wanted = text.lower().split()
    return tuple(
        line
        for chapter in chapters(book)
        for line in chapter.lines
        if all(word in _haystack(chapter, line) for word in wanted)
    )


def not_held(code: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """What other rule books hold and this one does not: the program's answer is unknown there.

    Parameters
    ----------
    code : str
        Code of the rule book [-]

    Returns
    -------
    tuple of tuple
        Key of a rule or a table, and the codes of the books that hold it [-]

    Examples
    --------
    >>> ("termination.radius", ("ca", "us")) in not_held("uk")
    True
    """
    held: dict[str, list[str]] = {}
    for other in codes():
        book = load_rulebook(other)
        for key in (*book.rules, *book.tables):
            held.setdefault(key, []).append(other)
    return tuple((key, tuple(books)) for key, books in sorted(held.items()) if code not in books)


def _topic(key: str) -> str:
    return key.partition(".")[0]


def _si(value: float | None, unit: str) -> str:
    if value is None:
        return "not permitted"
    return f"{value:.6g}" if unit in _BARE else f"{value:.6g} {unit}"


def _haystack(chapter: Chapter, line: Line) -> str:
    source = line.source
    parts: Iterable[str] = (
        chapter.title, line.key, line.says, line.printed, line.si, line.section, source.reference,
        source.edition, source.kind, source.provenance, line.note,
    )  # fmt: skip
    return " ".join(parts).lower()
