"""The invented shop itself, who works there and how they sign in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from config.demo.fixture import fixture
from jobs.models import Credential, Crew, Shop, User
from jobs.services.staff import staff_create


@dataclass
class Staff:
    """Who does what in the invented shop; a crew goes by its van's name."""

    office: User
    inspector: User
    crews: dict[str, tuple[Crew, User]]


def logins() -> str:
    """Return who can sign in, one a line, and the password."""
    content = fixture("people")
    lines = [
        f"  {person['email']:<30} {person['role']:<10} {person.get('crew', '')}".rstrip()
        for person in content["person"]
    ]
    return "\n".join([*lines, f"\n  Password of all: {content['password']}"])


def first_address() -> str:
    """Return the mail address by which the invented shop is known again."""
    email: str = fixture("people")["person"][0]["email"]
    return email


def people_build(*, today: date) -> Staff:
    """Make shop, crews and staff."""
    content = fixture("people")
    Shop.objects.update_or_create(pk=1, defaults=content["shop"])
    crews = {crew["name"]: Crew.objects.create(**crew) for crew in content["crew"]}
    first: dict[str, User] = {}
    vans: dict[str, tuple[Crew, User]] = {}
    for person in content["person"]:
        user = staff_create(
            name=person["name"],
            email=person["email"],
            role=person["role"],
            phone=person["phone"],
            crew=crews[person["crew"]] if "crew" in person else None,
            password=content["password"],
        )
        for credential in person.get("credential", []):
            Credential.objects.create(
                technician=user.technician,
                name=credential["name"],
                number=credential["number"],
                issuer=credential["issuer"],
                expires_on=today + timedelta(days=credential["expires_in"]),
            )
        first.setdefault(person["role"], user)
        if "crew" in person:
            vans[person["crew"]] = (crews[person["crew"]], user)
    return Staff(office=first["office"], inspector=first["inspector"], crews=vans)
