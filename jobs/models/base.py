"""What several nouns share: quantities in SI with the words as typed, choice constraints, work rows."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from django.db import models
from django.db.models import Q

if TYPE_CHECKING:
    _FloatField = models.FloatField[float | None, float | None]
else:
    _FloatField = models.FloatField


class QuantityField(_FloatField):
    """A quantity in SI that may be unknown. `kind` is what calcs.units.parse_quantity is asked for."""

    def __init__(self, verbose_name: str | None = None, *, kind: str = "length", **kwargs: Any) -> None:
        self.kind = kind
        super().__init__(verbose_name, **{"null": True, "blank": True, **kwargs})

    def deconstruct(self) -> Any:
        """Keep the kind in migrations."""
        name, path, args, kwargs = super().deconstruct()
        return name, path, args, {**kwargs, "kind": self.kind}


class AsTyped(models.Model):
    """Keeps, beside each SI quantity, the text a person typed: {"field": "22 1/2 in"}."""

    as_typed = models.JSONField(default=dict, blank=True)

    class Meta:
        abstract = True

    @classmethod
    def quantity_fields(cls) -> list[QuantityField]:
        """Return the model's quantity columns in order."""
        return [field for field in cls._meta.get_fields() if isinstance(field, QuantityField)]


def one_of(field: str, choices: type[models.TextChoices]) -> models.CheckConstraint:
    """Return the constraint that keeps a column to its choices."""
    return models.CheckConstraint(
        condition=Q(**{f"{field}__in": choices.values}), name=f"%(app_label)s_%(class)s_{field}_known"
    )


def not_negative(*fields: str) -> list[models.CheckConstraint]:
    """Return constraints that keep lengths and the like at zero or more."""
    return [
        models.CheckConstraint(
            condition=Q(**{f"{field}__isnull": True}) | Q(**{f"{field}__gte": 0}),
            name=f"%(app_label)s_%(class)s_{field}_ge0",
        )
        for field in fields
    ]


def waiting_index(name: str) -> models.Index:
    """Return the index of a work table's undone rows: few, however many were done before."""
    return models.Index(fields=["due_at"], condition=Q(done_at=None), name=name)


class WorkRow(models.Model):
    """A row that a background worker takes, does once and marks done.

    The claim is a compare-and-set update; a claim older than LEASE belongs to a worker that died.
    """

    LEASE = timedelta(minutes=5)

    requested_at = models.DateTimeField()
    due_at = models.DateTimeField()
    claimed_at = models.DateTimeField(null=True, blank=True)
    attempts = models.PositiveIntegerField(default=0)
    done_at = models.DateTimeField(null=True, blank=True)
    gave_up_at = models.DateTimeField(null=True, blank=True)
    last_error = models.TextField(blank=True)

    class Meta:
        abstract = True

    @classmethod
    def waiting(cls, now: datetime) -> Q:
        """Return the condition of rows a worker may take now."""
        free = Q(claimed_at=None) | Q(claimed_at__lt=now - cls.LEASE)
        return free & Q(done_at=None, gave_up_at=None, due_at__lte=now)

    @classmethod
    def claim(cls, pk: int, now: datetime) -> bool:
        """Take a row; False when it is done, not due, or another worker has it."""
        rows = cls._default_manager.filter(cls.waiting(now), pk=pk)
        return rows.update(claimed_at=now, attempts=models.F("attempts") + 1) == 1
