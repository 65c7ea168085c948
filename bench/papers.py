"""The papers' part: a shop with a closed job, in a process of its own.

The calculations know nothing of Django and are timed without it; this starts it elsewhere.
"""

from __future__ import annotations

import sys

from bench.sync import measured


def documents_part(*, quick: bool) -> int:
    """Print the papers' part; the exit status is that of the first process that failed."""
    for number, measure in enumerate(("rates", "memory")):
        if number:
            sys.stdout.write("\n")
        if status := measured(measure, quick=quick, part="bench.documents"):
            return status
    return 0
