"""The shop itself: one row."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from jobs.models.base import one_of


class UnitSystem(models.TextChoices):
    """How lengths are shown and read."""

    IMPERIAL = "imperial", "Feet and inches"
    METRIC = "metric", "Millimetres"


class Shop(models.Model):
    """Name, address and habits of the shop; printed on every document."""

    name = models.CharField(max_length=120, default="Unnamed stove shop")
    address = models.TextField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    registration = models.CharField("Registration or licence", max_length=120, blank=True)
    time_zone = models.CharField(max_length=60, default="America/New_York")
    unit_system = models.CharField(max_length=10, choices=UnitSystem.choices, default=UnitSystem.IMPERIAL)
    one_person = models.BooleanField(
        "One-person shop", default=False, help_text="The installer may sign off; the certificate says so."
    )
    keep_years = models.PositiveSmallIntegerField(
        "Years to keep papers and records",
        default=10,
        validators=[MinValueValidator(1), MaxValueValidator(60)],
        help_text="After a customer's last job. Ten years is common practice, as long as many claims over"
        " building work can still be made; ask your insurer and what the law asks where you work.",
    )
    access_log_years = models.PositiveSmallIntegerField(
        "Years to keep who opened them",
        default=3,
        validators=[MinValueValidator(1), MaxValueValidator(20)],
        help_text="Older lines are removed each night.",
    )

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(pk=1), name="jobs_shop_only_one"),
            one_of("unit_system", UnitSystem),
        ]

    def __str__(self) -> str:
        return self.name

    @classmethod
    def current(cls) -> Shop:
        """Return the shop's row, made with defaults the first time."""
        return cls.objects.get_or_create(pk=1)[0]
