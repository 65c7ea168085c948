"""Rule books: one per jurisdiction, every figure with its section, edition and provenance."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from calcs.rule import Row, Rule, RuleBook, Table
from calcs.rulebook_file import UNITS, read_rulebook

__all__ = ["FOLDER", "UNITS", "Row", "Rule", "RuleBook", "Table", "codes", "load_rulebook", "read_rulebook"]

FOLDER = Path(__file__).with_name("rulebooks")


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


@cache
def load_rulebook(code: str) -> RuleBook:
    """Return the rule book of a jurisdiction.

    Parameters
    ----------
    code : str
        us | ca | uk [-]

    Returns
    -------
    RuleBook
        Its rules and tables, figures in SI [-]

    Raises
    ------
    ValueError
        No such book; the sentence lists the codes there are.

    Examples
    --------
    >>> load_rulebook("ca").find("termination.above_penetration").as_printed
    '900 mm'
    """
    if code not in codes():
        raise ValueError(f"There is no rule book {code!r}; choose one of {', '.join(codes())}.")
    return read_rulebook((FOLDER / f"{code}.toml").read_bytes(), name=f"{code}.toml")


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
