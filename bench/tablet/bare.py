"""The bare ORM: the rows that requests made, inserted again into a copy of the database from before."""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Callable
from datetime import datetime

from django.apps import apps
from django.db import transaction
from django.db.models import Max, Model

from jobs.models import EvidencePrivate

Rows = dict[type[Model], list[Model]]
Insert = Callable[[Rows, str], None]


def highest() -> dict[type[Model], int]:
    """Return the highest key of every table of ours."""
    models = [
        model
        for model in apps.get_models(include_auto_created=True)
        if model._meta.app_label in {"jobs", "inspections"}
    ]
    return {model: model._base_manager.aggregate(top=Max("pk"))["top"] or 0 for model in models}


def rows_above(before: dict[type[Model], int]) -> Rows:
    """Return the rows that came since, table by table, oldest first."""
    found = {
        model: list(model._base_manager.filter(pk__gt=top).order_by("pk")) for model, top in before.items()
    }
    return {model: rows for model, rows in found.items() if rows}


def one_by_one(rows: Rows, alias: str) -> None:
    """Insert each row by a statement of its own."""
    for group in rows.values():
        for row in group:
            row.save(using=alias, force_insert=True)


def in_bulk(rows: Rows, alias: str) -> None:
    """Insert all rows of a table by one statement."""
    for model, group in rows.items():
        model._base_manager.using(alias).bulk_create(group)


def timed(insert: Insert, rows: Rows, *, alias: str) -> float:
    """Insert rows, those of each request in a transaction of their own; the time it takes [s]."""
    portions = _portions(rows)
    begun = time.perf_counter()
    for portion in portions:
        with transaction.atomic(using=alias):
            insert(portion, alias)
    return time.perf_counter() - begun


def counted(rows: Rows, alias: str) -> dict[str, float]:
    """Return how many of these rows a database holds, table by table."""
    return {
        model._meta.label: model._base_manager.using(alias).filter(pk__in=[row.pk for row in group]).count()
        for model, group in rows.items()
    }


def _portions(rows: Rows) -> list[Rows]:
    """Return the rows by the request they came of: all that one request makes carry its one moment."""
    portions: dict[datetime, Rows] = defaultdict(lambda: defaultdict(list))
    for model, group in rows.items():
        for row in group:
            portions[_moment(row)][model].append(row)
    return [portions[moment] for moment in sorted(portions)]


def _moment(row: Model) -> datetime:
    logged = row.event if isinstance(row, EvidencePrivate) else row
    moments = (getattr(logged, name, None) for name in ("opened_at", "received_at", "at"))
    moment: datetime = next(filter(None, moments))
    return moment
