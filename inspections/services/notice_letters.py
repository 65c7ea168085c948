"""What mails about a stove that is not to be used say."""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from inspections.models import Defect
from jobs.links import customer_link, whole_link
from jobs.models import Shop
from jobs.services.letters import Letter, letter_write


def notice_letter(*, defect: Defect, context: dict[str, Any]) -> Letter:
    """Return the notice to the customer: the whole instruction, and the way to the paper."""
    customer = defect.stage.record.job.installation.site.customer
    told = {**_about(defect), "notice": context, "page_link": customer_link(customer)}
    return letter_write("Do not use your stove", "do_not_use", told)


def office_letter(*, defect: Defect, context: dict[str, Any], told_by_mail: bool) -> Letter:
    """Return what the office is told of a notice, and whether somebody has to hand it over."""
    installation = defect.stage.record.job.installation
    told = {
        **_about(defect),
        "notice": context,
        "told_by_mail": told_by_mail,
        "office_link": whole_link(reverse("installation_detail", args=[installation.pk])),
    }
    what = "Do-not-use notice" if told_by_mail else "Hand over by hand: do-not-use notice"
    return letter_write(f"{what} for {installation.site.customer.name}", "do_not_use_office", told)


def lifted_letter(*, defect: Defect, what: str, still_out: int) -> Letter:
    """Return that a notice is lifted, by what evidence, and whether another one still holds."""
    customer = defect.stage.record.job.installation.site.customer
    told = {**_about(defect), "what": what, "still_out": still_out, "page_link": customer_link(customer)}
    subject = "A do-not-use notice is lifted; your stove is still not to be used"
    return letter_write(
        subject if still_out else "Your do-not-use notice is lifted", "do_not_use_lifted", told
    )


def _about(defect: Defect) -> dict[str, Any]:
    installation = defect.stage.record.job.installation
    return {
        "shop": Shop.current(),
        "customer": installation.site.customer,
        "installation": installation,
        "defect": defect,
    }
