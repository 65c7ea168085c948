"""The bar that shows a measured value between its limits: figures for a drawing, no drawing."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.checks import Limit

#: Drawing units of the bar in templates/parts/gauge.html.
LEFT, RIGHT = 20.0, 380.0
_WORDS_WIDE = 64.0


def _inside(at: float | None) -> float:
    return min(max(at or 0.0, LEFT + _WORDS_WIDE / 2), RIGHT - _WORDS_WIDE / 2)


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

    @property
    def minimum_text_at(self) -> float:
        """Where the lower limit's words stand, inside the drawing."""
        return _inside(self.minimum_at)

    @property
    def maximum_text_at(self) -> float:
        """Where the upper limit's words stand; beside the lower limit's where both are close."""
        wanted = _inside(self.maximum_at)
        if self.minimum_at is None:
            return wanted
        return max(wanted, self.minimum_text_at + _WORDS_WIDE)

    @property
    def value_text_at(self) -> float:
        """Where the measured value's words stand."""
        return _inside(self.value_at)

    @property
    def mark(self) -> str:
        """The path of the measured value's mark: a wedge when it passes, a cross when it fails."""
        x = self.value_at or 0.0
        if self.verdict == "fail":
            return f"M{x - 8:.1f} 24l16 16m0 -16l-16 16"
        return f"M{x:.1f} 36l-9 -17h18z"


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
