"""Which installations somebody may see, and what hangs on them."""

from __future__ import annotations

from django.db.models import QuerySet

from jobs.models import Customer, Document, Installation, Job, Role, ServiceSchedule, User
from jobs.queries.jobs import jobs_visible_to


def installations_visible_to(user: User) -> QuerySet[Installation]:
    """Return all installations, or for an installer those of the own crew's jobs."""
    installations = Installation.objects.select_related("site__customer", "appliance", "chimney")
    if user.role != Role.INSTALLER:
        return installations
    return installations.filter(pk__in=jobs_visible_to(user).values("installation"))


def jobs_of_customer(user: User, customer: Customer) -> QuerySet[Job]:
    """Return the customer's jobs somebody may see, newest first."""
    return jobs_visible_to(user).filter(installation__site__customer=customer)


def jobs_of_installation(user: User, installation: Installation) -> QuerySet[Job]:
    """Return the installation's jobs somebody may see, newest first."""
    return jobs_visible_to(user).filter(installation=installation)


def documents_of(jobs: QuerySet[Job]) -> QuerySet[Document]:
    """Return the papers of these jobs, newest first."""
    papers = Document.objects.filter(job__in=jobs.values("pk"))
    return papers.select_related("job__installation").defer("context")


def services_of(user: User, customer: Customer) -> QuerySet[ServiceSchedule]:
    """Return what falls due at a customer's installations somebody may see, soonest first."""
    return ServiceSchedule.objects.filter(
        ended_on=None,
        installation__in=installations_visible_to(user).filter(site__customer=customer).values("pk"),
    ).select_related("installation__site")
