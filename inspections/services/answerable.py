"""Who may answer for a record: an inspector, not for work of their own unless the shop is one person."""

from __future__ import annotations

from inspections.errors import InspectionsError
from inspections.models import SiteRecord
from inspections.queries.crews import did_the_work, works_on
from inspections.services.desk import Desk
from jobs.models import Shop, User


def answer_for(*, record: SiteRecord, by: User) -> bool:
    """Return whether it is their own work; refuse those who may not answer for it."""
    one_person = Shop.current().one_person
    _check_inspects(by.may_sign_off or (one_person and works_on(by, record.job)))
    return _own_work_allowed(did_the_work(by, record), one_person)


def answer_for_desk(desk: Desk) -> bool:
    """Ask the same of whoever stands before a desk, with everything laid on it."""
    _check_inspects(desk.by.may_sign_off or (desk.one_person and desk.crew))
    return _own_work_allowed(desk.own_work, desk.one_person)


def _check_inspects(inspects: bool) -> None:
    if not inspects:
        raise InspectionsError(
            "not_an_inspector", "Only an inspector or the owner may do that. Ask one of them."
        )


def _own_work_allowed(own_work: bool, one_person: bool) -> bool:
    if own_work and not one_person:
        raise InspectionsError(
            "own_work",
            "You worked on this job, so somebody else must answer for it. Only a one-person shop may sign off"
            " its own work.",
        )
    return own_work
