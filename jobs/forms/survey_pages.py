"""The survey form with its obstacle rows and the plan of what was understood."""

from __future__ import annotations

import re
from copy import deepcopy
from functools import cached_property
from typing import Any

from calcs.plan import Plan
from jobs.forms.surveys import SurveyForm, obstacle_formset
from jobs.models import Appliance, Chimney, Survey
from jobs.plan_page import PlanPage, plan_page
from jobs.services.plans import ImpossibleInputError, plan_compute

_REVISION = re.compile(r"[0-9]{1,9}")
_OBSTACLE = re.compile(r"obstacles\[(\d+)\]\.(\w+)")
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
        self.rows = obstacle_formset(draft, system, data)
        self.form = SurveyForm(data, instance=draft, system=system)

    @cached_property
    def is_valid(self) -> bool:
        """Whether everything typed was understood and a plan can be made of it."""
        understood = [self.form.is_valid(), self.rows.is_valid()]
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
        return [*labels, *(["Obstacles"] if any(row.errors for row in self.rows) else [])]

    def values(self) -> dict[str, Any]:
        """Return the survey's columns."""
        return {**self.form.values(), "obstacles": self.rows.values()}

    def typed(self) -> dict[str, Any]:
        """Return the texts as typed."""
        texts: dict[str, Any] = dict(self.form.instance.as_typed)
        texts.pop("obstacles", None)
        if rows := self.rows.rows():
            texts["obstacles"] = [row.typed() for row in rows]
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
            self._draft.obstacles = self.rows.values()
        try:
            return plan_compute(survey=self._draft)
        except ImpossibleInputError as error:
            return error

    def _place(self, refusal: ImpossibleInputError) -> None:
        """Put the sentence beside the field it is about."""
        obstacle = _OBSTACLE.fullmatch(refusal.field)
        if refusal.owner == "survey" and obstacle:
            self.rows.rows()[int(obstacle[1])].add_error(obstacle[2], refusal.sentence)
        elif refusal.owner == "survey" and refusal.field in self.form.fields:
            self.form.add_error(refusal.field, refusal.sentence)
        elif refusal.owner in _SHEETS:
            columns = {column.name: column for column in _SHEETS[refusal.owner].quantity_fields()}
            column = columns.get(refusal.field)
            name = column.verbose_name if column else refusal.field.replace("_", " ")
            self.form.add_error(
                None,
                f"The {refusal.owner}'s sheet, {name}: {refusal.sentence} Correct it in the listing first.",
            )
        else:
            self.form.add_error(None, refusal.sentence)
