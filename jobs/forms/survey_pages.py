"""The survey form with its rows and the plan of what was understood."""

from __future__ import annotations

import re
from copy import deepcopy
from functools import cached_property
from typing import Any

from calcs.plan import Plan
from jobs.forms.survey_rows import row_formset
from jobs.forms.surveys import SurveyForm
from jobs.models import Appliance, Chimney, Survey
from jobs.plan_page import PlanPage, plan_page
from jobs.services.plans import ImpossibleInputError, plan_compute

_REVISION = re.compile(r"[0-9]{1,9}")
_ROW = re.compile(r"(obstacles|hearth_layers)\[(\d+)\]\.(\w+)")
_SHEETS = {"appliance": Appliance, "chimney": Chimney}


class SurveyPage:
    """One draft of a survey: as it was kept last, or with what somebody typed since."""

    def __init__(self, draft: Survey, data: Any = None) -> None:
        system = draft.installation.site.unit_system
        self.seen_revision = (
            str(data["seen_revision"]) if data and "seen_revision" in data else draft.revision
        )
        self._data = data
        self._kept = deepcopy(draft)
        self._draft = draft
        self.obstacles = row_formset(draft, "obstacles", system, data)
        self.layers = row_formset(draft, "hearth_layers", system, data)
        self._rows = {"obstacles": self.obstacles, "hearth_layers": self.layers}
        self.form = SurveyForm(data, instance=draft, system=system)

    @cached_property
    def is_valid(self) -> bool:
        """Whether everything typed was understood and a plan can be made of it."""
        understood = [self.form.is_valid(), *(rows.is_valid() for rows in self._rows.values())]
        if not all(understood):
            return False
        if isinstance(self._computed, ImpossibleInputError):
            self._place(self._computed)
            return False
        return True

    @property
    def unread(self) -> list[str]:
        """Labels of what was not understood."""
        labels = [str(self.form[name].label) for name in self.form.errors if name in self.form.fields]
        titles = {"obstacles": "Obstacles", "hearth_layers": "Layers of the floor protection"}
        return [
            *labels,
            *(titles[name] for name, rows in self._rows.items() if any(row.errors for row in rows)),
        ]

    @property
    def layers_open(self) -> bool:
        """Whether the sheet asks for a resistance, or layers are entered: then their rows lie open."""
        asked = self._draft.installation.appliance.hearth_resistance
        return bool(asked or self._draft.hearth_layers or any(row.errors for row in self.layers))

    def values(self) -> dict[str, Any]:
        """Return the survey's columns."""
        rows = {name: rows.values() for name, rows in self._rows.items()}
        return {**self.form.values(), **rows, "tolerances": self.form.tolerances()}

    def typed(self) -> dict[str, Any]:
        """Return the texts as typed."""
        texts: dict[str, Any] = dict(self.form.instance.as_typed)
        for name, rows in self._rows.items():
            texts.pop(name, None)
            if typed := rows.typed():
                texts[name] = typed
        return texts

    def overtaken_by(self, revision: int) -> bool:
        """Whether somebody saved between the opening of this page and the revision it became."""
        seen = str(self.seen_revision)
        return bool(_REVISION.fullmatch(seen)) and revision > int(seen) + 1

    @property
    def plan(self) -> PlanPage | None:
        """The plan of what was understood; where that cannot be, of the survey kept last."""
        if isinstance(self._computed, Plan):
            return plan_page(self._computed)
        try:
            return plan_page(plan_compute(survey=self._kept))
        except ImpossibleInputError:
            return None

    @cached_property
    def _computed(self) -> Plan | ImpossibleInputError:
        """What was not understood counts as it was kept last: the form leaves it in the draft."""
        if self.form.is_bound:
            self.form.is_valid()
            for name, rows in self._rows.items():
                setattr(self._draft, name, rows.values())
            self._draft.tolerances = self.form.tolerances()
        try:
            return plan_compute(survey=self._draft)
        except ImpossibleInputError as error:
            return error

    def _place(self, refusal: ImpossibleInputError) -> None:
        """Put the sentence beside the field it is about."""
        row = _ROW.fullmatch(refusal.field)
        field = refusal.field.removeprefix("tolerances.")
        if refusal.owner == "survey" and row:
            self._rows[row[1]].rows()[int(row[2])].add_error(row[3], refusal.sentence)
        elif refusal.owner == "survey" and field in self.form.fields:
            self.form.add_error(field, refusal.sentence)
        elif refusal.owner in _SHEETS:
            columns = {column.name: column for column in _SHEETS[refusal.owner].quantity_fields()}
            column = columns.get(refusal.field)
            name = column.verbose_name if column else refusal.field.replace("_", " ")
            self.form.add_error(
                None,
                f"The {refusal.owner}'s sheet, {name}: {refusal.sentence} "
                "A listing is corrected on its own page.",
            )
        else:
            self.form.add_error(None, refusal.sentence)
