"""The form for an appliance's listing data."""

from __future__ import annotations

from typing import Any

from jobs.forms.bases import ModelForm
from jobs.forms.controls import yes_or_no
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
            "clearance_reduction_allowed", "connector_clearance", "width", "depth", "collar_diameter",
            "collar_height", "back_to_flue_centre", "side_to_flue_centre", "nominal_output", "efficiency",
            "least_draft", "flue_gas_temperature", "flue_gas_mass_flow", "flue_gas_co2", "minimum_output",
            "minimum_output_draft", "minimum_gas_temperature", "minimum_gas_mass_flow", "draught_stabiliser",
            "hearth_resistance", "hearth_front", "hearth_side", "hearth_rear", "hearth_below_100",
            "smoke_exempt",
        ]  # fmt: skip
        labels = {
            "kind": "Gives off its heat as",
            "clearance_rear": "Behind",
            "clearance_side": "At the sides",
            "clearance_front": "In front",
            "clearance_above": "Above",
            "clearance_corner": "In a corner",
            "clearance_reduction_allowed": "Wall protection may reduce them",
            "connector_clearance": "Listed connector to combustibles",
            "width": "Width of the body",
            "depth": "Depth of the body",
            "nominal_output": "Output",
            "least_draft": "Least draft",
            "flue_gas_temperature": "Flue gas, temperature",
            "flue_gas_mass_flow": "Flue gas, mass flow",
            "flue_gas_co2": "Flue gas, CO₂",
            "minimum_output": "Output",
            "minimum_output_draft": "Least draft",
            "minimum_gas_temperature": "Flue gas, temperature",
            "minimum_gas_mass_flow": "Flue gas, mass flow",
            "draught_stabiliser": "Draught stabiliser fitted",
            "hearth_front": "In front",
            "hearth_side": "At the sides",
            "hearth_rear": "Behind",
            "hearth_resistance": "Thermal resistance asked for",
            "hearth_below_100": "Hearth under it stays below 100 °C",
            "smoke_exempt": "Exempt in smoke control areas",
        }
        help_texts = {
            "listing_reference": "So that anybody can find the figure again.",
            "clearance_corner": "From the rear corner of the body to either wall.",
            "width": "Seen from above, without handles and ash lip.",
            "depth": "From its rearmost part to the door.",
            "back_to_flue_centre": "From its rearmost part.",
            "collar_diameter": "Inside diameter the chimney is sized to.",
            "efficiency": "Such as 78 %.",
            "flue_gas_temperature": "At the collar.",
            "flue_gas_mass_flow": "Not on the sheet? Output and efficiency do instead, the better with CO₂.",
            "flue_gas_co2": "Of the dry gas, such as 9.5 %.",
            "minimum_output": "The lowest it is meant to be burnt at.",
            "draught_stabiliser": "A flap that lets room air into the flue. Some rule books then ask for "
            "larger air vents.",
            "hearth_resistance": "The R of the sheet; layers add up. 0 where it asks for none.",
            "hearth_below_100": "Some rule books then let a thin board do.",
            "smoke_exempt": "For wood or coal. Some rule books then let a smaller flue do.",
        }
        error_messages = {"__all__": {"unique_together": _ALREADY_THERE}}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("clearance_reduction_allowed", "draught_stabiliser", "hearth_below_100", "smoke_exempt"):
            yes_or_no(self, name)
        self.helper = helper(
            group(
                "Appliance",
                together("maker", "model"),
                together("fuel", "kind", "smoke_exempt"),
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
                "Body, collar and flue centre",
                together("width", "depth"),
                together("collar_diameter", "collar_height"),
                together("back_to_flue_centre", "side_to_flue_centre"),
            ),
            group(
                "Burning at nominal output",
                together("nominal_output", "efficiency", "least_draft"),
                together("flue_gas_temperature", "flue_gas_mass_flow", "flue_gas_co2"),
            ),
            group(
                "Burning low",
                together("minimum_output", "minimum_output_draft"),
                together("minimum_gas_temperature", "minimum_gas_mass_flow"),
                "draught_stabiliser",
            ),
            group(
                "Floor protection",
                together("hearth_front", "hearth_side", "hearth_rear"),
                together("hearth_resistance", "hearth_below_100"),
            ),
        )

    def clean(self) -> dict[str, Any]:
        """Refuse a least output above the nominal one, and a flue centre outside the body."""
        cleaned = super().clean() or {}
        least, nominal = cleaned.get("minimum_output"), cleaned.get("nominal_output")
        if least is not None and nominal is not None and least > nominal:
            self.add_error("minimum_output", "It is more than the nominal output; swap the two figures.")
        for name, across in (("side_to_flue_centre", "width"), ("back_to_flue_centre", "depth")):
            centre, whole = cleaned.get(name), cleaned.get(across)
            if centre is not None and whole is not None and centre > whole:
                self.add_error(name, f"It is more than the {across} of the body; check the two figures.")
        return cleaned
