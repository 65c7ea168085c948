"""What somebody looks for, word by word."""

from __future__ import annotations

LONGEST = 120


def search_words(text: str) -> list[str]:
    """Return the words of a search, each of which must be found; what no row can hold is left out."""
    return text[:LONGEST].replace("\x00", "").split()
