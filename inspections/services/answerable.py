"""Who may answer for a record: an inspector, not for work of their own unless the shop is one person."""

from __future__ import annotations

from inspections.errors import InspectionsError
from inspections.models import SiteRecord
from inspections.queries.crews import did_the_work, works_on
from jobs.models import Shop, User


def answer_for(*, record: SiteRecord, by: User) -> bool:
    """Return whether it is their own work; refuse those who may not answer for it."""
    one_person = Shop.current().one_person
    if not by.may_sign_off and not (one_person and works_on(by, record.job)):
        raise InspectionsError(
            "not_an_inspector", "Only an inspector or the owner may do that. Ask one of them."
        )
    own_work = did_the_work(by, record)
    if own_work and not one_person:
        raise InspectionsError(
            "own_work",
            "You worked on this job, so somebody else must answer for it. Only a one-person shop may sign off"
            " its own work.",
        )
    return own_work
