"""Frozen records to plain JSON types and back, by their own type hints."""

from __future__ import annotations

import types
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints


def to_plain(value: Any) -> Any:
    """Return dataclasses as dicts, tuples as lists and enums as their values, all the way down.

    Parameters
    ----------
    value : Any
        A record, or anything a record may hold

    Returns
    -------
    Any
        Plain JSON types

    Examples
    --------
    >>> from calcs.checks import Limit, Source, SourceKind
    >>> to_plain(Limit(0.05, None, "m", Source(SourceKind.LISTING, "sheet 4")))["source"]["kind"]
    'listing'
    """
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: to_plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, dict):
        return {key: to_plain(one) for key, one in value.items()}
    if isinstance(value, tuple | list):
        return [to_plain(one) for one in value]
    return value


@cache
def _hints(record: type) -> dict[str, Any]:
    return get_type_hints(record)


def from_plain(hint: Any, data: Any) -> Any:
    """Rebuild what `to_plain` made, as the type the hint names.

    Parameters
    ----------
    hint : Any
        A dataclass, an enum, or a hint made of tuples, lists, dicts and optionals of them
    data : Any
        Plain JSON types

    Returns
    -------
    Any
        The record

    Raises
    ------
    ValueError
        If `data` has a key the record does not know, lacks one it needs, or an enum has no such value.

    Examples
    --------
    >>> from calcs.checks import Source
    >>> from_plain(Source, {"kind": "code", "reference": "R1003.9", "edition": "", "provenance": "read"}).kind
    <SourceKind.CODE: 'code'>
    """
    if data is None:
        return None
    if get_origin(hint) is not None:
        return _collection_from(get_origin(hint), get_args(hint), data)
    if isinstance(hint, type) and issubclass(hint, Enum):
        return hint(data)
    if isinstance(hint, type) and is_dataclass(hint):
        return _record_from(hint, data)
    return data


def _collection_from(origin: Any, arguments: tuple[Any, ...], data: Any) -> Any:
    if origin in (Union, types.UnionType):
        return from_plain(next(one for one in arguments if one is not types.NoneType), data)
    if origin is dict:
        return {key: from_plain(arguments[1], one) for key, one in data.items()}
    if origin is tuple and arguments[-1] is not Ellipsis:
        return tuple(from_plain(argument, one) for argument, one in zip(arguments, data, strict=True))
    return origin(from_plain(arguments[0], one) for one in data)


def _record_from(record: type, data: dict[str, Any]) -> Any:
    hints = _hints(record)
    known = {field.name for field in fields(record) if field.init}
    if extra := sorted(set(data) - known):
        raise ValueError(f"{record.__name__} does not know {', '.join(extra)}")
    try:
        return record(**{name: from_plain(hints[name], one) for name, one in data.items()})
    except TypeError as error:
        raise ValueError(f"{record.__name__} is incomplete: {error}") from error
