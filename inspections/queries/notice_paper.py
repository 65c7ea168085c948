"""What a do-not-use notice prints: its frozen context, in words, in the units of the house."""

from __future__ import annotations

from datetime import datetime

from inspections.models import Answer, Defect
from inspections.models.defect import FOUND
from inspections.notice_words import HOW_IT_ENDS, WHAT_TO_DO, WHO_MAY_USE_IT, emergency_words
from inspections.queries.defect_words import rule_words
from jobs.models import Country, Shop, User
from jobs.queries.paper_parts import Json, moment_words, sheet_part, shop_part, site_part
from jobs.services.letters import EMERGENCY_NUMBER

#: Photos that fit beside what is wrong, on the notice's own half of the sheet.
MOST_PHOTOS = 2


def notice_context(*, defect: Defect, by: User, now: datetime) -> Json:
    """Return everything a notice prints."""
    job = defect.stage.record.job
    installation = job.installation
    site = installation.site
    photos = photos_of(defect)[-MOST_PHOTOS:]
    number = EMERGENCY_NUMBER[Country(site.country)]
    return {
        "schema": 1,
        **sheet_part(site),
        "title": "Do not use",
        "shop": shop_part(Shop.current()),
        "job": {"number": job.number, "kind": job.get_kind_display()},
        "customer": {"name": site.customer.name},
        "site": site_part(site),
        "installation": {
            "room": installation.room,
            "appliance": str(installation.appliance),
            "chimney": str(installation.chimney),
            "serial_number": installation.serial_number,
        },
        "defect": {
            "number": defect_number(defect),
            "description": defect.description,
            "place": defect.place,
            "rule": rule_words(defect.rule) or "No rule is named: it is the judgement of whoever found it.",
            "found": f"{defect.opened_by.name}, {moment_words(defect.opened_at, site)}",
        },
        "issued": f"{moment_words(now, site)}, {by.name}",
        "emergency_number": number,
        "emergency": emergency_words(number),
        "what_to_do": list(WHAT_TO_DO),
        "who_may_use_it": WHO_MAY_USE_IT,
        "how_it_ends": HOW_IT_ENDS,
        "photos": photos,
        "pictures": sorted(set(photos)),
    }


def photos_of(defect: Defect) -> list[str]:
    """Return the SHA-256 of the photos of a defect as found, oldest first."""
    answers = Answer.objects.filter(stage=defect.stage_id, item=f"{defect.item}{FOUND}", photo__isnull=False)
    found = list(answers.order_by("pk").values_list("photo__sha256", flat=True))
    return list(dict.fromkeys(found))


def defect_number(defect: Defect) -> str:
    """Return the number of a defect as people say it."""
    return f"D-{defect.pk:04d}"
