"""The form for an appliance's listing data."""

from __future__ import annotations

from typing import Any

from django import forms

from jobs.forms.bases import ModelForm
from jobs.forms.layouts import group, helper, together
from jobs.forms.quantities import QuantityFormMixin
from jobs.models import Appliance

_ALREADY_THERE = "This maker and model is already entered. Open it from the list and edit it there."


class ApplianceForm(QuantityFormMixin, ModelForm):
    """The figures of the maker's sheet. What the sheet does not say is left empty."""

    class Meta:
        model = Appliance
        fields = [
            "maker", "model", "listed", "listing_reference", "fuel", "kind",
            "clearance_rear", "clearance_side", "clearance_front", "clearance_above", "clearance_corner",
            "clearance_reduction_allowed", "connector_clearance", "collar_diameter", "collar_height",
            "back_to_flue_centre", "side_to_flue_centre", "nominal_output", "minimum_output",
            "flue_gas_temperature", "flue_gas_mass_flow", "least_draft", "hearth_resistance",
            "hearth_front", "hearth_side", "hearth_rear",
        ]  # fmt: skip
        labels = {
            "kind": "Gives off its heat as",
            "clearance_rear": "Behind",
            "clearance_side": "At the sides",
            "clearance_front": "In front",
            "clearance_above": "Above",
            "clearance_corner": "In a corner",
            "clearance_reduction_allowed": "Sheet allows a wall protection to reduce them",
            "connector_clearance": "Listed connector to combustibles",
            "hearth_front": "In front",
            "hearth_side": "At the sides",
            "hearth_rear": "Behind",
            "hearth_resistance": "Thermal resistance asked for",
            "least_draft": "Least draft",
        }
        help_texts = {
            "listing_reference": "So that anybody can find the figure again.",
            "clearance_corner": "From the appliance's corner to the wall.",
            "hearth_resistance": "The R of the sheet; layers add up.",
            "collar_diameter": "Inside diameter the chimney is sized to.",
        }
        error_messages = {"__all__": {"unique_together": _ALREADY_THERE}}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["clearance_reduction_allowed"] = forms.TypedChoiceField(
            label="Wall protection may reduce them",
            choices=[("", "Sheet does not say"), ("yes", "Yes, by the sheet"), ("no", "No")],
            coerce=lambda word: word == "yes",
            empty_value=None,
            required=False,
        )
        allowed = self.initial.get("clearance_reduction_allowed")
        self.initial["clearance_reduction_allowed"] = "" if allowed is None else ("yes" if allowed else "no")
        self.helper = helper(
            group(
                "Appliance",
                together("maker", "model"),
                together("fuel", "kind"),
                "listing_reference",
                "listed",
            ),
            group(
                "Clearances to combustible walls",
                together("clearance_rear", "clearance_side", "clearance_corner"),
                together("clearance_front", "clearance_above", "connector_clearance"),
                "clearance_reduction_allowed",
            ),
            group(
                "Collar and flue centre",
                together("collar_diameter", "collar_height"),
                together("back_to_flue_centre", "side_to_flue_centre"),
            ),
            group(
                "Fire",
                together("nominal_output", "minimum_output", "least_draft"),
                together("flue_gas_temperature", "flue_gas_mass_flow"),
            ),
            group(
                "Floor protection",
                together("hearth_front", "hearth_side", "hearth_rear"),
                "hearth_resistance",
            ),
        )
