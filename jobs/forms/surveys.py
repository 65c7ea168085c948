"""The survey form: what is measured in the house, in the order it is measured."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from calcs.clearance import protections
from calcs.connector_clearance import connector_protections
from calcs.framing import LUMBER
from calcs.goods import stock_name
from calcs.lengths import UnitError
from calcs.rulebook import RuleBook, load_rulebook
from calcs.units import parse_length
from calcs.wording import in_units
from jobs.forms.bases import ModelForm
from jobs.forms.measures import MeasureFormField
from jobs.forms.quantities import QuantityFormField, QuantityFormMixin
from jobs.forms.survey_routes import (
    MEMBER_KINDS,
    OPEN_CHOICES,
    ROUTE_HELP,
    ROUTE_LABELS,
    asked_on,
    every_field,
    sections_of,
)
from jobs.forms.survey_sections import HELP, LABELS, ONLY_BY_RULE, ONLY_WITH, places, unruled
from jobs.models import Exposure, Survey
from jobs.models.base import QuantityField
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
class Asked:
    """A field of the form, and the word of the style sheet for the answers it goes with."""

    field: BoundField
    only: str = ""


@dataclass(frozen=True)
class Section:
    """A part of the form: where the person stands, and the fields measured there."""

    key: str
    title: str
    hint: str
    fields: list[Asked]
    more: list[Asked]
    more_title: str

    @property
    def more_open(self) -> bool:
        """Whether what is under More has been answered, or needs a look."""
        return any(one.field.errors or one.field.value() not in (None, "") for one in self.more)


class SurveyForm(QuantityFormMixin, ModelForm):
    """What was measured. Anything may be left empty: the plan then says what it cannot tell."""

    class Meta:
        model = Survey
        fields = every_field()
        labels = LABELS
        help_texts = HELP
        widgets = {"notes": forms.Textarea({"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        site = self.instance.installation.site
        book = load_rulebook(site.rule_book)
        for name in unruled(book, ONLY_BY_RULE):
            del self.fields[name]
        self._book = book
        for name in ("roof_rise", "ceiling_rise"):
            self.use_field(name, SlopeFormField(system=self.system, required=False))
        self.fields["connector_elbows"].widget = forms.TextInput(
            {"inputmode": "numeric", "autocomplete": "off"}
        )
        route = self.instance.installation.route
        self._sections = sections_of(route)
        for name in set(self.fields) - asked_on(route):
            del self.fields[name]
        words, helps = ROUTE_LABELS.get(route, {}), {**HELP, **ROUTE_HELP.get(route, {})}
        for name in set(helps) & set(self.fields):
            self.fields[name].help_text = in_units(helps[name], self.system)
        for name in set(words) & set(self.fields):
            self.fields[name].label = words[name]
        stocks = [(name, stock_name(name, self.system)) for name in LUMBER]
        if "framing_stock" in self.fields:
            self._choose("framing_stock", stocks, required=True)
        for name in OPEN_CHOICES:
            if name in self.fields:
                self._choose(name, [("", "Not known"), *OPEN_CHOICES[name]])
        if "member_kind" in self.fields and route in MEMBER_KINDS:
            self._choose("member_kind", MEMBER_KINDS[route], required=True)
        self._choose("protected_sides", [("", "No side wall named"), *ProtectedSides.choices])
        self._choose("exposure", [("", "Not known"), *Exposure.choices])
        self._choose_protections(book)

    def quantity_field(self, column: QuantityField, **options: Any) -> QuantityFormField:
        """Return a column's field; a length off the tape may have a tolerance."""
        if column.kind != "length":
            return super().quantity_field(column, **options)
        return MeasureFormField(kept=self.instance.tolerances.get(column.name), **options)

    def _choose(self, name: str, choices: list[tuple[str, str]], *, required: bool = False) -> None:
        told = self.fields[name]
        self.fields[name] = forms.ChoiceField(
            label=told.label, help_text=told.help_text, choices=choices, required=required
        )

    def _choose_protections(self, book: RuleBook) -> None:
        bare = "None: bare combustible wall"
        for name, known, none in (
            ("rear_protection", protections(book), bare),
            ("side_protection", protections(book), bare),
            ("connector_protection", connector_protections(book), "None"),
        ):
            walls = [(one.key, one.name) for one in known if set(one.positions) - {"ceiling", "above"}]
            self._choose(name, [("", none), *self._with_stored(name, walls)])
            if not walls:
                told = f"The rule book of {book.title} has no table of wall protections."
                self.fields[name].help_text = told

    def _with_stored(self, name: str, choices: list[tuple[str, str]]) -> list[tuple[str, str]]:
        stored = getattr(self.instance, name)
        if not stored or stored in dict(choices):
            return choices
        return [*choices, (stored, f"{stored} (as stored)")]

    def sections(self) -> Iterator[Section]:
        """Return the parts of the form in the order of the work."""
        for section in self._sections:
            hint = in_units(section.hint, self.system)
            fields, more = (self._asked(names) for names in places(section, self._book))
            if fields or more:
                yield Section(section.key, section.title, hint, fields, more, section.more_title)

    def _asked(self, names: Iterable[str]) -> list[Asked]:
        return [
            Asked(self[name], ONLY_WITH[name].key if name in ONLY_WITH else "")
            for name in names
            if name in self.fields
        ]

    def tolerances(self) -> dict[str, float]:
        """Return how far measures may be off, by column; one in error keeps what was stored before."""
        measures = {name: field for name, field in self.fields.items() if isinstance(field, MeasureFormField)}
        told = {name: one.kept if name in self.errors else one.tolerance for name, one in measures.items()}
        return {name: tolerance for name, tolerance in told.items() if tolerance is not None}

    def values(self) -> dict[str, Any]:
        """Return what was understood, by column; a field in error keeps the figure stored before.

        What this site's rule book does not ask for stays as it was stored too.
        """
        return {name: getattr(self.instance, name) for name in self._meta.fields or ()}
