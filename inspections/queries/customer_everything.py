"""Everything about one customer as plain data, and the words beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import ForeignKey

from inspections.models.customer_data import HELD, NOT_THEIRS, Held
from inspections.queries.customer_files import KeptFile
from inspections.queries.export_shape import NAME, VERSION, columns_exported, value_of
from jobs.models import Customer, Shop

Json = dict[str, Any]


@dataclass(frozen=True)
class Part:
    """One kind of rows as the index of an export tells of it."""

    name: str
    words: str
    count: int


def everything_of(
    customer: Customer,
    *,
    files: Sequence[KeptFile],
    sizes: dict[str, int],
    missing: list[Json],
    now: datetime,
) -> Json:
    """Return the content of `customer.json`. `sizes` holds the bytes of each file that is in the export."""
    paths = {file.row: file.path for file in files if file.path in sizes}
    rows = {held.name: _rows(held, customer, paths) for held in HELD if not held.left_out}
    named = {file.path: file for file in files if file.path in sizes}
    return {
        "export": NAME,
        "version": VERSION,
        "made_at": now.isoformat(),
        "shop": Shop.current().name,
        **rows,
        "customer": rows["customer"][0],
        "files": [
            {"path": path, "sha256": file.sha256, "size": sizes[path], "is": file.words}
            for path, file in named.items()
        ],
        "missing": missing,
    }


def index_context(told: Json, files: Sequence[KeptFile], now: datetime) -> Json:
    """Return what the index page of an export is made of."""
    inside = {one["path"] for one in told["files"]}
    unique = {file.path: file for file in files if file.path in inside}
    folders = {
        folder: [file for path, file in unique.items() if path.startswith(f"{folder}/")]
        for folder in ("papers", "photos", "signatures")
    }
    return {
        "told": told,
        "at": now,
        **folders,
        "parts": [
            Part(held.name, held.words, 1 if held.name == "customer" else len(told[held.name]))
            for held in HELD
            if not held.left_out
        ],
        "without": list(_without()),
    }


def _rows(held: Held, customer: Customer, paths: dict[tuple[str, int], str]) -> list[Json]:
    columns = columns_exported(held)
    people = [
        column.name
        for column in columns
        if isinstance(column, ForeignKey) and column.related_model in NOT_THEIRS
    ]
    rows = held.rows(customer).select_related(*people) if people else held.rows(customer)
    return [{column.name: value_of(row, column, paths) for column in columns} for row in rows.iterator()]


def _without() -> list[Json]:
    """What is left out, in the words of the table; nothing is left out in silence."""
    told = [{"what": held.words, "why": held.left_out} for held in HELD if held.left_out]
    for held in HELD:
        told += [
            {"what": f"{held.name}: {column.replace('_', ' ')}", "why": why}
            for column, why in held.without.items()
        ]
    told += [
        {"what": f"The shop's {model._meta.verbose_name_plural}", "why": why}
        for model, why in NOT_THEIRS.items()
    ]
    return told
