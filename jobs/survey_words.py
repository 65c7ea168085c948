"""A stored survey as people read it: by place, with each figure as it was typed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from calcs.clearance import protections
from calcs.goods import stock_name
from calcs.rulebook import load_rulebook
from calcs.wording import Wording
from jobs.figures import NOT_KNOWN, figure_words
from jobs.forms.survey_sections import LABELS, SECTIONS
from jobs.models import Survey


@dataclass(frozen=True)
class Answer:
    """One thing measured: what, in the site's units, and the text as typed where it reads otherwise."""

    label: str
    words: str
    typed: str = ""


@dataclass(frozen=True)
class AnswerSection:
    """The answers of one part of the survey."""

    title: str
    answers: list[Answer]


def survey_words(survey: Survey) -> list[AnswerSection]:
    """Return a survey part by part."""
    sections = [
        AnswerSection(section.title, [_answer(survey, name) for name in section.fields if name != "notes"])
        for section in SECTIONS
    ]
    if survey.obstacles:
        sections.append(AnswerSection("Obstacles above the roof", _obstacles(survey)))
    return sections


def _answer(survey: Survey, name: str) -> Answer:
    system = survey.installation.site.unit_system
    value: Any = getattr(survey, name)
    typed = str(survey.as_typed.get(name, ""))
    kinds = {column.name: column.kind for column in survey.quantity_fields()}
    if name == "framing_stock":
        words = stock_name(value, system)
    elif name in kinds:
        words = figure_words(value, kinds[name], system)
    elif name == "roof_rise":
        words = NOT_KNOWN if value is None else Wording(system).pitch(value)
    elif name.endswith("_protection"):
        words = _protection(survey, value)
    elif display := getattr(survey, f"get_{name}_display", None):
        words = display() or "none"
    else:
        words = NOT_KNOWN if value is None else str(value)
    return Answer(LABELS[name], words, typed if typed != words else "")


def _protection(survey: Survey, key: str) -> str:
    if not key:
        return "none"
    known = {one.key: one.name for one in protections(load_rulebook(survey.installation.site.rule_book))}
    return known.get(key, key)


def _obstacles(survey: Survey) -> list[Answer]:
    system = survey.installation.site.unit_system
    return [
        Answer(
            one["name"],
            f"{figure_words(one['distance'], 'length', system)} away, "
            f"{figure_words(one['height'], 'length', system)} above the roof"
            + (", an opening" if one.get("kind") == "opening" else ""),
        )
        for one in survey.obstacles
    ]
