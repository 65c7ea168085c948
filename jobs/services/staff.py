"""The people of the shop."""

from __future__ import annotations

from datetime import datetime

from allauth.account.models import EmailAddress
from allauth.mfa.models import Authenticator
from django.db import transaction

from jobs.errors import JobsError
from jobs.models import Crew, Role, Technician, User, Visit


@transaction.atomic
def staff_create(
    *, name: str, email: str, role: str, phone: str, crew: Crew | None, password: str | None
) -> User:
    """Add somebody. Without a password they cannot sign in until they set one by mail."""
    user = User.objects.create_user(email, password, name=name, role=role, phone=phone)
    Technician.objects.create(user=user, crew=crew)
    return user


@transaction.atomic
def staff_edit(
    *, user: User, name: str, email: str, role: str, phone: str, is_active: bool, crew: Crew | None
) -> User:
    """Change somebody. The shop always keeps one owner who can sign in."""
    stays_owner = is_active and role == Role.OWNER
    if not stays_owner:
        _check_another_owner(user)
    if email.lower() != user.email.lower():
        # An address kept here would still let its reader reset the password.
        EmailAddress.objects.filter(user=user).delete()
    User.objects.filter(pk=user.pk).update(
        name=name, email=email.lower(), role=role, phone=phone, is_active=is_active
    )
    Technician.objects.update_or_create(user=user, defaults={"crew": crew})
    user.refresh_from_db()
    return user


@transaction.atomic
def staff_set_password(*, user: User, password: str) -> None:
    """Set somebody's password; whoever is signed in as them is signed out."""
    user.set_password(password)
    user.save(update_fields=["password"])


@transaction.atomic
def staff_drop_second_factor(*, user: User) -> int:
    """Remove a lost second factor; return how many entries there were."""
    dropped: int = Authenticator.objects.filter(user=user).delete()[0]
    return dropped


@transaction.atomic
def crew_edit(*, crew: Crew, name: str, active: bool, now: datetime) -> Crew:
    """Change a crew; one that still has visits to make goes on going out."""
    if not active:
        ahead = Visit.objects.filter(crew=crew, cancelled_at=None, ends_at__gt=now).count()
        if ahead:
            raise JobsError(
                "crew_has_visits",
                f"{crew} still has visits ahead ({ahead}). Give them to another crew first.",
            )
    Crew.objects.filter(pk=crew.pk).update(name=name, active=active)
    crew.refresh_from_db()
    return crew


def _check_another_owner(user: User) -> None:
    # The lock keeps two owners from stepping down at the same moment.
    owners = list(User.objects.select_for_update().filter(role=Role.OWNER, is_active=True))
    if owners == [user]:
        raise JobsError(
            "last_owner", f"{user} is the only owner. Make somebody else an owner before changing this."
        )
