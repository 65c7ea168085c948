"""Form fields for quantities: people's text in, SI out, and the text kept as it was typed."""

from __future__ import annotations

import re
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError

from calcs.units import FOOT, UnitError, parse_quantity
from jobs.figures import figure_words
from jobs.models.base import AsTyped, QuantityField

#: Unit of a bare number by kind and system, written as a person would.
DEFAULT_UNITS = {
    "length": {"imperial": "in", "metric": "mm"},
    "draft": {"imperial": "in w.c.", "metric": "Pa"},
    "temperature": {"imperial": "°F", "metric": "°C"},
    "power": {"imperial": "Btu/h", "metric": "kW"},
    "mass flow": {"imperial": "lb/h", "metric": "g/s"},
    "area": {"imperial": "in2", "metric": "mm2"},
    "thermal resistance": {"imperial": "ft2 h F/Btu", "metric": "m2K/W"},
    "ratio": {"imperial": "%", "metric": "%"},
    "air permeability": {"imperial": "m³/(h m²)", "metric": "m³/(h m²)"},
}
#: Beyond these, in SI, the figure is a slip of the unit, not a stove: kind -> (least, most).
BELIEVABLE = {
    "draft": (0.0, 250.0),
    "power": (300.0, 200_000.0),
    "temperature": (-90.0, 1200.0),
    "mass flow": (0.0, 0.5),
    "thermal resistance": (0.0, 20.0),
    "ratio": (0.01, 1.0),
    "air permeability": (0.0, 0.03),
    "area": (0.0, 5.0),
}
_PLUS_MINUS = re.compile(r"±|\+ ?/? ?[-−–]")
_R_VALUE = re.compile(r"\s*(rsi|r)(?:[ -]?(?:value|factor))?\s*[-=:]?\s*(?=[0-9.,])(.*)", re.IGNORECASE)


def default_unit(kind: str, system: str) -> str:
    """Return the unit a bare number is read in."""
    return DEFAULT_UNITS[kind][system]


def read_quantity(text: str, kind: str, system: str, unit: str = "") -> float:
    """Return what a person typed in SI; a ValueError says what was not understood.

    `unit` overrides the unit of a bare number. A thermal resistance may carry the `R` or `RSI` that
    makers' sheets print before it.
    """
    unit = unit or default_unit(kind, system)
    if kind == "thermal resistance" and (found := _R_VALUE.fullmatch(text)):
        unit, text = _r_value_unit(text, found[1].lower(), system), found[2]
    if _PLUS_MINUS.search(text):
        raise UnitError("no_tolerance", "No tolerance is kept for this figure; type it without the ±.")
    # People write shares in percent, and a share written plainly is told from them by being too small.
    value = parse_quantity(text, "percent" if kind == "ratio" else kind, unit)
    least, most = BELIEVABLE.get(kind, (None, None))
    if (least is not None and value < least) or (most is not None and value > most):
        raise UnitError("unbelievable", f"“{text.strip()}” read in {unit} cannot be right; check the unit.")
    return value


def _r_value_unit(text: str, prefix: str, system: str) -> str:
    if prefix == "rsi":
        return DEFAULT_UNITS["thermal resistance"]["metric"]
    if system == "imperial":
        return DEFAULT_UNITS["thermal resistance"]["imperial"]
    raise UnitError(
        "ambiguous_r",
        f"“{text.strip()}” could be metric or imperial; write it like 0.14 m2K/W or 0.8 ft2 h F/Btu.",
    )


def write_quantity(value: float, kind: str, system: str, unit: str = "") -> str:
    """Return an SI figure as a person could have typed it in this system."""
    if unit == "ft":
        return f"{value / FOOT:.6g} ft"
    if unit == "m":
        return f"{value:.6g} m"
    return figure_words(value, kind, system)


class QuantityInput(forms.TextInput):
    """A text input with the unit of a bare number beside it."""

    template_name = "jobs/widgets/quantity.html"

    def __init__(self, unit: str, attrs: dict[str, Any] | None = None) -> None:
        self.unit = unit
        # A numeric keyboard has no fraction bar or space, so the full one is asked for.
        super().__init__({"inputmode": "text", "autocomplete": "off", "spellcheck": "false", **(attrs or {})})

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        """Add the unit."""
        return {**super().get_context(name, value, attrs), "unit": self.unit}


class QuantityFormField(forms.CharField):
    """Reads a quantity. Its value is SI or None; `shown` is the text the page showed and its SI value."""

    def __init__(
        self, *, kind: str = "length", system: str, unit: str = "", signed: bool = False, **kwargs: Any
    ) -> None:
        self.kind, self.system, self.signed = kind, system, signed
        self.unit = unit or default_unit(kind, system)
        self.shown: tuple[str, float] | None = None
        super().__init__(widget=QuantityInput(self.unit), **kwargs)

    def clean(self, value: Any) -> Any:
        """Return the figure in SI, None for an empty field."""
        text = cast(str, super().clean(value))
        if not text:
            return None
        if self.shown and text == self.shown[0]:
            return self.shown[1]
        try:
            figure = self.read(text)
        except ValueError as error:
            raise ValidationError(str(error), code=getattr(error, "code", "invalid")) from error
        if figure < 0 and self.kind == "length" and not self.signed:
            raise ValidationError(f"“{text}” is less than nothing; type it without the minus.", "negative")
        return figure

    def read(self, text: str) -> float:
        """Return what was typed in SI, or raise a ValueError."""
        return read_quantity(text, self.kind, self.system, self.unit)

    def write(self, value: float) -> str:
        """Return an SI figure as it could have been typed; its unit stands beside the field already."""
        return write_quantity(value, self.kind, self.system, self.unit).removesuffix(f" {self.unit}")

    def show(self, value: float | None, typed: str) -> str:
        """Return the text to show for a stored figure: as typed, unless it would now be read differently."""
        if value is None:
            return ""
        text = typed.strip()
        try:
            same = bool(text) and abs(self.read(text) - value) < 1e-9
        except ValueError:
            same = False
        text = text if same else self.write(value)
        self.shown = (text, value)
        return text


class QuantityFormMixin:
    """For a ModelForm of an AsTyped model: gives every quantity column its field in the site's units.

    `quantity_units` names columns whose bare numbers are in another unit than their kind's, by system.
    Saving keeps the text as typed in the instance's `as_typed`.
    """

    quantity_units: dict[str, dict[str, str]] = {}
    #: Lengths that may lie below zero, such as an altitude.
    quantity_signed: frozenset[str] = frozenset()

    def __init__(self, *args: Any, system: str, **kwargs: Any) -> None:
        self.system = system
        super().__init__(*args, **kwargs)
        form = cast("forms.ModelForm[Any]", self)
        model = cast("type[AsTyped]", form._meta.model)
        for column in model.quantity_fields():
            if column.name in form.fields:
                options = {
                    "system": system,
                    "unit": self.quantity_units.get(column.name, {}).get(system, ""),
                    "signed": column.name in self.quantity_signed,
                    "required": form.fields[column.name].required,
                }
                self.use_field(column.name, self.quantity_field(column, **options))

    def quantity_field(self, column: QuantityField, **options: Any) -> QuantityFormField:
        """Return the field that reads a column."""
        return QuantityFormField(kind=column.kind, **options)

    def use_field(self, name: str, field: QuantityFormField) -> None:
        """Put a column's field in place of the one the model gave, and show the stored figure in it."""
        form = cast("forms.ModelForm[Any]", self)
        field.label, field.help_text = form.fields[name].label, form.fields[name].help_text
        form.fields[name] = field
        value = form.initial.get(name)
        if isinstance(value, int | float):
            form.initial[name] = field.show(float(value), str(form.instance.as_typed.get(name, "")))

    def typed(self) -> dict[str, str]:
        """Return the text of every quantity that was understood, by column.

        What the page itself had written and nobody changed is not passed off as typed.
        """
        form = cast("forms.ModelForm[Any]", self)
        texts: dict[str, str] = {}
        for name, field in form.fields.items():
            if not isinstance(field, QuantityFormField) or form.cleaned_data.get(name) is None:
                continue
            text = str(form.data.get(form.add_prefix(name), "")).strip()
            if field.shown and text == field.shown[0]:
                text = form.instance.as_typed.get(name, "")
            if text:
                texts[name] = text
        return texts

    def _post_clean(self) -> None:
        form = cast("forms.ModelForm[Any]", self)
        untouched = {name: text for name, text in form.instance.as_typed.items() if name not in form.fields}
        form.instance.as_typed = {**untouched, **self.typed()}
        super()._post_clean()  # type: ignore[misc]
