"""Rule books: one per jurisdiction, every figure with its section, edition and provenance."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from calcs.rule import Row, Rule, RuleBook, Table
from calcs.rulebook_file import UNITS, read_rulebook

__all__ = [
    "FOLDER",
    "UNITS",
    "Row",
    "Rule",
    "RuleBook",
    "Table",
    "as_rulebook",
    "codes",
    "edition_file",
    "load_rulebook",
    "read_rulebook",
]

FOLDER = Path(__file__).with_name("rulebooks")
#: Beside the current books: those of editions that plans were made with and that hold no longer.
EDITIONS = "editions"


def codes() -> tuple[str, ...]:
    """Codes of the rule books that come with the program.

    Returns
    -------
    tuple[str, ...]
        The codes in alphabetical order [-]

    Examples
    --------
    >>> codes()
    ('ca', 'uk', 'us')
    """
    return tuple(sorted(path.stem for path in FOLDER.glob("*.toml")))


def edition_file(code: str, edition: str) -> str:
    """Where the file of an earlier edition stands, from the folder of the program.

    Parameters
    ----------
    code : str
        us | ca | uk [-]
    edition : str
        Edition as its book names itself [-]

    Returns
    -------
    str
        Path with what no file name should hold replaced [-]

    Examples
    --------
    >>> edition_file("us", "2025-1")
    'calcs/rulebooks/editions/us-2025-1.toml'
    """
    return f"calcs/rulebooks/{EDITIONS}/{code}-{re.sub('[^A-Za-z0-9.]+', '-', edition).strip('-.')}.toml"


@cache
def load_rulebook(code: str, edition: str | None = None, folder: Path = FOLDER) -> RuleBook:
    """Return the rule book of a jurisdiction, as it stands or of an edition that plans were made with.

    Parameters
    ----------
    code : str
        us | ca | uk [-]
    edition : str or None
        Edition as its book names itself; None takes the one that holds now [-]
    folder : Path
        Where the books are: the current ones, and earlier ones in `editions` under it [-]

    Returns
    -------
    RuleBook
        Its rules and tables, figures in SI [-]

    Raises
    ------
    ValueError
        No such book, or none of that edition; the sentence lists the codes there are, or names the file
        to put back.

    Examples
    --------
    >>> load_rulebook("ca").find("termination.above_penetration").as_printed
    '900 mm'
    >>> load_rulebook("us", "1999")
    Traceback (most recent call last):
    ValueError: The rule book us of edition 1999 is not here, only ...
    """
    known = sorted(path.stem for path in folder.glob("*.toml"))
    if code not in known:
        raise ValueError(f"There is no rule book {code!r}; choose one of {', '.join(known)}.")
    current = read_rulebook((folder / f"{code}.toml").read_bytes(), name=f"{code}.toml")
    if edition in {None, current.edition}:
        return current
    # By what a file says and not by its name: an edition may come from somebody else's paper.
    for path in sorted((folder / EDITIONS).glob("*.toml")):
        book = read_rulebook(path.read_bytes(), name=path.name)
        if (book.code, book.edition) == (code, edition):
            return book
    raise ValueError(
        f"The rule book {code} of edition {edition} is not here, only {current.edition}. Put its file back as"
        f" it was: {edition_file(code, edition or '')}."
    )


def as_rulebook(rulebook: RuleBook | str) -> RuleBook:
    """Return a rule book that was given itself or by its code.

    Parameters
    ----------
    rulebook : RuleBook or str
        The book, or us | ca | uk [-]

    Returns
    -------
    RuleBook
        The book [-]

    Raises
    ------
    ValueError
        No such book; the sentence begins with "rulebook" and lists the codes there are.

    Examples
    --------
    >>> as_rulebook("uk").title
    'United Kingdom'
    """
    if isinstance(rulebook, RuleBook):
        return rulebook
    if rulebook not in codes():
        raise ValueError(f"rulebook: there is no {rulebook!r}; choose one of {', '.join(codes())}")
    return load_rulebook(rulebook)
