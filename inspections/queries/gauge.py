"""The bar that shows a measured value between its limits: figures for a drawing, no drawing."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.checks import Limit

#: Drawing units of the bar in templates/parts/gauge.html.
LEFT, RIGHT = 20.0, 380.0


@dataclass(frozen=True)
class Gauge:
    """Where things stand on a bar that runs from LEFT to RIGHT."""

    band_from: float
    band_width: float
    minimum_at: float | None
    maximum_at: float | None
    value_at: float | None
    minimum_text: str
    maximum_text: str
    value_text: str
    verdict: str
    #: The whole picture in a sentence, for those who do not see it.
    words: str


def gauge_of(
    *,
    limit: Limit,
    value: float | None,
    minimum_text: str,
    maximum_text: str,
    value_text: str,
    verdict: str,
    words: str,
) -> Gauge:
    """Lay a limit and a measured value out on one bar; an open side runs to the bar's end."""
    known = [one for one in (limit.minimum, limit.maximum, value) if one is not None]
    low, high = min(known), max(known)
    room = max(high - low, 0.3 * max(abs(low), abs(high)), 1e-6)
    start = low - 0.4 * room
    if low >= 0:
        start = max(start, 0.0)
    scale = (RIGHT - LEFT) / (high + 0.4 * room - start)

    def at(figure: float | None) -> float | None:
        return None if figure is None else round(LEFT + (figure - start) * scale, 1)

    minimum_at, maximum_at = at(limit.minimum), at(limit.maximum)
    band_from = LEFT if minimum_at is None else minimum_at
    band_to = RIGHT if maximum_at is None else maximum_at
    return Gauge(
        band_from=band_from,
        band_width=max(round(band_to - band_from, 1), 2.0),
        minimum_at=minimum_at,
        maximum_at=maximum_at,
        value_at=at(value),
        minimum_text=minimum_text,
        maximum_text=maximum_text,
        value_text=value_text,
        verdict=verdict,
        words=words,
    )
