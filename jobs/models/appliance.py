"""Appliance listings, entered from the maker's sheet."""

from __future__ import annotations

from dataclasses import fields

from django.db import models

from calcs import survey as inputs
from jobs.models.base import AsTyped, QuantityField, not_negative, one_of


class Fuel(models.TextChoices):
    """What is burnt."""

    WOOD = "wood", "Wood"
    PELLETS = "pellets", "Pellets"
    SMOKELESS = "smokeless", "Smokeless fuel"
    COAL = "coal", "Bituminous coal"


class ApplianceKind(models.TextChoices):
    """How an appliance gives off its heat."""

    RADIANT = "radiant", "Radiant heater"
    JACKETED = "jacketed", "Jacketed heater"
    OPEN_FIRE = "open fire", "Open fire"


class Appliance(AsTyped):
    """Listing data of one appliance model. A figure missing from the sheet stays missing."""

    maker = models.CharField(max_length=80)
    model = models.CharField(max_length=80)
    listed = models.BooleanField("Listed and labelled", default=True)
    listing_reference = models.CharField("Sheet, edition and page", max_length=160, blank=True)
    fuel = models.CharField(max_length=12, choices=Fuel.choices, default=Fuel.WOOD)
    kind = models.CharField(max_length=12, choices=ApplianceKind.choices, default=ApplianceKind.RADIANT)
    clearance_rear = QuantityField()
    clearance_side = QuantityField()
    clearance_front = QuantityField()
    clearance_above = QuantityField()
    clearance_corner = QuantityField()
    clearance_reduction_allowed = models.BooleanField(
        "Sheet allows wall protection to reduce clearances", null=True, blank=True
    )
    connector_clearance = QuantityField()
    collar_diameter = QuantityField()
    collar_height = QuantityField("Collar above the floor")
    back_to_flue_centre = QuantityField("Back of appliance to flue centre")
    side_to_flue_centre = QuantityField("Side of appliance to flue centre")
    width = QuantityField("Width of its body")
    depth = QuantityField("Depth of its body")
    nominal_output = QuantityField(kind="power")
    minimum_output = QuantityField(kind="power")
    flue_gas_temperature = QuantityField(kind="temperature")
    flue_gas_mass_flow = QuantityField(kind="mass flow")
    flue_gas_co2 = QuantityField("Carbon dioxide in the dry flue gas", kind="ratio")
    efficiency = QuantityField(kind="ratio")
    least_draft = QuantityField(kind="draft")
    minimum_gas_temperature = QuantityField("Flue-gas temperature at least output", kind="temperature")
    minimum_gas_mass_flow = QuantityField("Flue-gas mass flow at least output", kind="mass flow")
    minimum_output_draft = QuantityField("Least draft at least output", kind="draft")
    draught_stabiliser = models.BooleanField("Has a draught stabiliser", null=True, blank=True)
    hearth_resistance = QuantityField("Floor protection, thermal resistance", kind="thermal resistance")
    hearth_front = QuantityField("Floor protection in front")
    hearth_side = QuantityField("Floor protection at the sides")
    hearth_rear = QuantityField("Floor protection behind")
    hearth_below_100 = models.BooleanField("Hearth stays below 100 °C", null=True, blank=True)
    smoke_exempt = models.BooleanField("Exempt in smoke control areas", null=True, blank=True)

    class Meta:
        ordering = ["maker", "model"]
        constraints = [
            models.UniqueConstraint(fields=["maker", "model"], name="jobs_appliance_once"),
            one_of("fuel", Fuel),
            one_of("kind", ApplianceKind),
            *not_negative(
                "clearance_rear", "clearance_side", "clearance_front", "clearance_above", "clearance_corner",
                "connector_clearance", "collar_diameter", "nominal_output", "least_draft",
            ),
        ]  # fmt: skip

    def __str__(self) -> str:
        return f"{self.maker} {self.model}"

    def to_calcs(self) -> inputs.Appliance:
        """Return the figures a plan is made from."""
        names = {field.name for field in fields(inputs.Appliance)} - {"name"}
        return inputs.Appliance(name=str(self), **{name: getattr(self, name) for name in names})
