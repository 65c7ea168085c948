"""Factory-built chimney listings, entered from the maker's sheet."""

from __future__ import annotations

from dataclasses import fields
from typing import cast

from django.db import models
from django.db.models import F, Q

from calcs import survey as inputs
from jobs.models.base import AsTyped, QuantityField, not_negative

_FLAT, _VAULT, _WALL, _LINED = "flat ceiling", "vaulted ceiling", "through the wall", "lined chimney"
#: Ways out of the house and the figures that only these use; every other figure all of them do.
_USED_BY: tuple[tuple[frozenset[str], tuple[str, ...]], ...] = (
    (frozenset({_FLAT}), ("support_projection", "shield_height", "shield_above_insulation")),
    (frozenset({_FLAT, _VAULT}), ("support_size", "supported_height")),
    (
        frozenset({_FLAT, _VAULT, _WALL}),
        ("clearance", "brace_threshold", "elbow_15_rise", "elbow_15_run", "elbow_30_rise", "elbow_30_run"),
    ),
    (frozenset({_VAULT}), ("box_height", "box_projection", "box_above_deck")),
    (
        frozenset({_WALL}),
        (
            "thimble_size", "thimble_projection", "tee_rise", "tee_branch", "wall_standoff",
            "wall_standoff_greatest", "wall_supported_height", "bracket_spacing",
        ),
    ),
    (frozenset({_LINED}), ("insulation_thickness", "liner_room", "liner_above_crown")),
)  # fmt: skip
USED_BY = {name: routes for routes, names in _USED_BY for name in names}


class Chimney(AsTyped):
    """Listing data of one chimney system in one size. A figure missing from the sheet stays missing."""

    maker = models.CharField(max_length=80)
    model = models.CharField("System", max_length=80)
    listing_reference = models.CharField("Sheet, edition and page", max_length=160, blank=True)
    designation = models.CharField(max_length=80, blank=True)
    flue_type = models.CharField("Type of flue or liner", max_length=80, blank=True)
    flue_category = models.CharField("Category of the flue", max_length=80, blank=True)
    suits_appliances = models.CharField("Types of appliance it suits", max_length=120, blank=True)
    inner_diameter = QuantityField()
    outer_diameter = QuantityField()
    clearance = QuantityField("Clearance to combustibles")
    support_size = QuantityField("Ceiling support box, outside size")
    support_projection = QuantityField("Ceiling support, length below the ceiling")
    supported_height = QuantityField("Height one support carries")
    brace_threshold = QuantityField("Height above the roof that needs a brace")
    shield_height = QuantityField("Attic insulation shield, height")
    shield_above_insulation = QuantityField("Shield above the insulation")
    cap_height = QuantityField()
    thermal_resistance = QuantityField(kind="thermal resistance")
    roughness = QuantityField()
    box_height = QuantityField("Roof support box, height")
    box_projection = QuantityField("Roof support box, below the ceiling's low side")
    box_above_deck = QuantityField("Roof support box, above the deck")
    thimble_size = QuantityField("Wall thimble, framed opening")
    thimble_projection = QuantityField("Wall thimble, chimney into the room")
    tee_rise = QuantityField("Tee, branch's centre to its upper joint")
    tee_branch = QuantityField("Tee, centre to the joint of its branch")
    wall_standoff = QuantityField("Wall support, chimney off the wall at least")
    wall_standoff_greatest = QuantityField("Wall support, chimney off the wall at most")
    wall_supported_height = QuantityField("Height the wall support carries")
    bracket_spacing = QuantityField("Wall brackets, at most apart")
    insulation_thickness = QuantityField("Liner, insulation around it")
    liner_room = QuantityField("Liner, gap all round")
    liner_above_crown = QuantityField("Liner above the masonry")
    liner_zero_clearance = models.BooleanField(
        "Liner listed for masonry that touches what burns", null=True, blank=True
    )
    elbow_15_rise = QuantityField("Pair of 15° elbows, rise")
    elbow_15_run = QuantityField("Pair of 15° elbows, offset")
    elbow_30_rise = QuantityField("Pair of 30° elbows, rise")
    elbow_30_run = QuantityField("Pair of 30° elbows, offset")

    class Meta:
        ordering = ["maker", "model", "inner_diameter"]
        constraints = [
            models.UniqueConstraint(fields=["maker", "model", "inner_diameter"], name="jobs_chimney_once"),
            models.CheckConstraint(
                condition=Q(inner_diameter=None) | Q(outer_diameter=None)
                | Q(outer_diameter__gte=F("inner_diameter")),
                name="jobs_chimney_outer_ge_inner",
            ),
            *not_negative(
                "inner_diameter", "clearance", "shield_height", "supported_height", "brace_threshold",
                "box_height", "wall_supported_height", "bracket_spacing", "insulation_thickness",
                "liner_room",
            ),
        ]  # fmt: skip

    def __str__(self) -> str:
        return f"{self.maker} {self.model}"

    def to_calcs(self) -> inputs.Chimney:
        """Return the figures a plan is made from."""
        names = {field.name for field in fields(inputs.Chimney)} - {"name", "sections"}
        return inputs.Chimney(
            name=str(self),
            sections=tuple(section.to_calcs() for section in self.sections.all()),
            **{name: getattr(self, name) for name in names},
        )


class ChimneySection(AsTyped):
    """One straight length of a chimney system; a locked joint makes it shorter than it is long."""

    chimney = models.ForeignKey(Chimney, on_delete=models.CASCADE, related_name="sections")
    name = models.CharField(max_length=60)
    length = QuantityField(null=False, blank=False)
    effective_length = QuantityField(null=False, blank=False)
    cost = models.DecimalField(max_digits=9, decimal_places=2, null=True, blank=True)

    class Meta:
        ordering = ["length"]
        constraints = [
            models.UniqueConstraint(fields=["chimney", "name"], name="jobs_chimneysection_once"),
            models.CheckConstraint(
                condition=Q(effective_length__gt=0) & Q(length__gte=F("effective_length")),
                name="jobs_chimneysection_effective",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def to_calcs(self) -> inputs.ChimneySection:
        """Return the figures a plan is made from."""
        return inputs.ChimneySection(
            name=self.name,
            length=cast(float, self.length),
            effective_length=cast(float, self.effective_length),
            cost=float(self.cost) if self.cost is not None else None,
        )
