"""A stored survey as people read it: by place, with each figure as it was typed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from calcs.clearance import protections
from calcs.goods import stock_name
from calcs.rulebook import load_rulebook
from calcs.wording import Wording
from jobs.figures import NOT_KNOWN, figure_words
from jobs.forms.survey_routes import ROUTE_LABELS, sections_of
from jobs.forms.survey_rows import OBSTACLE_KINDS
from jobs.forms.survey_sections import LABELS, ONLY_BY_RULE, ONLY_WITH, places, unruled
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
    """Return a survey part by part, without what means nothing beside its other answers."""
    book = load_rulebook(survey.installation.site.rule_book)
    less = unruled(book, ONLY_BY_RULE)
    sections = []
    for section in sections_of(survey.installation.route):
        fields, more = places(section, book)
        matter = [
            name for name in fields if _matters(survey, name) and (name not in less or _told(survey, name))
        ]
        names = [*matter, *(name for name in more if _told(survey, name))]
        if answers := [_answer(survey, name) for name in names if name != "notes"]:
            sections.append(AnswerSection(section.title, answers))
    if survey.hearth_layers:
        sections.append(AnswerSection("Layers of the floor protection, from the top", _layers(survey)))
    if survey.obstacles:
        sections.append(AnswerSection("Obstacles above the roof", _obstacles(survey)))
    return sections


def _matters(survey: Survey, name: str) -> bool:
    only = ONLY_WITH.get(name)
    return only is None or getattr(survey, only.column) in only.answers


def _told(survey: Survey, name: str) -> bool:
    return getattr(survey, name) not in (None, "")


def _answer(survey: Survey, name: str) -> Answer:
    system = survey.installation.site.unit_system
    value: Any = getattr(survey, name)
    typed = str(survey.as_typed.get(name, ""))
    kinds = {column.name: column.kind for column in survey.quantity_fields()}
    if name == "framing_stock":
        words = stock_name(value, system)
    elif name in kinds:
        words = figure_words(value, kinds[name], system)
        if off := survey.tolerances.get(name):
            words += f" ± {figure_words(off, 'length', system)}"
    elif name in ("roof_rise", "ceiling_rise"):
        words = NOT_KNOWN if value is None else Wording(system).pitch(value)
    elif name.endswith("_protection"):
        words = _protection(survey, value)
    elif display := getattr(survey, f"get_{name}_display", None):
        words = display() or ("none" if name == "protected_sides" else NOT_KNOWN)
    else:
        words = NOT_KNOWN if value is None else str(value)
    label = ROUTE_LABELS.get(survey.installation.route, {}).get(name, LABELS[name])
    return Answer(label, words, typed if typed != words else "")


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
            f"{figure_words(one['height'], 'length', system)} above the roof{_kind(one)}",
        )
        for one in survey.obstacles
    ]


def _kind(obstacle: dict[str, Any]) -> str:
    kind = obstacle.get("kind", "building")
    return "" if kind == "building" else f", {OBSTACLE_KINDS.get(kind, kind).lower()}"


def _layers(survey: Survey) -> list[Answer]:
    system = survey.installation.site.unit_system
    return [
        Answer(
            one["material"].capitalize(),
            ", ".join(
                figure_words(one[name], kind, system)
                for name, kind in (("thickness", "length"), ("resistance", "thermal resistance"))
                if one.get(name) is not None
            ),
        )
        for one in survey.hearth_layers
    ]
