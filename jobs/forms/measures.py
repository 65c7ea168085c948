"""A length off the tape that may say how far it may be off."""

from __future__ import annotations

from typing import Any

from calcs.checks import EQUAL_WITHIN
from calcs.lengths import parse_measure
from jobs.forms.quantities import QuantityFormField, write_quantity


class MeasureFormField(QuantityFormField):
    """Reads `36`, `36 ± 1/4 in`, `36 +/- 1/4`. `tolerance` is how far off either way [m], None when not said.

    `kept` is the tolerance stored with the figure that the field shows.
    """

    def __init__(self, *, system: str, kept: float | None = None, **kwargs: Any) -> None:
        super().__init__(system=system, **kwargs)
        self.kept = kept
        self.tolerance: float | None = None

    def clean(self, value: Any) -> Any:
        """Return the figure in SI, None for an empty field."""
        self.tolerance = None
        figure = super().clean(value)
        if self.shown and str(value).strip() == self.shown[0]:
            self.tolerance = self.kept
        return figure

    def read(self, text: str) -> float:
        """Return what was typed in SI, or raise a ValueError."""
        figure, tolerance = parse_measure(text, self.unit)
        self.tolerance = tolerance or None
        return figure

    def show(self, value: float | None, typed: str) -> str:
        """Return the text to show for a stored figure with its tolerance."""
        text = super().show(value, typed)
        if value is None:
            return text
        self.read(text)
        if abs((self.tolerance or 0.0) - (self.kept or 0.0)) > EQUAL_WITHIN:
            text = self.write(value)
            if self.kept:
                text = " ± ".join(write_quantity(one, "length", self.system) for one in (value, self.kept))
            self.shown = (text, value)
        return text
