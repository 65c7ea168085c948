"""JSON as the standard has it, and what is wrong with it in words."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, NoReturn


def json_read(content: bytes) -> Any:
    """Return what JSON says; a ValueError for anything else.

    Figures the standard does not know are refused, for no database keeps them, and so is JSON nested deeper
    than anything here is.
    """
    try:
        return json.loads(content.decode("utf-8"), parse_constant=_no_figure)
    except RecursionError as error:
        raise ValueError("nested too deep") from error


def problem_words(problems: Sequence[Any]) -> str:
    """Return the first thing that a reader of JSON found wrong, in words, and where."""
    first = problems[0]
    place = ".".join(str(one) for one in first["loc"] if one not in {"body", "payload"})
    words = str(first["msg"]).removeprefix("Value error, ").rstrip(".")
    return f"{place}: {words[:1].lower()}{words[1:]}" if place else f"{words[:1].lower()}{words[1:]}"


def _no_figure(told: str) -> NoReturn:
    raise ValueError(f"{told} is no figure")
