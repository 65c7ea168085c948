"""Houses."""

from __future__ import annotations

from django.db import models

from jobs.models.base import AsTyped, QuantityField, one_of
from jobs.models.customer import Customer
from jobs.models.shop import UnitSystem


class Country(models.TextChoices):
    """Where a site lies; it decides the rule book."""

    US = "US", "United States"
    CA = "CA", "Canada"
    GB = "GB", "United Kingdom"


RULE_BOOK_OF = {Country.US: "us", Country.CA: "ca", Country.GB: "uk"}


class Site(AsTyped):
    """A house: where it is, which rules hold there, and what a crew must know before it goes."""

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="sites")
    label = models.CharField("Name of the site", max_length=80, default="Home")
    street = models.CharField(max_length=160)
    city = models.CharField("Town or city", max_length=80)
    region = models.CharField("State, province or county", max_length=80, blank=True)
    postcode = models.CharField(max_length=20, blank=True)
    country = models.CharField(max_length=2, choices=Country.choices, default=Country.US)
    unit_system = models.CharField(max_length=10, choices=UnitSystem.choices, default=UnitSystem.IMPERIAL)
    time_zone = models.CharField(max_length=60, default="America/New_York")
    altitude = QuantityField(kind="length", help_text="Above sea level; thin air weakens the draft.")
    access_notes = models.TextField(blank=True)
    hazard_notes = models.TextField("Hazards", blank=True)

    class Meta:
        ordering = ["customer__name", "label", "pk"]
        constraints = [one_of("country", Country), one_of("unit_system", UnitSystem)]

    def __str__(self) -> str:
        # Both are the same word once they were erased.
        return self.street if self.street == self.city else f"{self.street}, {self.city}"

    @property
    def rule_book(self) -> str:
        """Code of the rule book that holds here."""
        return RULE_BOOK_OF[Country(self.country)]
