"""The invented listings and houses: what a person would type is read by what reads it on the forms."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from calcs.lengths import parse_measure
from config.demo.fixture import fixture
from jobs.forms.quantities import default_unit, read_quantity
from jobs.models import Appliance, Chimney, ChimneySection, Customer, Installation, Route, Site, Survey
from jobs.models.base import AsTyped
from jobs.services.customers import customer_save
from jobs.services.listings import appliance_save, chimney_save
from jobs.services.sites import installation_save, site_save

#: Keys of a listing in the file that are no columns.
_OWN_KEYS = {"key", "system", "sections"}
#: Figures of a survey's rows, by the row's column.
_ROWS = {
    "obstacles": {"distance": "length", "height": "length"},
    "hearth_layers": {"thickness": "length", "resistance": "thermal resistance"},
}


@dataclass
class House:
    """One house with what its survey found, as typed."""

    installation: Installation
    survey: dict[str, Any]

    def survey_values(self, *, again: bool = False) -> tuple[dict[str, Any], dict[str, Any]]:
        """Return what was measured in SI, and the words it was typed in; `again` is the second time."""
        told = {name: value for name, value in self.survey.items() if name != "again"}
        if again:
            told.update(self.survey["again"])
        system = self.installation.site.unit_system
        rows = {name: told.pop(name, []) for name in _ROWS}
        tolerances = _tolerances(told, system)
        values, typed = read(Survey, told, system)
        values |= {name: [_row(name, row, system) for row in found] for name, found in rows.items()}
        typed |= {name: [_typed(name, row) for row in found] for name, found in rows.items() if found}
        return {**values, "tolerances": tolerances}, typed


@dataclass
class Listings:
    """The listings by their key in the file."""

    appliances: dict[str, Appliance]
    chimneys: dict[str, Chimney]


def read(model: type[AsTyped], told: dict[str, Any], system: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return a file's entry as values in SI, and the quantities as typed."""
    kinds = {column.name: column.kind for column in model.quantity_fields()}
    typed = {name: text for name, text in told.items() if name in kinds}
    quantities = {name: _figure(text, kinds[name], system) for name, text in typed.items()}
    return {**told, **quantities}, typed


def _figure(text: str, kind: str, system: str) -> float:
    if kind == "length":
        return parse_measure(text, default_unit(kind, system))[0]
    return read_quantity(text, kind, system)


def _tolerances(told: dict[str, Any], system: str) -> dict[str, float]:
    lengths = {column.name for column in Survey.quantity_fields() if column.kind == "length"}
    unit = default_unit("length", system)
    found = {name: parse_measure(text, unit)[1] for name, text in told.items() if name in lengths}
    return {name: tolerance for name, tolerance in found.items() if tolerance}


def _row(column: str, told: dict[str, str], system: str) -> dict[str, Any]:
    kinds = _ROWS[column]
    empty = dict.fromkeys(kinds) if column == "hearth_layers" else {}
    figures = {name: read_quantity(told[name], kind, system) for name, kind in kinds.items() if name in told}
    return {**empty, **told, **figures}


def _typed(column: str, told: dict[str, str]) -> dict[str, str]:
    return {name: told.get(name, "") for name in _ROWS[column]}


def listings_build() -> Listings:
    """Enter the makers' sheets."""
    content = fixture("listings")
    appliances = {}
    for told in content["appliance"]:
        values, typed = read(Appliance, _columns(told), told["system"])
        appliances[told["key"]] = appliance_save(appliance=Appliance(as_typed=typed, **values))
    chimneys = {}
    for told in content["chimney"]:
        values, typed = read(Chimney, _columns(told), told["system"])
        sections = []
        for section in told["sections"]:
            figures, words = read(ChimneySection, section, told["system"])
            figures["cost"] = Decimal(section["cost"])
            sections.append(ChimneySection(as_typed=words, **figures))
        chimneys[told["key"]] = chimney_save(chimney=Chimney(as_typed=typed, **values), sections=sections)
    return Listings(appliances, chimneys)


def houses_build(*, listings: Listings, today: date) -> dict[str, House]:
    """Enter customers, sites and installations; return the houses by their key in the file."""
    return {told["key"]: _house(told, listings, today) for told in fixture("houses")["house"]}


def _house(told: dict[str, Any], listings: Listings, today: date) -> House:
    customer = customer_save(customer=Customer(**told["customer"]))
    values, typed = read(Site, told["site"], told["site"]["unit_system"])
    site = site_save(site=Site(customer=customer, as_typed=typed, **values))
    stands = dict(told["installation"])
    days = stands.pop("installed_days_ago", None)
    installation = Installation(
        site=site,
        room=stands["room"],
        route=stands.get("route", Route.FLAT_CEILING),
        appliance=listings.appliances[stands["appliance"]],
        chimney=listings.chimneys[stands["chimney"]],
        serial_number=stands.get("serial_number", ""),
        installed_on=today - timedelta(days=days) if days else None,
    )
    return House(installation_save(installation=installation), told.get("survey", {}))


def _columns(told: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in told.items() if name not in _OWN_KEYS}
