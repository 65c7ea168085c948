"""The frozen context of a care sheet: the words for this house, each figure with its source."""

from __future__ import annotations

from datetime import datetime

from calcs.rulebook import load_rulebook
from calcs.wording import in_units
from jobs import care_words as words
from jobs.care_drawings import DRAWINGS
from jobs.figures import figure_words, source_words
from jobs.models import ApplianceKind, Country, Fuel, Job, ServiceKind, ServiceSchedule, Shop
from jobs.queries.paper_parts import (
    Json,
    day_words,
    drawing_part,
    sheet_part,
    shop_part,
    site_part,
    stored_source_words,
)
from jobs.services.letters import EMERGENCY_NUMBER, SERVICE_WORDS

_BURNS = {
    Fuel.WOOD: "wood",
    Fuel.PELLETS: "wood pellets",
    Fuel.SMOKELESS: "smokeless fuel",
    Fuel.COAL: "coal",
}
_CLEARANCES = (("behind", "rear"), ("at the sides", "side"), ("in front", "front"), ("above", "above"))


def care_sheet_context(*, job: Job, shop: Shop, now: datetime) -> Json:
    """Return everything a care sheet prints."""
    site = job.installation.site
    return {
        "schema": 1,
        **sheet_part(site),
        "title": "Care sheet",
        "made_on": day_words(now, site),
        "shop": shop_part(shop),
        "job": {"number": job.number},
        "care": care_part(job),
        "pictures": [],
    }


def care_part(job: Job) -> Json:
    """Return what the two pages say of one installation."""
    installation = job.installation
    appliance, site = installation.appliance, installation.site
    fuel, country = Fuel(appliance.fuel), Country(site.country)
    number = EMERGENCY_NUMBER[country]
    is_open = appliance.kind == ApplianceKind.OPEN_FIRE
    return {
        "stove": str(appliance),
        "room": installation.room,
        "house": site_part(site)["lines"][0],
        "burns": _BURNS[fuel],
        "number": number,
        "sections": _sections(job, fuel, country, is_open=is_open),
        "alarm": {
            "drawing": _drawing("alarm"),
            "points": _points((words.ALARM_TEST[country], *words.ALARMS), job),
            "sounds": [one.format(number=number) for one in words.ALARM_SOUNDS],
        },
        "chimney_fire": {
            "drawing": _drawing("chimney_fire"),
            "points": [one.format(number=number) for one in words.CHIMNEY_FIRE],
        },
        "never": list(words.NEVER),
        "clearances": clearance_words(job),
        "ring_us": list(words.RING_US),
        "next_due": next_due_part(job),
    }


def clearance_words(job: Job) -> str:
    """Return how far off things that burn must stay, as listed; where the listing is silent it says so."""
    appliance, system = job.installation.appliance, job.installation.site.unit_system
    told = [
        f"{figure_words(value, 'length', system, rounding='up')} {where}"
        for where, name in _CLEARANCES
        if (value := getattr(appliance, f"clearance_{name}")) is not None
    ]
    if not told:
        return "The clearances stand on the stove’s own label: ask us if you cannot read it."
    sheet = appliance.listing_reference or "the listing as entered"
    return f"Keep whatever burns at least {', '.join(told)} of the stove ({sheet})."


def next_due_part(job: Job) -> list[Json]:
    """Return what falls due at this house, with the rule that says so."""
    services = ServiceSchedule.objects.filter(installation=job.installation, ended_on=None)
    return [
        {
            "service": SERVICE_WORDS[ServiceKind(service.kind)].capitalize(),
            "due_on": day_words(service.next_due_on, job.installation.site),
            "source": stored_source_words(service.source),
        }
        for service in services
    ]


def _sections(job: Job, fuel: Fuel, country: Country, *, is_open: bool) -> list[Json]:
    fuel_points = list(words.FUEL[fuel])
    if country == Country.GB and fuel in words.SMOKE_CONTROL:
        fuel_points.append(words.SMOKE_CONTROL[fuel])
    running = [*words.RUNNING.get(fuel, words.RUNNING["other"]), (words.GUARD if is_open else words.DOOR, "")]
    if not is_open:
        running.append((words.TOO_HOT, ""))
    picture = {Fuel.WOOD: "wood", Fuel.PELLETS: "pellets"}.get(fuel, "coal")
    lighting = "lighting_wood" if fuel == Fuel.WOOD else "lighting"
    parts = (
        ("Fuel", picture, fuel_points),
        ("The first fires", "first", words.FIRST.get(fuel, words.FIRST["other"])),
        ("Lighting it", lighting, words.LIGHTING.get(fuel, words.LIGHTING["other"])),
        ("While it burns", "running", running),
        ("Ash", "ash", words.ASH),
    )
    return [
        {"title": title, "drawing": _drawing(name), "points": _points(points, job)}
        for title, name, points in parts
    ]


def _points(points: tuple[words.Point, ...] | list[words.Point], job: Job) -> list[Json]:
    site = job.installation.site
    figures = _moisture(site.rule_book)
    return [
        {
            "text": in_units(text, site.unit_system) if "|" in text else text.format_map(figures),
            "source": source.format_map(figures),
        }
        for text, source in points
    ]


def _moisture(code: str) -> dict[str, str]:
    """The rule's most, what a meter on the dry basis shows for it, and the rule's source."""
    limit = load_rulebook(code).limit("fuel.moisture", "maximum")
    if limit is None or limit.maximum is None:
        raise ValueError(f"fuel.moisture: the rule book {code} does not hold it")
    most = limit.maximum
    shown = most / (1 - most)
    return {
        "moisture": f"{most * 100:g} %",
        "meter": f"{shown * 100:.0f} %",
        "moisture_source": source_words(limit),
    }


def _drawing(name: str) -> Json:
    return drawing_part(*DRAWINGS[name])
