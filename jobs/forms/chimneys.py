"""The forms for a chimney's listing data and its section lengths."""

from __future__ import annotations

from typing import Any

from django import forms

from calcs.refusals import greatest_offset
from jobs.forms.bases import InlineFormSet, ModelForm
from jobs.forms.layouts import group, helper, together
from jobs.forms.quantities import QuantityFormMixin, write_quantity
from jobs.models import Chimney, ChimneySection

_ALREADY_THERE = "This system is already entered in this diameter. Open it from the list and edit it there."


class ChimneyForm(QuantityFormMixin, ModelForm):
    """The figures of the maker's sheet for one system in one size."""

    class Meta:
        model = Chimney
        fields = [
            "maker", "model", "listing_reference", "designation", "flue_type", "flue_category",
            "suits_appliances", "inner_diameter", "outer_diameter", "clearance", "support_size",
            "support_projection", "supported_height", "brace_threshold",
            "shield_height", "shield_above_insulation", "box_height", "box_projection", "box_above_deck",
            "thimble_size", "thimble_projection", "tee_rise", "tee_branch", "wall_standoff",
            "wall_standoff_greatest", "wall_supported_height", "bracket_spacing", "insulation_thickness",
            "liner_room", "liner_above_crown", "liner_zero_clearance", "cap_height", "thermal_resistance",
            "roughness", "elbow_15_rise", "elbow_15_run", "elbow_30_rise", "elbow_30_run",
        ]  # fmt: skip
        labels = {
            "support_size": "Support box, outside",
            "support_projection": "Support below the ceiling",
            "supported_height": "Height it carries",
            "brace_threshold": "Brace needed from, above the roof",
            "shield_height": "Insulation shield, height",
            "box_height": "Box, height it is made in",
            "box_projection": "Box below the ceiling's low side",
            "box_above_deck": "Box above the deck",
            "thimble_size": "Thimble, framed opening",
            "thimble_projection": "Chimney into the room",
            "tee_rise": "Tee, up to its joint",
            "tee_branch": "Tee, out to its branch's joint",
            "wall_standoff": "Off the wall, at least",
            "wall_standoff_greatest": "Off the wall, at most",
            "wall_supported_height": "Height it carries",
            "bracket_spacing": "Brackets, at most apart",
            "insulation_thickness": "Insulation around it",
            "liner_room": "Gap all round",
            "liner_above_crown": "Liner above the masonry",
            "liner_zero_clearance": "Listed for masonry that touches what burns",
            "elbow_15_rise": "15° pair, rise",
            "elbow_15_run": "15° pair, offset",
            "elbow_30_rise": "30° pair, rise",
            "elbow_30_run": "30° pair, offset",
        }
        help_texts = {
            "listing_reference": "So that anybody can find the figure again.",
            "designation": "Such as T600 N1 D 3 G50, where the sheet has one.",
            "flue_type": "Such as Twin-wall insulated stainless steel, or Flexible stainless steel liner.",
            "flue_category": "Such as Solid fuel, dry, withstands a soot fire.",
            "suits_appliances": "Such as Closed stoves for wood and mineral fuel. Only what the sheet says.",
            "support_size": "Empty: the framed opening is taken.",
            "support_projection": "From the finished ceiling down to the first joint.",
            "shield_height": "It may never be cut down.",
            "box_height": "With its listed extension, if there is one.",
            "box_projection": "At least so far, on the side where the ceiling is lowest.",
            "box_above_deck": "On the high side; 0 where it is cut off flush.",
            "thimble_size": "Empty: diameter and clearance on both sides.",
            "thimble_projection": "From the wall's inner face, at least.",
            "tee_rise": "From the centre of its branch.",
            "tee_branch": "From the tee's own centre.",
            "wall_standoff": "From the wall's face to the chimney's outside.",
            "wall_standoff_greatest": "As far as the support reaches.",
            "insulation_thickness": "0 where it goes in bare.",
            "liner_room": "Between insulation and flue; 0 where they may touch.",
            "liner_zero_clearance": "With its insulation, over the full length.",
            "roughness": "Of the inner wall.",
            "thermal_resistance": "Referred to the inner wall.",
            "elbow_15_rise": "What the two add upwards, locked together.",
            "elbow_15_run": "How far the two carry the flue sideways.",
            "elbow_30_rise": "With no straight length between them.",
        }
        error_messages = {"__all__": {"unique_together": _ALREADY_THERE}}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = helper(
            group(
                "System", together("maker", "model"), "listing_reference", "designation",
                together("inner_diameter", "outer_diameter", "clearance"),
            ),
            group("For the notice plate", "flue_type", "flue_category", "suits_appliances"),
            group(
                "Ceiling support and attic",
                together("support_size", "support_projection", "supported_height"),
                together("shield_height", "shield_above_insulation"),
            ),
            group(
                "Vaulted ceiling",
                together("box_height", "box_projection", "box_above_deck"),
            ),
            group(
                "Through the wall",
                together("thimble_size", "thimble_projection"),
                together("tee_rise", "tee_branch"),
                together("wall_standoff", "wall_standoff_greatest"),
                together("wall_supported_height", "bracket_spacing"),
            ),
            group(
                "Liner in a masonry chimney",
                together("insulation_thickness", "liner_room", "liner_above_crown"),
                "liner_zero_clearance",
            ),
            group("Above the roof", together("brace_threshold", "cap_height")),
            group("For the draft", together("thermal_resistance", "roughness")),
            group(
                "Elbow pairs, to pass a joist or a rafter",
                together("elbow_15_rise", "elbow_15_run"),
                together("elbow_30_rise", "elbow_30_run"),
            ),
        )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        """Refuse an outside smaller than the inside, and elbows that no angle allows."""
        cleaned = super().clean() or {}
        inner, outer = cleaned.get("inner_diameter"), cleaned.get("outer_diameter")
        if inner is not None and outer is not None and outer < inner:
            self.add_error(
                "outer_diameter", "The outside is smaller than the inside; check which figure is which."
            )
        for angle in (15, 30):
            self._clean_elbows(cleaned, angle)
        return cleaned

    def _clean_elbows(self, cleaned: dict[str, Any], angle: int) -> None:
        rise, run = cleaned.get(f"elbow_{angle}_rise"), cleaned.get(f"elbow_{angle}_run")
        if (rise is None) != (run is None):
            lacking = f"elbow_{angle}_{'rise' if rise is None else 'run'}"
            if lacking not in self.errors:
                self.add_error(lacking, "The sheet gives rise and offset together; type this one too.")
        elif rise is not None and run is not None and run > greatest_offset(rise, angle):
            self.add_error(
                f"elbow_{angle}_run", f"No {angle}° pair reaches so far; are rise and offset swapped?"
            )


class ChimneySectionForm(QuantityFormMixin, ModelForm):
    """One straight length that can be bought."""

    class Meta:
        model = ChimneySection
        fields = ["name", "length", "effective_length", "cost"]
        labels = {"length": "Length", "effective_length": "Adds in the stack", "cost": "Cost"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"].required = False
        self.fields["name"].widget.attrs["placeholder"] = "as its length"
        self.fields["cost"].widget = forms.TextInput({"inputmode": "decimal", "autocomplete": "off"})

    def clean(self) -> dict[str, Any]:
        """Take the length for a name, and refuse a section that adds more than it is long."""
        cleaned = super().clean() or {}
        length, adds = cleaned.get("length"), cleaned.get("effective_length")
        if not cleaned.get("name") and length is not None:
            # As typed it may lack its unit, and "2 x 18" on a load list could be anything.
            cleaned["name"] = write_quantity(length, "length", self.system)
        if adds is not None and adds <= 0:
            self.add_error("effective_length", "A section has to add height; type what it adds when locked.")
        elif length is not None and adds is not None and adds > length:
            self.add_error("effective_length", "It cannot add more than it is long; swap the two figures.")
        return cleaned


class SectionFormSet(InlineFormSet):
    """The section lengths of one chimney system."""

    def get_unique_error_message(self, unique_check: Any) -> str:
        """Say which rule the rows break."""
        return "Two sections have the same name; give each its own."

    def get_form_error(self) -> str:
        """Mark the row itself."""
        return "This name stands in another row already."


def section_formset(chimney: Chimney, system: str, data: Any = None) -> InlineFormSet:
    """Return the rows of a chimney's section lengths, with an empty one at the end."""
    made = forms.inlineformset_factory(
        Chimney,
        ChimneySection,
        form=ChimneySectionForm,
        formset=SectionFormSet,
        extra=1 if chimney.pk else 3,
        can_delete=True,
    )
    return made(data, instance=chimney, prefix="sections", form_kwargs={"system": system})
