"""Rows of the survey form: what stands above the roof, and what the floor protection is made of."""

from __future__ import annotations

import itertools
from typing import Any, cast

from django import forms

from calcs.hearth import AIR, MATERIALS, Layer, layer_resistance
from jobs.forms.bases import FormSet
from jobs.forms.quantities import QuantityFormField
from jobs.models import Survey

OBSTACLE_KINDS = {
    "building": "Wall or roof",
    "dormer": "Dormer",
    "parapet": "Parapet",
    "neighbour": "Neighbouring building",
    "opening": "Window or other opening",
}
#: A layer the published list does not know; its own sheet gives the resistance.
OWN_BOARD = "board by its own sheet"


class RowForm(forms.Form):
    """A row in which some figures are quantities; their texts stay as they were typed."""

    def __init__(self, *args: Any, system: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        typed = self.initial.get("as_typed", {})
        for name, field in self.quantities(system).items():
            self.fields[name] = field
            if self.initial.get(name) is not None:
                self.initial[name] = field.show(self.initial[name], str(typed.get(name, "")))

    def quantities(self, system: str) -> dict[str, QuantityFormField]:
        """Return the row's figures by name."""
        raise NotImplementedError

    def filled(self) -> bool:
        """Whether the row says anything."""
        raise NotImplementedError

    def values(self) -> dict[str, Any]:
        """Return the row as the survey stores it."""
        raise NotImplementedError

    def typed(self) -> dict[str, str]:
        """Return the texts of the row."""
        names = [name for name, field in self.fields.items() if isinstance(field, QuantityFormField)]
        return {name: str(self.data.get(self.add_prefix(name), "")).strip() for name in names}


class ObstacleForm(RowForm):
    """Something above the roof near the outlet: a higher part of the house, a parapet, a rooflight."""

    name = forms.CharField(label="What it is", max_length=60, required=False)
    kind = forms.ChoiceField(label="Kind", required=False, choices=list(OBSTACLE_KINDS.items()))

    def quantities(self, system: str) -> dict[str, QuantityFormField]:
        """Return where it stands and how high."""
        return {
            "distance": QuantityFormField(system=system, required=False, label="Away from the flue, level"),
            "height": QuantityFormField(
                system=system, required=False, label="Top above the roof there", signed=True
            ),
        }

    def clean(self) -> dict[str, Any]:
        """Ask for what a half-filled row lacks."""
        cleaned = super().clean() or {}
        if any(cleaned.get(name) not in (None, "") for name in ("name", "distance", "height")):
            for name in ("distance", "height"):
                if cleaned.get(name) is None and name not in self.errors:
                    self.add_error(name, "Measure this too, or empty the row.")
        return cleaned

    def filled(self) -> bool:
        """Whether the row says anything."""
        return self.cleaned_data.get("distance") is not None

    def values(self) -> dict[str, Any]:
        """Return the obstacle as the survey stores it."""
        return {
            "name": self.cleaned_data["name"] or "Obstacle",
            "distance": self.cleaned_data["distance"],
            "height": self.cleaned_data["height"],
            "kind": self.cleaned_data["kind"] or "building",
        }


class LayerForm(RowForm):
    """One layer of the floor protection: what it is and how thick, or the resistance its sheet gives."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        named = {name: name.capitalize() for name in MATERIALS}
        stored = self.initial.get("material", "")
        choices = {"": "None", **named, OWN_BOARD: "Another board, R from its sheet"}
        if stored:
            choices.setdefault(stored, stored)
        material = forms.ChoiceField(label="Layer", required=False, choices=list(choices.items()))
        self.fields = {"material": material, **self.fields}

    def quantities(self, system: str) -> dict[str, QuantityFormField]:
        """Return the figures of a layer."""
        return {
            "thickness": QuantityFormField(system=system, required=False, label="Thickness"),
            "resistance": QuantityFormField(
                kind="thermal resistance", system=system, required=False, label="or R, by its sheet"
            ),
        }

    def clean(self) -> dict[str, Any]:
        """Ask for what a half-filled row lacks, and refuse what is not that material."""
        cleaned = super().clean() or {}
        material = cleaned.get("material", "")
        thickness, resistance = cleaned.get("thickness"), cleaned.get("resistance")
        if self.errors:
            return cleaned
        if not material:
            if thickness is not None or resistance is not None:
                self.add_error("material", "Choose what the layer is, or empty the row.")
        elif material not in MATERIALS and resistance is None:
            self.add_error("resistance", "Type the R of its sheet; no published figure is known for it.")
        elif thickness is None and resistance is None:
            self.add_error("thickness", "Measure this too, or type the R of its sheet.")
        else:
            self._refuse_slip(Layer(material, thickness, resistance=resistance))
        return cleaned

    def _refuse_slip(self, layer: Layer) -> None:
        try:
            layer_resistance(layer)
        except ValueError as error:
            sentence = str(error).rstrip(".")
            self.add_error(
                "thickness" if layer.resistance is None else "resistance",
                f"{sentence[:1].upper()}{sentence[1:]}.",
            )

    def filled(self) -> bool:
        """Whether the row says anything."""
        return bool(self.cleaned_data.get("material"))

    def values(self) -> dict[str, Any]:
        """Return the layer as the survey stores it."""
        return {name: self.cleaned_data[name] for name in ("material", "thickness", "resistance")}


class SurveyFormSet(FormSet):
    """The rows of one kind in one survey."""

    def rows(self) -> list[RowForm]:
        """Return the rows that are filled in and stay."""
        return [
            form
            for form in cast("list[RowForm]", self.forms)
            if form.is_valid() and not form.cleaned_data.get("DELETE") and form.filled()
        ]

    def values(self) -> list[dict[str, Any]]:
        """Return the rows as the survey stores them."""
        return [row.values() for row in self.rows()]

    def typed(self) -> list[dict[str, str]]:
        """Return the texts of the rows."""
        return [row.typed() for row in self.rows()]


class LayerFormSet(SurveyFormSet):
    """The layers of one floor protection, from the top down."""

    def clean(self) -> None:
        """Refuse air on air: only a solid layer makes two of them."""
        rows = cast("list[LayerForm]", self.rows())
        for upper, lower in itertools.pairwise(rows):
            if upper.cleaned_data["material"] == lower.cleaned_data["material"] == AIR:
                lower.add_error("material", "Two layers of air are one; put the solid layer between them.")


#: Rows by the survey's column that keeps them.
_KINDS: dict[str, tuple[type[RowForm], type[SurveyFormSet]]] = {
    "obstacles": (ObstacleForm, SurveyFormSet),
    "hearth_layers": (LayerForm, LayerFormSet),
}


def row_formset(survey: Survey, column: str, system: str, data: Any = None) -> SurveyFormSet:
    """Return a survey's rows of obstacles or hearth_layers, with an empty one at the end."""
    form, formset = _KINDS[column]
    typed = survey.as_typed.get(column, [])
    initial = [
        {**one, "as_typed": typed[index] if index < len(typed) else {}}
        for index, one in enumerate(getattr(survey, column))
    ]
    made = cast("type[SurveyFormSet]", forms.formset_factory(form, formset=formset, extra=1, can_delete=True))
    prefix = column.removeprefix("hearth_")
    return made(data, initial=initial, prefix=prefix, form_kwargs={"system": system})
