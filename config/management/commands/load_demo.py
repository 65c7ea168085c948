"""Fills an empty database with the invented shop."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand, CommandError
from django.db import transaction
from django.utils import timezone

from config.demo.fixture import fixture
from config.demo.houses import houses_build, listings_build
from config.demo.jobs import jobs_build
from config.demo.people import first_address, people_build
from jobs.models import User


class Command(BaseCommand):
    """Build the invented shop, once."""

    help = "Fills an empty database with the invented shop; does nothing when it is there already."

    def handle(self, *args: Any, **options: Any) -> None:
        """Build everything in one transaction, so that it is there whole or not at all."""
        if User.objects.filter(email=first_address()).exists():
            return
        if User.objects.exists():
            raise CommandError(
                "This database already holds somebody's shop; the invented one goes only into an empty one."
                " Point FLUEWRIGHT_VAR or DATABASE_URL at another place."
            )
        self.stdout.write("Filling the invented shop.")
        now = timezone.now()
        today = now.astimezone(ZoneInfo(fixture("people")["shop"]["time_zone"])).date()
        with transaction.atomic():
            staff = people_build(today=today)
            houses = houses_build(listings=listings_build(), today=today)
            jobs_build(houses=houses, staff=staff, now=now, today=today)
