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


class RafterSpace(models.TextChoices):
    """Whether air passes over the insulation between the rafters of a vaulted ceiling."""

    VENTED = "vented", "Vented: air from eaves to ridge"
    UNVENTED = "unvented", "Filled, not vented"


class YesNo(models.TextChoices):
    """An answer that may also be not known."""

    YES = "yes", "Yes"
    NO = "no", "No"


class WallSide(models.TextChoices):
    """What the wall that the chimney stands at carries above it."""

    EAVES = "eaves", "Eaves: the roof slopes down to it"
    GABLE = "gable", "A gable: the roof slopes along it"


class EavesWay(models.TextChoices):
    """How a chimney outside gets past the eaves."""

    STRAIGHT = "straight", "Straight past them, further off the wall"
    OFFSET = "offset", "Around them, with elbows below"
    THROUGH = "through", "Through them, by a hole or a notch"


class FlueShape(models.TextChoices):
    """The inside of an existing flue."""

    RECTANGULAR = "rectangular", "Rectangular or square"
    ROUND = "round", "Round"


class FlueEntry(models.TextChoices):
    """Where a liner comes out of an existing chimney."""

    FIREPLACE = "fireplace", "Through the throat of a fireplace"
    THIMBLE = "thimble", "By a tee in its side"


class ChimneyPlace(models.TextChoices):
    """Where an existing chimney stands."""

    INSIDE = "inside", "Inside the house up to the roof"
    OUTSIDE = "outside", "With one or more sides outdoors"


class FlueInspection(models.TextChoices):
    """What an inspection of an existing chimney, its inside too, came to."""

    SOUND = "sound", "Inspected, found sound"
    FAULTS = "faults", "Inspected, faults found"
    NOT_DONE = "not done", "Not inspected yet"


class Placement(models.TextChoices):
    """How the appliance stands in the room."""

    WALL = "wall", "Against a wall"
    CORNER = "corner", "Across a corner, at 45°"


class Exposure(models.TextChoices):
    """How hard the wind presses on an outlet in a poor place."""

    INLAND = "inland", "Inland"
    COAST = "coast", "Near the coast"


class ProtectedSides(models.TextChoices):
    """Which side walls have the protection, seen facing the wall behind the appliance."""

    LEFT = "left", "The left wall"
    RIGHT = "right", "The right wall"
    BOTH = "both", "Both side walls"


class RoofShape(models.TextChoices):
    """The roof above the flue."""

    GABLE = "gable", "Gable"
    SHED = "shed", "Shed"
    HIP = "hip", "Hip"
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

    placement = models.CharField(
        "Appliance stands", max_length=10, choices=Placement.choices, default=Placement.WALL
    )
    rear_wall = QuantityField("Back of appliance to wall")
    left_wall = QuantityField("Left side to wall")
    right_wall = QuantityField("Right side to wall")
    front_space = QuantityField("Free space in front")
    corner_wall = QuantityField("Nearest rear corner to either wall")
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
    ceiling_rise = models.FloatField("Ceiling rise in 12", null=True, blank=True)
    rafter_vented = models.CharField(
        "Rafter space", max_length=10, choices=RafterSpace.choices, blank=True, default=""
    )
    vent_space = QuantityField("Air over the insulation")
    thimble_height = QuantityField("Thimble's centre above the floor")
    wall_thickness = QuantityField("Thickness of the wall")
    wall_bears = models.CharField(
        "The wall carries load", max_length=10, choices=YesNo.choices, blank=True, default=""
    )
    wall_side = models.CharField(
        "Above the wall", max_length=10, choices=WallSide.choices, blank=True, default=""
    )
    eaves_overhang = QuantityField("Eaves beyond the wall")
    soffit_height = QuantityField("Floor to the underside of the eaves")
    roof_edge_height = QuantityField("Floor to the roof's edge")
    eaves_way = models.CharField(
        "Past the eaves", max_length=10, choices=EavesWay.choices, blank=True, default=""
    )
    flue_inspection = models.CharField(
        "Inspection", max_length=10, choices=FlueInspection.choices, blank=True, default=""
    )
    flue_shape = models.CharField(
        "The flue is", max_length=12, choices=FlueShape.choices, blank=True, default=""
    )
    flue_width = QuantityField("Flue, inside width")
    flue_depth = QuantityField("Flue, inside depth")
    flue_entry = models.CharField(
        "The liner enters", max_length=10, choices=FlueEntry.choices, blank=True, default=""
    )
    throat_width = QuantityField()
    throat_depth = QuantityField()
    flue_entry_height = QuantityField("Floor to where the liner begins")
    flue_top_height = QuantityField("Floor to the top of the masonry")
    chimney_above_roof = QuantityField("Masonry above the roof")
    masonry_depth = QuantityField("Masonry, outside along the slope")
    masonry_wall = QuantityField("Masonry, thickness of its wall")
    masonry_clearance = QuantityField("Masonry to the nearest combustible")
    chimney_place = models.CharField(
        "The chimney stands", max_length=10, choices=ChimneyPlace.choices, blank=True, default=""
    )
    roof_shape = models.CharField(max_length=10, choices=RoofShape.choices, default=RoofShape.GABLE)
    roof_rise = models.FloatField("Roof rise in 12", null=True, blank=True)
    deck_thickness = QuantityField("Roof deck thickness")
    rafter_depth = QuantityField()
    ridge_distance = QuantityField("Flue centre to ridge, level")
    eaves_distance = QuantityField("Flue centre to the eaves, level")
    hip_distance = QuantityField("Flue centre to the hipped end's eaves, level")
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
    connector_length = QuantityField("Connector, along its centre line")
    connector_rise = QuantityField("Connector, rise")
    connector_protection = models.CharField("Shield between pipe and wall", max_length=60, blank=True)
    hearth_front = QuantityField("Floor protection in front")
    hearth_side = QuantityField("Floor protection at the sides")
    hearth_rear = QuantityField("Floor protection behind")
    hearth_width = QuantityField()
    hearth_depth = QuantityField()
    hearth_thickness = QuantityField()
    hearth_layers = models.JSONField("Layers of the floor protection", default=list, blank=True)
    air_permeability = QuantityField("Air permeability of the house", kind="air permeability")
    air_vent_area = QuantityField("Permanent vents, free area", kind="area")
    room_temperature = QuantityField(kind="temperature")
    attic_temperature = QuantityField(kind="temperature")
    exposure = models.CharField(max_length=10, choices=Exposure.choices, blank=True, default="")
    fuel_moisture = QuantityField("Water in the fuel, wet basis", kind="ratio")
    outside_temperature = QuantityField("Outside design temperature", kind="temperature")
    framing_stock = models.CharField(max_length=10, default="2x6")
    tolerances = models.JSONField(default=dict, blank=True)

    class Meta:
        ordering = ["installation", "-revision"]
        constraints = [
            models.UniqueConstraint(fields=["installation", "revision"], name="jobs_survey_revision_once"),
            models.CheckConstraint(
                condition=models.Q(roof_rise=None) | models.Q(roof_rise__gte=0), name="jobs_survey_rise_ge0"
            ),
            models.CheckConstraint(
                condition=models.Q(ceiling_rise=None) | models.Q(ceiling_rise__gte=0),
                name="jobs_survey_ceiling_rise_ge0",
            ),
            *(
                models.CheckConstraint(
                    condition=models.Q(**{f"{name}__in": ["", *choices.values]}),
                    name=f"jobs_survey_{name}_known",
                )
                for name, choices in (
                    ("rafter_vented", RafterSpace), ("wall_bears", YesNo), ("wall_side", WallSide),
                    ("eaves_way", EavesWay), ("flue_inspection", FlueInspection), ("flue_shape", FlueShape),
                    ("flue_entry", FlueEntry), ("chimney_place", ChimneyPlace),
                )
            ),
            one_of("placement", Placement),
            one_of("member_kind", MemberKind),
            one_of("member_direction", MemberDirection),
            models.CheckConstraint(
                condition=models.Q(protected_sides__in=["", *ProtectedSides.values]),
                name="jobs_survey_protected_sides_known",
            ),
            models.CheckConstraint(
                condition=models.Q(exposure__in=["", *Exposure.values]), name="jobs_survey_exposure_known"
            ),
            one_of("roof_shape", RoofShape),
            one_of("roof_covering", RoofCovering),
            one_of("connector_kind", ConnectorKind),
            *not_negative(
                "rear_wall", "left_wall", "right_wall", "wall_to_flue_centre", "wall_to_first_member",
                "member_spacing", "member_thickness", "floor_to_ceiling", "attic_height", "deck_thickness",
                "ridge_distance", "insulation_depth", "covering_thickness", "corner_wall", "eaves_distance",
                "hip_distance", "connector_length", "connector_rise", "hearth_width", "hearth_depth",
                "hearth_thickness", "air_permeability", "air_vent_area", "vent_space", "thimble_height",
                "wall_thickness", "eaves_overhang", "soffit_height", "roof_edge_height",
                "flue_width", "flue_depth", "throat_width", "throat_depth", "flue_entry_height",
                "flue_top_height", "chimney_above_roof", "masonry_depth", "masonry_wall", "masonry_clearance",
            ),
        ]  # fmt: skip

    def __str__(self) -> str:
        return f"Survey {self.revision} of {self.installation}"

    def to_calcs(self) -> inputs.Survey:
        """Return the figures a plan is made from; the installation gives the route, the site the altitude."""
        names = {field.name for field in fields(inputs.Survey)} - {
            "obstacles", "hearth_layers", "altitude", "route",
        }  # fmt: skip
        return inputs.Survey(
            route=self.installation.route,
            altitude=self.installation.site.altitude,
            obstacles=tuple(inputs.Obstacle.from_dict(one) for one in self.obstacles),
            hearth_layers=tuple(inputs.HearthLayer.from_dict(one) for one in self.hearth_layers),
            **{name: getattr(self, name) for name in names},
        )
