"""Parts that every paper's frozen context is made of: plain JSON, every figure already in words."""

from __future__ import annotations

import base64
import re
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from calcs.checks import Limit, Source, SourceKind
from calcs.rulebook import RuleBook, load_rulebook
from jobs.figures import figure_words, source_words
from jobs.models import (
    Appliance,
    Chimney,
    Country,
    Credential,
    Fuel,
    Permit,
    PermitOutcome,
    Plan,
    Shop,
    Site,
)
from jobs.models.base import AsTyped
from jobs.models.chimney import USED_BY

#: Paper, language, and height inside the frame of a first page, by country.
_HABITS = {
    Country.US: ("Letter", "en-US", "245mm"),
    Country.CA: ("Letter", "en-CA", "245mm"),
    Country.GB: ("A4", "en-GB", "263mm"),
}
#: Drawings fall back to fonts of the reader's machine; a paper carries its own.
_DRAWING_FONT = "'Atkinson Hyperlegible', 'Atkinson Hyperlegible Ext'"
Json = dict[str, Any]


def sheet_part(site: Site) -> Json:
    """Return the paper's size and language, and the units of the house."""
    paper, language, front = _HABITS[Country(site.country)]
    return {"paper": paper, "lang": language, "front_height": front, "system": site.unit_system}


def shop_part(shop: Shop) -> Json:
    """Return who stands behind the paper."""
    lines = [line.strip() for line in shop.address.splitlines() if line.strip()]
    return {
        "name": shop.name,
        "lines": [*lines, *(one for one in (shop.phone, shop.email) if one)],
        "registration": shop.registration,
        "reach": shop.phone or shop.email,
    }


def site_part(site: Site) -> Json:
    """Return where the house is."""
    # A postcode is read as one word, so it is never broken over two lines.
    postcode = site.postcode.replace(" ", "\u00a0")
    place = " ".join(one for one in (site.region, postcode) if one)
    town = ", ".join(one for one in (site.city, place) if one)
    return {"label": site.label, "lines": [site.street, town, site.get_country_display()]}


def rule_book_part(code: str, edition: str) -> Json:
    """Return which rules hold; `edition` is that of the plan, which may be older than today's."""
    book = load_rulebook(code)
    article = "the " if book.title.startswith("United") else ""
    return {
        "name": f"the rules for {article}{book.title}, edition {edition or book.edition}",
        "sources": _sources_of(book),
    }


def _sources_of(book: RuleBook) -> list[str]:
    """Codes and standards the book quotes, without the sections."""
    quoted = {
        (rule.source.reference.removesuffix(rule.section).strip(), rule.source.edition)
        for rule in book.rules.values()
        if rule.source.kind in {SourceKind.CODE, SourceKind.STANDARD}
    }
    return [f"{reference}, {_edition(edition)}" for reference, edition in sorted(quoted)]


def _edition(edition: str) -> str:
    return f"edition {edition}" if edition.startswith("not ") else edition


def listing_part(row: Appliance | Chimney, stored: Json | None, system: str, route: str = "") -> Json:
    """Return a listing as it was when the plan was made, or as it is where there is no plan.

    Of a chimney's figures those are told that its way out of the house uses; "" tells them all.
    Figures the sheet does not give are named, so that nobody takes them for forgotten.
    """
    figures, missing = [], []
    for field in row.quantity_fields():
        if route and isinstance(row, Chimney) and route not in USED_BY.get(field.name, {route}):
            continue
        label = str(field.verbose_name)
        label = label[:1].upper() + label[1:]
        value = stored.get(field.name) if stored else getattr(row, field.name)
        if value is None:
            missing.append(label)
        else:
            figures.append({"label": label, "figure": figure_words(value, field.kind, system)})
    told = stored or {}
    sheet = told.get("listing_reference", "") if stored else row.listing_reference
    return {
        "name": told.get("name") or str(row),
        "sheet": f"Listing: {sheet}" if sheet else "No sheet is named for this listing",
        "figures": [*_words_of(row, told), *figures],
        "missing": missing,
    }


def _words_of(row: AsTyped, told: Json) -> list[Json]:
    if isinstance(row, Appliance):
        fuel = Fuel(told.get("fuel", row.fuel)).label
        listed = told.get("listed", row.listed)
        return [
            {"label": "Fuel", "figure": fuel},
            {"label": "Listed and labelled", "figure": "Yes" if listed else "No"},
        ]
    designation = told.get("designation", getattr(row, "designation", ""))
    return [{"label": "Designation", "figure": designation}] if designation else []


def drawing_part(svg: str, caption: str) -> Json:
    """Return a drawing as an address that needs no fetching, set in the paper's own font."""
    svg = re.sub(r'font-family="[^"]*"', f'font-family="{_DRAWING_FONT}"', svg)
    return {
        "uri": f"data:image/svg+xml;base64,{base64.b64encode(svg.encode()).decode()}",
        "caption": caption,
    }


def plan_words(plan: Plan | None, site: Site) -> str:
    """Return which plan the work followed."""
    if plan is None:
        return "This kind of job has no plan"
    return f"Revision {plan.revision}, made {day_words(plan.made_at, site)}"


def credential_words(credential: Credential, on: date, site: Site) -> str:
    """Return a credential with how it stood on a day."""
    number = f" {credential.number}" if credential.number else ""
    issuer = f", {credential.issuer}" if credential.issuer else ""
    if credential.expires_on is None:
        return f"{credential.name}{number}{issuer}, no expiry given"
    word = "expired" if credential.is_expired(on) else "valid to"
    return f"{credential.name}{number}{issuer}, {word} {day_words(credential.expires_on, site)}"


def permit_part(permit: Permit, site: Site) -> Json:
    """Return a permit with where it stands."""
    lines = []
    if permit.issued_on:
        lines.append(f"Issued {day_words(permit.issued_on, site)}")
    outcome = PermitOutcome(permit.outcome).label
    if permit.outcome == PermitOutcome.NOT_REQUIRED:
        lines.append(outcome)
    elif permit.final_inspection_on:
        lines.append(f"Final inspection {day_words(permit.final_inspection_on, site)}: {outcome.lower()}")
    else:
        lines.append(f"Final inspection: {outcome.lower()}")
    number = f", number {permit.number}" if permit.number else ""
    return {"name": f"{permit.authority}{number}", "lines": lines}


def day_words(when: date | datetime, site: Site) -> str:
    """Return a day as it is written where the house is, by the clock of the house."""
    if isinstance(when, datetime):
        when = when.astimezone(ZoneInfo(site.time_zone)).date()
    return f"{when:%B} {when.day}, {when.year}" if site.country == Country.US else f"{when.day} {when:%B %Y}"


def moment_words(when: datetime, site: Site) -> str:
    """Return a day and time by the clock of the house."""
    local = when.astimezone(ZoneInfo(site.time_zone))
    clock = f"{local:%-I:%M %p}" if site.country == Country.US else f"{local:%H:%M}"
    return f"{day_words(when, site)}, {clock}"


def stored_source_words(source: Json) -> str:
    """Return where a stored rule comes from; nothing where none was stored."""
    if not source.get("reference"):
        return ""
    told = {key: source.get(key, "") for key in ("kind", "reference", "edition", "provenance")}
    return source_words(Limit(None, None, "", Source.from_dict(told)))
