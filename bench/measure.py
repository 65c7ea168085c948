"""Time and memory of a call."""

from __future__ import annotations

import cProfile
import gc
import io
import pstats
import statistics
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

#: A timing shorter than this is mostly the clock's own.
_SHORTEST = 0.005


@dataclass(frozen=True)
class Cost:
    """Median time of a call over the repeats [s], and the peak of what one call allocates [bytes]."""

    seconds: float
    peak: int


def cost_of(call: Callable[[], Any], *, repeats: int) -> Cost:
    """Call often enough to time it; the first call, which fills caches, is not counted."""
    call()
    once = _timed(call, 1)
    number = max(1, round(_SHORTEST / max(once, 1e-9)))
    gc.collect()
    seconds = statistics.median(_timed(call, number) / number for _ in range(repeats))
    return Cost(seconds, _peak(call))


def where_time_goes(call: Callable[[], Any], *, calls: int = 20, lines: int = 12) -> str:
    """Return the functions that take most time of their own."""
    profile = cProfile.Profile()
    profile.enable()
    for _ in range(calls):
        call()
    profile.disable()
    text = io.StringIO()
    pstats.Stats(profile, stream=text).strip_dirs().sort_stats("tottime").print_stats(lines)
    return text.getvalue()


def _timed(call: Callable[[], Any], number: int) -> float:
    begun = time.perf_counter()
    for _ in range(number):
        call()
    return time.perf_counter() - begun


def _peak(call: Callable[[], Any]) -> int:
    gc.collect()
    tracemalloc.start()
    try:
        call()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
