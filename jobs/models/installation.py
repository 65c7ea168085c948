"""An appliance and its chimney in a house."""

from __future__ import annotations

from django.db import models

from jobs.models.appliance import Appliance
from jobs.models.base import one_of
from jobs.models.chimney import Chimney
from jobs.models.site import Site


class Route(models.TextChoices):
    """The way the chimney takes out of the house."""

    FLAT_CEILING = "flat ceiling", "Through a flat ceiling and the roof"
    VAULTED_CEILING = "vaulted ceiling", "Through a vaulted ceiling and the roof"
    THROUGH_WALL = "through the wall", "Through the wall and up outside"
    LINED_CHIMNEY = "lined chimney", "A liner in an existing masonry chimney"


class Installation(models.Model):
    """One appliance with its chimney at one site, from the first enquiry to the last sweep."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="installations")
    room = models.CharField(max_length=80)
    route = models.CharField(max_length=20, choices=Route.choices, default=Route.FLAT_CEILING)
    appliance = models.ForeignKey(Appliance, on_delete=models.PROTECT, related_name="installations")
    chimney = models.ForeignKey(Chimney, on_delete=models.PROTECT, related_name="installations")
    serial_number = models.CharField("Appliance serial number", max_length=80, blank=True)
    installed_on = models.DateField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["site__customer__name", "room", "pk"]
        constraints = [one_of("route", Route)]

    def __str__(self) -> str:
        return f"{self.room}, {self.site}"
