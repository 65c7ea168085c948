"""Forms for sites and installations."""

from __future__ import annotations

from importlib import resources
from typing import Any

from django import forms

from jobs.forms.bases import ModelForm
from jobs.forms.layouts import group, helper, together
from jobs.forms.quantities import QuantityFormMixin
from jobs.models import Installation, Site, UnitSystem
from jobs.models.site import Country


def time_zones() -> list[tuple[str, list[tuple[str, str]]]]:
    """Return the time zones of the countries there is a rule book for, as choices grouped by country."""
    table = resources.files("tzdata").joinpath("zoneinfo", "zone.tab").read_text(encoding="utf-8")
    found: dict[str, list[tuple[str, str]]] = {code: [] for code in Country.values}
    for line in table.splitlines():
        code, _, rest = line.partition("\t")
        if code in found:
            zone = rest.split("\t")[1]
            found[code].append((zone, zone.split("/", 1)[-1].replace("_", " ").replace("/", ", ")))
    return [(Country(code).label, sorted(zones)) for code, zones in found.items()]


class SiteForm(QuantityFormMixin, ModelForm):
    """Where a house is and what a crew must know before it goes."""

    quantity_units = {"altitude": {"imperial": "ft", "metric": "m"}}
    quantity_signed = frozenset({"altitude"})

    class Meta:
        model = Site
        fields = [
            "label", "street", "city", "region", "postcode", "country", "unit_system", "time_zone",
            "altitude", "access_notes", "hazard_notes",
        ]  # fmt: skip
        labels = {"unit_system": "Lengths are read and shown in", "access_notes": "Getting in"}
        help_texts = {
            "country": "Decides which rule book the plan is held against.",
            "access_notes": "Keys, parking, ladders, attic hatch, who to ring.",
            "hazard_notes": "Old insulation, wires, dogs, a steep or brittle roof. The crew sees this first.",
        }
        widgets = {
            "access_notes": forms.Textarea({"rows": 3}),
            "hazard_notes": forms.Textarea({"rows": 3}),
        }

    def __init__(self, data: Any = None, *args: Any, system: str = "", **kwargs: Any) -> None:
        posted = str((data or {}).get("unit_system", ""))
        super().__init__(data, *args, system=posted if posted in UnitSystem.values else system, **kwargs)
        zones = time_zones()
        kept = self.initial.get("time_zone") or Site._meta.get_field("time_zone").default
        if not any(kept == zone for _, group_of in zones for zone, _ in group_of):
            zones = [("As stored", [(str(kept), str(kept))]), *zones]
        self.fields["time_zone"] = forms.ChoiceField(choices=zones, label="Time zone")
        self.helper = helper(
            group(
                "Address",
                "label",
                "street",
                together("city", "region", "postcode"),
            ),
            group(
                "Rules and units",
                together("country", "unit_system"),
                together("time_zone", "altitude"),
            ),
            group("What the crew must know", "hazard_notes", "access_notes"),
        )


class InstallationForm(ModelForm):
    """Which appliance and chimney stand, or will stand, in which room."""

    class Meta:
        model = Installation
        fields = ["room", "route", "appliance", "chimney", "serial_number", "installed_on"]
        labels = {"route": "Way out of the house", "installed_on": "Installed on"}
        help_texts = {
            "room": "Where the appliance stands, such as Living room.",
            "serial_number": "From the appliance's rating plate, once it is there.",
            "installed_on": "Leave empty until the work is done.",
        }
        widgets = {"installed_on": forms.DateInput({"type": "date"}, format="%Y-%m-%d")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = helper(
            together("room", "route"),
            together("appliance", "chimney"),
            together("serial_number", "installed_on"),
        )
