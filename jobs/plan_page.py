"""A computed plan as its page shows it: figures with units, rows with names."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.checks import Outcome
from calcs.drawing import ceiling_plan_svg, elevation_svg, roof_plan_svg
from calcs.drawing.draft_plots import draft_over_height_svg, draft_over_temperature_svg
from calcs.goods import stock_name
from calcs.plan import Plan
from calcs.routes import LINED_CHIMNEY, THROUGH_WALL, VAULTED_CEILING
from calcs.shield import Panel
from calcs.wording import Wording
from jobs.figures import NOT_KNOWN, figure_words, kind_of, limit_words, measured_words, source_words
from jobs.limit_names import limit_name
from jobs.rule_page import rule_address
from jobs.working_page import Working, anchor_of, workings_of

_WORST_FIRST = (Outcome.FAIL, Outcome.UNKNOWN, Outcome.PASS)


@dataclass(frozen=True)
class Figure:
    """A key number of the plan."""

    label: str
    words: str


@dataclass(frozen=True)
class FindingRow:
    """A finding, and where its working stands on the page."""

    topic: str
    sentence: str
    outcome: Outcome
    answered_by: str
    #: "" where there is no working.
    reckoned: str


@dataclass(frozen=True)
class CheckRow:
    """A measure held against its limit."""

    name: str
    measured: str
    limit: str
    source: str
    #: Address of the rule the source is, "" where it is none.
    source_url: str
    verdict: str


@dataclass(frozen=True)
class LimitRow:
    """A limit the site work is held against."""

    key: str
    name: str
    words: str
    source: str
    source_url: str


@dataclass(frozen=True)
class PanelRow:
    """A panel of the enclosure as it is marked out."""

    name: str
    count: int
    width: str
    left: str
    right: str
    bevel: str
    note: str


@dataclass(frozen=True)
class PlanPage:
    """What the pages about a plan show."""

    plan: Plan
    elevation: str
    ceiling: str
    roof: str
    verdict: str
    tally: str
    figures: list[Figure]
    findings: list[FindingRow]
    checks: list[CheckRow]
    limits: list[LimitRow]
    cuts: list[tuple[str, str, int, str, str]]
    panels: list[PanelRow]
    workings: list[Working]

    @property
    def framing_title(self) -> str:
        """Heading over the drawing of the framing."""
        return "Wall framing" if self.plan.survey.route == THROUGH_WALL else "Ceiling framing"

    @property
    def draft_plots(self) -> list[str]:
        """Draft over weather and height; none where the flue could not be solved. Drawn when asked for."""
        drawn = (draft_over_temperature_svg(self.plan), draft_over_height_svg(self.plan))
        return [plot for plot in drawn if plot]


def plan_page(plan: Plan) -> PlanPage:
    """Return a plan in words, in the units it was made in."""
    return PlanPage(
        plan=plan,
        elevation=elevation_svg(plan),
        ceiling=ceiling_plan_svg(plan),
        roof=roof_plan_svg(plan),
        verdict=str(plan.verdict),
        tally=_tally(plan),
        figures=_figures(plan),
        findings=_findings(plan),
        checks=_checks(plan),
        limits=[
            LimitRow(
                key,
                limit_name(key),
                limit_words(limit, key, plan.system),
                source_words(limit),
                rule_address(plan.rulebook, limit.source),
            )
            for key, limit in sorted(plan.limits.items(), key=lambda pair: limit_name(pair[0]))
        ],
        cuts=[
            (
                cut.name,
                stock_name(cut.stock, plan.system),
                cut.count,
                figure_words(cut.length, "length", plan.system),
                cut.note,
            )
            for cut in plan.cut_list
        ],
        panels=panel_rows(plan),
        workings=workings_of(plan),
    )


def _findings(plan: Plan) -> list[FindingRow]:
    return [
        FindingRow(
            one.topic,
            one.sentence,
            one.outcome,
            one.answered_by,
            anchor_of(one.topic) if plan.working.get(one.topic) else "",
        )
        for one in sorted(plan.findings, key=lambda one: _WORST_FIRST.index(one.outcome))
    ]


def _figures(plan: Plan) -> list[Figure]:
    def length(value: float | None, rounding: str = "nearest") -> str:
        return figure_words(value, "length", plan.system, rounding=rounding)

    def height(value: float | None, rounding: str = "nearest") -> str:
        return NOT_KNOWN if value is None else Wording(plan.system).height(value, rounding)

    ends = plan.termination.height_above_penetration if plan.termination else None
    framed = [
        Figure("Framed opening", length(plan.opening, "up")),
        Figure("Bay, clear", length(plan.bay_clear, "down")),
        Figure(
            "Plumb point off centre", length(None if plan.plumb_offset is None else abs(plan.plumb_offset))
        ),
    ]
    return [
        *([] if plan.survey.route == LINED_CHIMNEY else framed),
        *_route_figures(plan),
        Figure("Outlet above the roof, at least", height(ends, "up")),
        Figure("Outlet above the floor", height(plan.outlet)),
        Figure("Collar to outlet", height(plan.height_total)),
        Figure("Theoretical draft", figure_words(plan.theoretical_draft, "draft", plan.system)),
        *_draft_figures(plan),
    ]


def _route_figures(plan: Plan) -> list[Figure]:
    """What only one way out of the house has."""
    route = plan.survey.route
    if route == VAULTED_CEILING:
        return [
            Figure(
                "Support box, at least", figure_words(plan.box_height, "length", plan.system, rounding="up")
            )
        ]
    if route == LINED_CHIMNEY:
        long = (
            NOT_KNOWN if plan.liner_length is None else Wording(plan.system).height(plan.liner_length, "up")
        )
        return [Figure("Liner", long)]
    if route == THROUGH_WALL:
        piece = plan.wall_piece.name if plan.wall_piece else NOT_KNOWN
        return [Figure("Through the wall", piece), Figure("Wall brackets", str(len(plan.brackets)))]
    protections = {"shield": "Shield", "enclosure": "Enclosure"}
    return [Figure("In the attic", protections.get(plan.attic_protection, "not known"))]


def _draft_figures(plan: Plan) -> list[Figure]:
    """What is left of the draft and how warm the outlet stays, at each output."""
    if plan.flue is None:
        return []
    figures = []
    for one in plan.flue.firings:
        output = {"nominal": "nominal output", "least": "least output"}[one.firing.name]
        left = figure_words(one.draft.available_draft, "draft", plan.system, rounding="down")
        wall = figure_words(one.warm.wall_temperature_outlet, "temperature", plan.system, rounding="down")
        figures += [Figure(f"Draft left, {output}", left), Figure(f"Wall at the outlet, {output}", wall)]
    return figures


def _checks(plan: Plan) -> list[CheckRow]:
    rows = []
    for check in plan.checks:
        kind = kind_of(check.limit.unit, check.name) if check.limit else "length"
        rows.append(
            CheckRow(
                limit_name(check.name),
                measured_words(check.measured, check.limit, kind, plan.system),
                limit_words(check.limit, check.name, plan.system),
                source_words(check.limit),
                rule_address(plan.rulebook, check.limit.source if check.limit else None),
                str(check.outcome),
            )
        )
    return sorted(rows, key=lambda row: _WORST_FIRST.index(Outcome(row.verdict)))


def panel_rows(plan: Plan) -> list[PanelRow]:
    """Return the enclosure's panels by what is marked on the sheet: width below, height at either edge."""

    def length(value: float) -> str:
        return figure_words(value, "length", plan.system)

    return [
        PanelRow(
            panel.name,
            panel.count,
            length(panel.width),
            length(panel.height_left),
            length(panel.height_right),
            bevel_words(panel, plan.system),
            panel.note,
        )
        for panel in plan.enclosure
    ]


def bevel_words(panel: Panel, system: str) -> str:
    """Return how a panel's top edge is cut: square, or the saw's tilt and the height of the other face."""
    if not panel.bevel_degrees:
        return "square"
    words = f"{panel.bevel_degrees:.1f}°"
    if panel.height_short is None:
        return words
    return f"{words}, {figure_words(panel.height_short, 'length', system)} on the other face"


def _tally(plan: Plan) -> str:
    answered = sum(1 for one in plan.findings if one.answered_by)
    outcomes = [one.outcome for one in plan.findings if not one.answered_by]
    outcomes += [one.outcome for one in plan.checks]
    parts = [
        f"{outcomes.count(outcome)} {words}"
        for outcome, words in zip(_WORST_FIRST, ("failed", "unknown", "passed"), strict=True)
        if outcome in outcomes
    ]
    if answered:
        parts.append(f"{answered} answered by the plan")
    return ", ".join(parts)
