"""The survey form: what is measured in the house, in the order it is measured."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, cast

from django import forms
from django.forms.boundfield import BoundField

from calcs.clearance import protections
from calcs.framing import LUMBER
from calcs.goods import stock_name
from calcs.lengths import UnitError
from calcs.rulebook import load_rulebook
from calcs.units import parse_length
from calcs.wording import in_units
from jobs.forms.bases import FormSet, ModelForm
from jobs.forms.quantities import QuantityFormField, QuantityFormMixin
from jobs.forms.survey_sections import HELP, LABELS, SECTIONS
from jobs.models import Survey
from jobs.models.survey import ProtectedSides

_DEGREES = re.compile(r"([0-9]+(?:[.,][0-9]+)?) ?(?:°|deg|degrees?)", re.IGNORECASE)
_FRACTION = re.compile(r"[0-9]+ ?/ ?[0-9]+")
_IN_TWELVE = re.compile(r"(.+?) ?(?:/|:|in) ?12")


class SlopeFormField(QuantityFormField):
    """Reads a roof slope as rise in 12; `6`, `6/12`, `6 in 12`, `26.6°`. A bare number follows the system."""

    def __init__(self, *, system: str, **kwargs: Any) -> None:
        super().__init__(system=system, unit="in 12" if system == "imperial" else "°", **kwargs)

    def read(self, text: str) -> float:
        """Return the rise in 12."""
        plain = text.strip()
        if found := _DEGREES.fullmatch(plain):
            return self._from_degrees(float(found[1].replace(",", ".")))
        found = _IN_TWELVE.fullmatch(plain)
        if not found and _FRACTION.fullmatch(plain):
            raise UnitError(
                "ambiguous", f"{plain!r} could be a slope or a fraction; write it like 6/12 or 1/4 in 12."
            )
        try:
            number = parse_length(found[1] if found else plain, "m")
        except ValueError:
            raise UnitError(
                "not_understood", f"{plain!r} is no roof slope; write it like 6/12 or 26.5°."
            ) from None
        return self._from_degrees(number) if self.system == "metric" and not found else number

    @staticmethod
    def _from_degrees(degrees: float) -> float:
        if not 0 <= degrees < 64:
            raise UnitError("too_steep", f"{degrees:g}° is beyond any roof here; check the slope.")
        return float(f"{12 * math.tan(math.radians(degrees)):.10g}")

    def write(self, value: float) -> str:
        """Return a rise in 12 as it could have been typed."""
        if self.system == "imperial":
            return f"{value:.6g}"
        return f"{math.degrees(math.atan(value / 12)):.4g}"


@dataclass(frozen=True)
class Section:
    """A part of the form: where the person stands, and the fields measured there."""

    key: str
    title: str
    hint: str
    fields: list[BoundField]


class SurveyForm(QuantityFormMixin, ModelForm):
    """What was measured. Anything may be left empty: the plan then says what it cannot tell."""

    class Meta:
        model = Survey
        fields = [name for section in SECTIONS for name in section.fields]
        labels = LABELS
        help_texts = HELP
        widgets = {"notes": forms.Textarea({"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.use_field("roof_rise", SlopeFormField(system=self.system, required=False))
        self.fields["connector_elbows"].widget = forms.TextInput(
            {"inputmode": "numeric", "autocomplete": "off"}
        )
        self.fields["framing_stock"] = forms.ChoiceField(
            label=LABELS["framing_stock"], choices=[(name, stock_name(name, self.system)) for name in LUMBER]
        )
        for name, told in HELP.items():
            self.fields[name].help_text = in_units(told, self.system)
        self.fields["protected_sides"] = forms.ChoiceField(
            label=LABELS["protected_sides"],
            required=False,
            choices=[("", "No side wall named"), *ProtectedSides.choices],
        )
        book = load_rulebook(self.instance.installation.site.rule_book)
        walls = [
            (one.key, one.name) for one in protections(book) if set(one.positions) - {"ceiling", "above"}
        ]
        for name in ("rear_protection", "side_protection"):
            self.fields[name] = forms.ChoiceField(
                label=LABELS[name],
                required=False,
                choices=[("", "None: bare combustible wall"), *self._with_stored(name, walls)],
                help_text=in_units(HELP.get(name, ""), self.system)
                if walls
                else f"The rule book of {book.title} has no table of wall protections.",
            )

    def _with_stored(self, name: str, choices: list[tuple[str, str]]) -> list[tuple[str, str]]:
        stored = getattr(self.instance, name)
        if not stored or stored in dict(choices):
            return choices
        return [*choices, (stored, f"{stored} (as stored)")]

    def sections(self) -> Iterator[Section]:
        """Return the parts of the form in the order of the work."""
        for section in SECTIONS:
            hint = in_units(section.hint, self.system)
            yield Section(section.key, section.title, hint, [self[name] for name in section.fields])

    def values(self) -> dict[str, Any]:
        """Return what was understood, by column; a field in error keeps the figure stored before."""
        return {name: getattr(self.instance, name) for name in self.fields}


class ObstacleForm(forms.Form):
    """Something above the roof near the outlet: a higher part of the house, a parapet, a rooflight."""

    name = forms.CharField(label="What it is", max_length=60, required=False)
    kind = forms.ChoiceField(
        label="Kind",
        required=False,
        choices=[("building", "Wall, roof or other part"), ("opening", "Window or other opening")],
    )

    def __init__(self, *args: Any, system: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        typed = self.initial.get("as_typed", {})
        for name, label in (
            ("distance", "Away from the flue, level"),
            ("height", "Top above the roof there"),
        ):
            field = QuantityFormField(system=system, required=False, label=label, signed=name == "height")
            self.fields[name] = field
            if self.initial.get(name) is not None:
                self.initial[name] = field.show(self.initial[name], str(typed.get(name, "")))

    def clean(self) -> dict[str, Any]:
        """Ask for what a half-filled row lacks."""
        cleaned = super().clean() or {}
        if any(cleaned.get(name) not in (None, "") for name in ("name", "distance", "height")):
            for name in ("distance", "height"):
                if cleaned.get(name) is None and name not in self.errors:
                    self.add_error(name, "Measure this too, or empty the row.")
        return cleaned

    def typed(self) -> dict[str, str]:
        """Return the texts of the row."""
        return {
            name: str(self.data.get(self.add_prefix(name), "")).strip() for name in ("distance", "height")
        }


class ObstacleFormSet(FormSet):
    """The obstacles of one survey."""

    def rows(self) -> list[ObstacleForm]:
        """Return the rows that are filled in and stay."""
        return [
            form
            for form in self.forms
            if form.is_valid()
            and not form.cleaned_data.get("DELETE")
            and form.cleaned_data.get("distance") is not None
        ]

    def values(self) -> list[dict[str, Any]]:
        """Return the obstacles as the survey stores them."""
        return [
            {
                "name": row.cleaned_data["name"] or "Obstacle",
                "distance": row.cleaned_data["distance"],
                "height": row.cleaned_data["height"],
                "kind": row.cleaned_data["kind"] or "building",
            }
            for row in self.rows()
        ]


def obstacle_formset(survey: Survey, system: str, data: Any = None) -> ObstacleFormSet:
    """Return the obstacle rows of a survey, with an empty one at the end."""
    typed = survey.as_typed.get("obstacles", [])
    initial = [
        {**one, "as_typed": typed[index] if index < len(typed) else {}}
        for index, one in enumerate(survey.obstacles)
    ]
    made = cast(
        "type[ObstacleFormSet]",
        forms.formset_factory(ObstacleForm, formset=ObstacleFormSet, extra=1, can_delete=True),
    )
    return made(data, initial=initial, prefix="obstacles", form_kwargs={"system": system})
