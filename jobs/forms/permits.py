"""Form of a permit."""

from __future__ import annotations

from typing import Any

from django import forms

from jobs.forms.controls import DayInput
from jobs.models import Permit, PermitOutcome


class PermitForm(forms.ModelForm):  # type: ignore[type-arg]
    """What the authority having jurisdiction asks for and said."""

    class Meta:
        model = Permit
        fields = ("authority", "number", "issued_on", "final_inspection_on", "outcome")
        widgets = {"issued_on": DayInput, "final_inspection_on": DayInput}
        labels = {"final_inspection_on": "Authority's final inspection on"}

    def clean(self) -> dict[str, Any]:
        """Keep the days in order, and an outcome with its day."""
        said = super().clean() or self.cleaned_data
        issued, final = said.get("issued_on"), said.get("final_inspection_on")
        if issued and final and final < issued:
            self.add_error("final_inspection_on", "The final inspection lies before the permit was issued.")
        if said.get("outcome") in {PermitOutcome.PASSED, PermitOutcome.FAILED} and not final:
            self.add_error("final_inspection_on", "Give the day of the inspection this outcome comes from.")
        return said
