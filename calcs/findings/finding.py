"""One finding of a plan."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.checks import Outcome


@dataclass(frozen=True)
class Finding:
    """A verdict on one topic in one sentence or two; `room` is what is left before it turns, in `unit`.

    `answered_by` names the finding whose solution the plan takes instead, so that this failure holds nothing
    up.
    """

    topic: str
    outcome: Outcome
    sentence: str
    room: float | None = None
    answered_by: str = ""
    #: Unit of `room`: m | Pa | K | m2.
    unit: str = "m"
