"""What was measured in the house before planning; every save is a new revision."""

from __future__ import annotations

from dataclasses import fields

from django.conf import settings
from django.db import models

from calcs import survey as inputs
from jobs.models.base import AsTyped, QuantityField, not_negative, one_of
from jobs.models.installation import Installation


class MemberKind(models.TextChoices):
    """What the ceiling hangs from. A truss is never cut."""

    JOIST = "joist", "Joists"
    TRUSS = "truss", "Trusses"


class MemberDirection(models.TextChoices):
    """How the members run, seen facing the wall behind the appliance."""

    FRONT_TO_BACK = "front to back", "Front to back"
    SIDE_TO_SIDE = "side to side", "Side to side"


class ProtectedSides(models.TextChoices):
    """Which side walls have the protection, seen facing the wall behind the appliance."""

    LEFT = "left", "The left wall"
    RIGHT = "right", "The right wall"
    BOTH = "both", "Both side walls"


class RoofShape(models.TextChoices):
    """The roof above the flue."""

    GABLE = "gable", "Gable"
    SHED = "shed", "Shed"
    FLAT = "flat", "Flat"


class RoofCovering(models.TextChoices):
    """What sheds the rain."""

    ASPHALT = "asphalt shingle", "Asphalt shingle"
    METAL = "metal", "Metal"
    TILE = "tile", "Tile"
    SLATE = "slate", "Slate"
    WOOD_SHINGLE = "wood shingle", "Wood shingle"
    THATCH = "thatch", "Thatch"
    MEMBRANE = "membrane", "Membrane"


class ConnectorKind(models.TextChoices):
    """The pipe between collar and chimney."""

    SINGLE_WALL = "single wall", "Single wall"
    LISTED_DOUBLE_WALL = "double wall listed", "Listed double wall"


class Survey(AsTyped):
    """One revision of a survey. The columns are those of calcs.survey.Survey, one for one."""

    installation = models.ForeignKey(Installation, on_delete=models.CASCADE, related_name="surveys")
    revision = models.PositiveIntegerField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    notes = models.TextField(blank=True)

    rear_wall = QuantityField("Back of appliance to wall")
    left_wall = QuantityField("Left side to wall")
    right_wall = QuantityField("Right side to wall")
    front_space = QuantityField("Free space in front")
    rear_protection = models.CharField("Protection of the wall behind", max_length=60, blank=True)
    side_protection = models.CharField("Protection of the side wall", max_length=60, blank=True)
    protected_sides = models.CharField(max_length=10, choices=ProtectedSides.choices, blank=True, default="")
    wall_to_flue_centre = QuantityField("Wall to flue centre")
    wall_to_first_member = QuantityField("Wall to the near face of the first member")
    member_spacing = QuantityField("Member spacing, centre to centre")
    member_thickness = QuantityField()
    member_depth = QuantityField()
    member_kind = models.CharField(max_length=10, choices=MemberKind.choices, default=MemberKind.JOIST)
    member_direction = models.CharField(
        "Members run", max_length=20, choices=MemberDirection.choices, default=MemberDirection.FRONT_TO_BACK
    )
    floor_to_ceiling = QuantityField()
    ceiling_thickness = QuantityField("Ceiling board thickness")
    attic_height = QuantityField("Top of ceiling framing to roof deck, at the flue centre")
    insulation_depth = QuantityField()
    roof_shape = models.CharField(max_length=10, choices=RoofShape.choices, default=RoofShape.GABLE)
    roof_rise = models.FloatField("Roof rise in 12", null=True, blank=True)
    deck_thickness = QuantityField("Roof deck thickness")
    rafter_depth = QuantityField()
    ridge_distance = QuantityField("Flue centre to ridge, level")
    roof_covering = models.CharField(
        max_length=20, choices=RoofCovering.choices, default=RoofCovering.ASPHALT
    )
    covering_thickness = QuantityField("Covering above the deck")
    obstacles = models.JSONField(default=list, blank=True)
    connector_kind = models.CharField(
        max_length=20, choices=ConnectorKind.choices, default=ConnectorKind.SINGLE_WALL
    )
    connector_clearance = QuantityField("Connector to the nearest combustible")
    connector_run = QuantityField("Connector, horizontal run")
    connector_elbows = models.PositiveSmallIntegerField("Connector elbows", null=True, blank=True)
    hearth_front = QuantityField("Floor protection in front")
    hearth_side = QuantityField("Floor protection at the sides")
    outside_temperature = QuantityField("Outside design temperature", kind="temperature")
    framing_stock = models.CharField(max_length=10, default="2x6")

    class Meta:
        ordering = ["installation", "-revision"]
        constraints = [
            models.UniqueConstraint(fields=["installation", "revision"], name="jobs_survey_revision_once"),
            models.CheckConstraint(
                condition=models.Q(roof_rise=None) | models.Q(roof_rise__gte=0), name="jobs_survey_rise_ge0"
            ),
            one_of("member_kind", MemberKind),
            one_of("member_direction", MemberDirection),
            models.CheckConstraint(
                condition=models.Q(protected_sides__in=["", *ProtectedSides.values]),
                name="jobs_survey_protected_sides_known",
            ),
            one_of("roof_shape", RoofShape),
            one_of("roof_covering", RoofCovering),
            one_of("connector_kind", ConnectorKind),
            *not_negative(
                "rear_wall", "left_wall", "right_wall", "wall_to_flue_centre", "wall_to_first_member",
                "member_spacing", "member_thickness", "floor_to_ceiling", "attic_height", "deck_thickness",
                "ridge_distance", "insulation_depth", "covering_thickness",
            ),
        ]  # fmt: skip

    def __str__(self) -> str:
        return f"Survey {self.revision} of {self.installation}"

    def to_calcs(self) -> inputs.Survey:
        """Return the figures a plan is made from; the site gives the altitude."""
        names = {field.name for field in fields(inputs.Survey)} - {"obstacles", "altitude"}
        return inputs.Survey(
            altitude=self.installation.site.altitude,
            obstacles=tuple(inputs.Obstacle.from_dict(one) for one in self.obstacles),
            **{name: getattr(self, name) for name in names},
        )
