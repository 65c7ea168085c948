"""The draft that is left, over the outside temperature and over the height of the flue."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from calcs.drawing import inks
from calcs.drawing.plot import (
    HEIGHT,
    WIDTH,
    Curve,
    Plot,
    draw_axes,
    draw_curves,
    draw_planned,
    draw_point,
    round_axis,
)
from calcs.drawing.svg import Canvas, Point
from calcs.firing import solve_firing
from calcs.flue_fittings import in_poor_place, wind_pressure
from calcs.flue_run import FiringResult, FlueRun, on_a_day
from calcs.levels import levels_of
from calcs.plan import Plan
from calcs.routes.flue import OUTSIDE
from calcs.wording import Wording

_INCH_OF_WATER = 249.08891
_FOOT = 0.3048
_SAMPLES = 24
#: Weather shown: this much colder than planned for or than freezing [K], and up to a warm day [degrees C].
_COLDER, _WARM_DAY = 15.0, 30.0
#: Heights shown: from this much above the roof to this much above the planned outlet [m].
_LEAST_ABOVE_ROOF, _TALLER = 0.3, 3.0
_NAMES = {"nominal": "Nominal output", "least": "Least output"}
_DASHES = {"nominal": None, "least": "7 4"}


@dataclass(frozen=True)
class _Scale:
    """Figures of the axes in people's units."""

    system: str

    def draft(self, pascals: float) -> float:
        return pascals if self.system == "metric" else pascals / _INCH_OF_WATER

    def temperature(self, celsius: float) -> float:
        return celsius if self.system == "metric" else celsius * 1.8 + 32

    def height(self, metres: float) -> float:
        return metres if self.system == "metric" else metres / _FOOT

    @property
    def draft_title(self) -> str:
        return f"Draft left at the collar, {'Pa' if self.system == 'metric' else 'in w.c.'}"

    @property
    def temperature_title(self) -> str:
        return f"Outside temperature, {'°C' if self.system == 'metric' else '°F'}"

    @property
    def height_title(self) -> str:
        return f"Height from collar to outlet, {'m' if self.system == 'metric' else 'ft'}"


@dataclass(frozen=True)
class _Picture:
    """One plot: what goes across in SI, and what is drawn and said of it."""

    prefix: str
    title: str
    across_title: str
    across: Sequence[float]
    planned: float
    in_units: Callable[[float], float]
    in_words: Callable[[float], str]
    left_at: Callable[[FiringResult, float], float]
    #: What is said where a curve crosses what is needed.
    crossing: str


def draft_over_temperature_svg(
    plan: Plan, system: str | None = None, *, prefix: str = "draft-temperature"
) -> str:
    """Draw how much draft is left from a hard frost to a warm day.

    Parameters
    ----------
    plan : Plan
        The plan
    system : str, optional
        imperial | metric; None takes the plan's own
    prefix : str
        Begins every id, so that several drawings may stand on one page

    Returns
    -------
    str
        An SVG document, 820 px wide, with title and description; "" where the flue could not be solved

    Raises
    ------
    ValueError
        If `system` is not known.

    Notes
    -----
    Nominal output is a full line, the least output a dashed one; what the appliance and its air need is
    dashed in the colour of what is required. An attic nobody measured follows the weather.
    """
    run, say = plan.flue, Wording(system or plan.system)
    if run is None:
        return ""
    scale = _Scale(say.system)
    low = min(run.outside_temperature, 0.0) - _COLDER
    across = _samples(max(low, -70.0), max(_WARM_DAY, run.outside_temperature), run.outside_temperature)

    def left_at(result: FiringResult, day: float) -> float:
        segments = on_a_day(result.draft.segments, day, run.attic_temperature)
        return solve_firing(
            result.firing, segments, altitude=run.altitude, outside_temperature=day, wind=run.wind_pressure
        ).available_draft

    return _drawn(
        run,
        say,
        _Picture(
            prefix,
            "Draft over the outside temperature",
            scale.temperature_title,
            across,
            run.outside_temperature,
            scale.temperature,
            say.temperature,
            left_at,
            "it draws enough up to {at} outside",
        ),
    )


def draft_over_height_svg(plan: Plan, system: str | None = None, *, prefix: str = "draft-height") -> str:
    """Draw how much draft is left with a shorter or a taller chimney above the roof.

    Parameters
    ----------
    plan : Plan
        The plan
    system : str, optional
        imperial | metric; None takes the plan's own
    prefix : str
        Begins every id, so that several drawings may stand on one page

    Returns
    -------
    str
        An SVG document, 820 px wide, with title and description; "" where the flue could not be solved

    Raises
    ------
    ValueError
        If `system` is not known.

    Notes
    -----
    Only the part above the roof changes, on the day the plan is made for. A shorter chimney may stand in a
    poor place, where the wind counts. The height the rule book asks for is another matter.
    """
    run, say, height = plan.flue, Wording(plan.system if system is None else system), plan.height_total
    if run is None or height is None or run.nominal.draft.segments[-1].name != OUTSIDE:
        return ""
    scale = _Scale(say.system)
    above_roof = run.nominal.draft.segments[-1].height
    lowest = height - above_roof + min(_LEAST_ABOVE_ROOF, above_roof)
    pitch = levels_of(plan.survey, plan.appliance, plan.chimney).pitch_degrees or 0.0

    def wind_at(tall: float) -> float:
        above = above_roof + tall - height
        poor = in_poor_place(above, pitch, plan.survey.ridge_distance, plan.survey.obstacles)
        return wind_pressure(poor, plan.survey.exposure)

    def left_at(result: FiringResult, tall: float) -> float:
        *below, outside = result.draft.segments
        more = tall - height
        segments = (*below, replace(outside, length=outside.length + more, height=outside.height + more))
        return solve_firing(
            result.firing,
            segments,
            altitude=run.altitude,
            outside_temperature=run.outside_temperature,
            wind=wind_at(tall),
        ).available_draft

    across = _samples(lowest, height + _TALLER, height)
    step = "; wind presses on an outlet below the step" if len({wind_at(tall) for tall in across}) > 1 else ""

    return _drawn(
        run,
        say,
        _Picture(
            prefix,
            "Draft over the height",
            f"{scale.height_title}{step}",
            across,
            height,
            scale.height,
            say.height,
            left_at,
            "it draws enough from {at} up",
        ),
    )


def _samples(low: float, high: float, planned: float) -> list[float]:
    even = {low + (high - low) * number / _SAMPLES for number in range(_SAMPLES + 1)}
    return sorted(even | {planned})


def _drawn(run: FlueRun, say: Wording, picture: _Picture) -> str:
    scale = _Scale(say.system)
    found = [[(x, picture.left_at(one, x)) for x in picture.across] for one in run.firings]
    drafts = [y for points in found for _, y in points]
    needed = [one.required for one in run.firings if one.required is not None]
    low, high = min(0.0, *drafts), max((*drafts, *needed))
    plot = Plot(
        round_axis(
            picture.across_title,
            picture.in_units(picture.across[0]),
            picture.in_units(picture.across[-1]),
            8,
        ),
        round_axis(scale.draft_title, scale.draft(low), scale.draft(high) * 1.08, 6, widen=True),
    )
    canvas = Canvas(picture.prefix)
    canvas.text((26, 26), picture.title, inks.TITLE, fill=inks.INK, font_weight="700")
    draw_axes(canvas, plot)

    def on_axes(points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple((picture.in_units(x), scale.draft(y)) for x, y in points)

    curves = [
        Curve(_NAMES[one.firing.name], on_axes(points), dashes=_DASHES[one.firing.name])
        for one, points in zip(run.firings, found, strict=True)
    ]
    ends = (picture.across[0], picture.across[-1])
    for words, pascals in _needed(run, say):
        level = on_axes([(ends[0], pascals), (ends[1], pascals)])
        curves.append(Curve(words, level, ink=inks.REQUIRED, dashes="9 4", width="1.8"))
    draw_curves(canvas, plot, curves)
    there = [next(point for point in points if point[0] == picture.planned) for points in found]
    words = f"As planned: {picture.in_words(picture.planned)}, {say.draft(there[0][1], 'down')}"
    draw_planned(canvas, plot, picture.in_units(picture.planned), words)
    for point in on_axes(there):
        draw_point(canvas, plot, point)
    return canvas.document(WIDTH, HEIGHT, picture.title, _told(run, say, picture, found))


def _needed(run: FlueRun, say: Wording) -> list[tuple[str, float]]:
    """What is needed, one line where both outputs need the same."""
    needs = [(one.firing.name, one.required) for one in run.firings if one.required is not None]
    if len(needs) == len(run.firings) and len({pascals for _, pascals in needs}) == 1:
        return [(f"Needed\n{say.draft(pascals, 'up')}", pascals) for _, pascals in needs[:1]]
    return [
        (f"Needed at {_NAMES[name].lower()}\n{say.draft(pascals, 'up')}", pascals) for name, pascals in needs
    ]


def _told(run: FlueRun, say: Wording, picture: _Picture, found: Sequence[Sequence[Point]]) -> str:
    """The plot in words."""
    sentences = []
    for one, points in zip(run.firings, found, strict=True):
        (first, start), (last, end) = points[0], points[-1]
        words = (
            f"{_NAMES[one.firing.name]}: {say.draft(start, 'down')} at {picture.in_words(first)}, "
            f"{say.draft(end, 'down')} at {picture.in_words(last)}"
        )
        if one.required is not None:
            words += f"; needed {say.draft(one.required, 'up')}{_crossed(picture, points, one.required)}"
        sentences.append(f"{words}.")
    return " ".join(sentences)


def _crossed(picture: _Picture, points: Sequence[Point], needed: float) -> str:
    """Where a curve meets what is needed."""
    for (x0, y0), (x1, y1) in pairwise(points):
        if (y0 - needed) * (y1 - needed) < 0:
            at = x0 + (x1 - x0) * (needed - y0) / (y1 - y0)
            return f", {picture.crossing.format(at=picture.in_words(at))}"
    return ", enough throughout" if points[0][1] >= needed else ", nowhere enough"
