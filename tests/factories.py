"""Rows for tests, with the smallest true values."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import factory
from factory.django import DjangoModelFactory

from jobs import models

NOW = datetime(2026, 5, 4, 15, 0, tzinfo=UTC)
IN = 0.0254


class UserFactory(DjangoModelFactory):
    class Meta:
        model = models.User
        skip_postgeneration_save = True

    email = factory.Sequence(lambda n: f"person{n}@shop.example")
    name = factory.Sequence(lambda n: f"Person {n}")
    role = models.Role.OFFICE
    password = factory.django.Password("a long enough password")


class CustomerFactory(DjangoModelFactory):
    class Meta:
        model = models.Customer

    name = factory.Sequence(lambda n: f"Customer {n}")
    email = factory.Sequence(lambda n: f"customer{n}@house.example")


class SiteFactory(DjangoModelFactory):
    class Meta:
        model = models.Site

    customer = factory.SubFactory(CustomerFactory)
    street = factory.Sequence(lambda n: f"{n + 1} Lantern Lane")
    city = "Millbrook Falls"
    region = "VT"


class ApplianceFactory(DjangoModelFactory):
    class Meta:
        model = models.Appliance

    maker = "Tarn Hollow"
    model = factory.Sequence(lambda n: f"Hob {n}")
    listing_reference = "Sheet TH-3, 2nd edition"
    clearance_rear = 14 * IN
    clearance_side = 16 * IN
    clearance_front = 48 * IN
    clearance_above = 54 * IN
    clearance_reduction_allowed = True
    connector_clearance = 18 * IN
    collar_diameter = 6 * IN
    collar_height = 28 * IN
    back_to_flue_centre = 8 * IN
    side_to_flue_centre = 12 * IN
    nominal_output = 9000.0
    flue_gas_temperature = 260.0
    flue_gas_mass_flow = 0.0085
    least_draft = 12.0
    hearth_resistance = 0.14
    hearth_front = 16 * IN
    hearth_side = 8 * IN


class ChimneyFactory(DjangoModelFactory):
    class Meta:
        model = models.Chimney
        skip_postgeneration_save = True

    maker = "Grey Heron"
    model = factory.Sequence(lambda n: f"Column {n}")
    listing_reference = "Sheet GH-9, 1st edition"
    inner_diameter = 6 * IN
    outer_diameter = 10 * IN
    clearance = 2 * IN
    support_size = 14 * IN
    support_projection = 3 * IN
    supported_height = 50 * 12 * IN
    brace_threshold = 60 * IN
    shield_height = 15 * IN
    shield_above_insulation = 2 * IN
    cap_height = 6 * IN

    @factory.post_generation
    def lengths(self, create, extracted, **kwargs):
        if create:
            for inches in extracted or (12, 18, 24, 36, 48):
                models.ChimneySection.objects.create(
                    chimney=self,
                    name=f"{inches} in",
                    length=inches * IN,
                    effective_length=(inches - 0.75) * IN,
                )


class InstallationFactory(DjangoModelFactory):
    class Meta:
        model = models.Installation

    site = factory.SubFactory(SiteFactory)
    room = "Living room"
    appliance = factory.SubFactory(ApplianceFactory)
    chimney = factory.SubFactory(ChimneyFactory)


class SurveyFactory(DjangoModelFactory):
    class Meta:
        model = models.Survey

    installation = factory.SubFactory(InstallationFactory)
    revision = 1
    made_by = factory.SubFactory(UserFactory)
    made_at = NOW
    rear_wall = 16 * IN
    left_wall = 60 * IN
    right_wall = 40 * IN
    front_space = 60 * IN
    wall_to_flue_centre = 73 * IN
    wall_to_first_member = 12 * IN
    member_spacing = 24 * IN
    member_thickness = 1.5 * IN
    member_depth = 5.5 * IN
    floor_to_ceiling = 96 * IN
    ceiling_thickness = 0.5 * IN
    attic_height = 40 * IN
    insulation_depth = 10 * IN
    roof_rise = 6.0
    deck_thickness = 0.5 * IN
    rafter_depth = 5.5 * IN
    ridge_distance = 72 * IN
    connector_clearance = 20 * IN
    connector_run = 0.0
    connector_elbows = 0
    hearth_front = 18 * IN
    hearth_side = 10 * IN
    outside_temperature = 0.0


class CrewFactory(DjangoModelFactory):
    class Meta:
        model = models.Crew

    name = factory.Sequence(lambda n: f"Crew {n}")


class TechnicianFactory(DjangoModelFactory):
    class Meta:
        model = models.Technician

    user = factory.SubFactory(UserFactory, role=models.Role.INSTALLER)
    crew = factory.SubFactory(CrewFactory)


class JobFactory(DjangoModelFactory):
    class Meta:
        model = models.Job

    installation = factory.SubFactory(InstallationFactory)
    kind = models.JobKind.NEW_INSTALLATION
    created_at = NOW


class VisitFactory(DjangoModelFactory):
    class Meta:
        model = models.Visit

    job = factory.SubFactory(JobFactory, status=models.JobStatus.SCHEDULED)
    crew = factory.SubFactory(CrewFactory)
    starts_at = NOW + timedelta(days=1)
    ends_at = NOW + timedelta(days=1, hours=6)
