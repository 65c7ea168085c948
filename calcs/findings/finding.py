"""One finding of a plan."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.checks import Outcome


@dataclass(frozen=True)
class Finding:
    """A verdict on one topic in one sentence or two; `room` is what is left before it turns [m or Pa]."""

    topic: str
    outcome: Outcome
    sentence: str
    room: float | None = None
