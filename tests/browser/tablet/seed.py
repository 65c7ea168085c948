"""Puts people and jobs into a served shop and prints JSON: `python -m tests.browser.tablet.seed people`.

Run in the shop's environment, where no page has to be filled in by hand.
"""

from __future__ import annotations

import json
import os
import sys
from datetime import timedelta

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
PASSWORD = "slate-and-chestnut-7"


def people() -> dict[str, str]:
    """Make an owner, an office, two installers of one crew and an inspector; return their addresses."""
    from jobs.models import Role  # noqa: PLC0415
    from tests.factories import CrewFactory, TechnicianFactory, UserFactory  # noqa: PLC0415

    crew = CrewFactory(name="Van 1")
    told = {"owner": Role.OWNER, "office": Role.OFFICE, "inspector": Role.INSPECTOR}
    made = {
        name: UserFactory(
            email=f"{name}@stove.example", name=f"{name.title()} Vale", role=role, password=PASSWORD
        )
        for name, role in told.items()
    }
    for name in ("ivo", "wren"):
        technician = TechnicianFactory(
            crew=crew,
            user__email=f"{name}@stove.example",
            user__name=f"{name.title()} Brandt",
            user__password=PASSWORD,
        )
        made[name] = technician.user
    return {name: user.email for name, user in made.items()}


def job() -> dict[str, int | str]:
    """Make a house with a plan, and a job of today for the crew."""
    from django.utils import timezone  # noqa: PLC0415

    from jobs.models import Crew, Job, User, Visit  # noqa: PLC0415
    from tests.factories import ApplianceFactory, ChimneyFactory, CustomerFactory, UserFactory  # noqa: PLC0415
    from tests.inspections.closing import job_ready_to_begin  # noqa: PLC0415

    # Each process counts from the start again; names and models are not to be those of an earlier house.
    for factory in (ApplianceFactory, ChimneyFactory, CustomerFactory, UserFactory):
        factory.reset_sequence(100 * (1 + Job.objects.count()))
    made = job_ready_to_begin(
        office=User.objects.get(email="office@stove.example"), crew=Crew.objects.get(name="Van 1")
    )
    now = timezone.now()
    Visit.objects.filter(job=made).update(starts_at=now, ends_at=now + timedelta(hours=6))
    return {"job": made.pk, "number": made.number}


def worked() -> dict[str, int | str]:
    """Make a job whose crew has signed every stage, waiting for the inspector."""
    from jobs.models import Job, User  # noqa: PLC0415
    from tests.inspections.closing import work_through  # noqa: PLC0415

    made = job()
    inspector = User.objects.get(email="inspector@stove.example")
    work_through(
        job=Job.objects.get(pk=made["job"]),
        by=User.objects.get(email="ivo@stove.example"),
        inspector=inspector,
    )
    return made


if __name__ == "__main__":
    django.setup()
    sys.stdout.write(json.dumps({"people": people, "job": job, "worked": worked}[sys.argv[1]]()) + "\n")
