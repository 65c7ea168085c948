"""Form of the shop's own settings."""

from __future__ import annotations

from zoneinfo import available_timezones

from django import forms

from jobs.models import Shop

_REGIONS = ("America/", "Atlantic/", "Europe/", "Pacific/")


def zone_choices() -> list[tuple[str, str]]:
    """Return the time zones of the parts of the world the rule books cover."""
    return [
        (zone, zone.replace("_", " ")) for zone in sorted(available_timezones()) if zone.startswith(_REGIONS)
    ]


class ShopForm(forms.ModelForm):  # type: ignore[type-arg]
    """Name, address and habits of the shop."""

    time_zone = forms.ChoiceField(
        choices=zone_choices, help_text="The clock of the week page; a visit keeps the clock of its house."
    )

    class Meta:
        model = Shop
        fields = (
            "name", "address", "phone", "email", "registration", "time_zone", "unit_system", "one_person",
            "keep_years", "access_log_years",
        )  # fmt: skip
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}
        labels = {"email": "Mail address", "unit_system": "Units of new sites"}
