"""The people of the shop, for the owner."""

from __future__ import annotations

from allauth.mfa.models import Authenticator
from django.db.models import Count, Q, QuerySet

from jobs.models import Crew, User


def staff_all() -> QuerySet[User]:
    """Return everybody, those who still sign in first."""
    return (
        User.objects.select_related("technician__crew")
        .prefetch_related("technician__credentials")
        .order_by("-is_active", "name")
    )


def crews_all() -> QuerySet[Crew]:
    """Return every crew with how many people are in it."""
    people = Count("technicians", filter=Q(technicians__user__is_active=True))
    return Crew.objects.annotate(people=people).order_by("-active", "name")


def has_second_factor(user: User) -> bool:
    """Whether somebody signs in with a second factor."""
    found: bool = Authenticator.objects.filter(user=user, type=Authenticator.Type.TOTP).exists()
    return found
