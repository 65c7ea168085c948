"""What a notice plate says of a hearth and its flue, and what it still lacks.

Approved Document J (England), 1.57 and its diagram of a plate ask for the place of the hearth, fireplace or
flue, the category of the flue and the types of appliance it suits, its type, size and maker, and the date;
the designation may stand beside them. The list was read; how the printed example words its heading is from
memory only, so the plate says the same in words of its own.
"""

from __future__ import annotations

from dataclasses import dataclass

from calcs.designation import parse_designation
from jobs.figures import figure_words
from jobs.models import Job, Shop
from jobs.queries.paper_parts import Json, day_words, sheet_part, shop_part, site_part

#: Width and height the plate is cut to. No rule gives them; its letters must be read at arm's length.
PLATE_SIZE = "120mm 90mm"
#: More letters than this in its rows, and they are set a size smaller, so that a plate is always one face.
ROOMY, FULL = 230, 350


@dataclass(frozen=True)
class Wanting:
    """What a paper lacks, and where somebody enters it."""

    what: str
    where: str


def plate_wanting(job: Job) -> list[Wanting]:
    """Return everything the rules ask a notice plate to say that nobody has entered."""
    installation = job.installation
    listing = f"the listing of {installation.chimney}, under Listings, Chimneys"
    house = f"the installation {installation}"
    told = _told(job)
    asked = (
        ("room", "where the hearth is", house),
        ("flue_category", "the category of the flue", listing),
        ("suits_appliances", "the types of appliance it suits", listing),
        ("flue_type", "the type of flue or liner", listing),
        ("size", "its inner diameter", listing),
        ("maker", "its maker", listing),
        ("installed_on", "the day it was installed", house),
    )
    return [Wanting(what, where) for name, what, where in asked if not told[name]]


def wanting_words(wanting: list[Wanting]) -> str:
    """Return in a sentence what is missing and where it is entered."""
    places: dict[str, list[str]] = {}
    for one in wanting:
        places.setdefault(one.where, []).append(one.what)
    return " ".join(
        f"Missing: {', '.join(what)}. Enter {'it' if len(what) == 1 else 'them'} at {where}."
        for where, what in places.items()
    )


def plate_part(job: Job) -> Json:
    """Return the face of a plate that lacks nothing."""
    site, told = job.installation.site, _told(job)
    address = site_part(site)["lines"]
    rows = [
        ("House", ", ".join(address[:2])),
        ("Hearth and flue in", told["room"]),
        ("Category of flue", told["flue_category"]),
        ("It suits", told["suits_appliances"]),
        ("Flue or liner", f"{told['flue_type']}, {told['size']} inside"),
        ("Its maker", told["maker"]),
        ("Designation", told["designation"]),
        ("Condensing appliances", _condensing(told["designation"])),
        ("Installed", told["installed_on"]),
    ]
    shown = [{"label": label, "words": words} for label, words in rows if words]
    letters = sum(len(row["words"]) for row in shown)
    cut = "full" if letters > FULL else "close" if letters > ROOMY else "roomy"
    return {"rows": shown, "cut": cut}


def notice_plate_context(*, job: Job, shop: Shop) -> Json:
    """Return everything a notice plate prints."""
    return {
        "schema": 1,
        **sheet_part(job.installation.site),
        "paper": PLATE_SIZE,
        "title": "Notice plate",
        "shop": shop_part(shop),
        "job": {"number": job.number},
        "plate": plate_part(job),
        "pictures": [],
    }


def _told(job: Job) -> dict[str, str]:
    """What is known of a hearth and its flue; size and designation as they were planned."""
    installation = job.installation
    chimney, site = installation.chimney, installation.site
    planned = (job.plan.data if job.plan else {}).get("chimney") or {}
    inner = planned.get("inner_diameter")
    inner = chimney.inner_diameter if inner is None else inner
    installed = installation.installed_on
    return {
        "room": installation.room.strip(),
        "flue_category": chimney.flue_category.strip(),
        "suits_appliances": chimney.suits_appliances.strip(),
        "flue_type": chimney.flue_type.strip(),
        "size": figure_words(inner, "length", site.unit_system).replace(" ", "\u00a0")
        if inner is not None
        else "",
        "maker": chimney.maker.strip(),
        "designation": (planned.get("designation") or chimney.designation).strip(),
        "installed_on": day_words(installed, site) if installed else "",
    }


def _condensing(designation: str) -> str:
    """D in a designation is a flue that must stay dry, W one that bears condensate (EN 1443, from memory)."""
    try:
        condensate = parse_designation(designation).condensate
    except ValueError:
        return ""
    return "Not suitable: the flue must stay dry" if condensate == "D" else "The flue bears condensate"
