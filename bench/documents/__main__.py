"""The papers' part of `bin/bench` on the database the environment names."""

# ruff: noqa: E402  (models can be imported once Django is set up)

from __future__ import annotations

import argparse
import sys

import django

django.setup()

from django.utils import timezone

from bench.agreement import DisagreementError
from bench.documents import memory, rates
from bench.documents.closed import Closed
from bench.tablet.house import House
from config.serving import make_ready

REPEATS = 15


def main() -> int:
    """Build the house, measure, print; the exit status is 1 where something does not agree."""
    parser = argparse.ArgumentParser(prog="python -m bench.documents", description=__doc__)
    parser.add_argument("measure", choices=("rates", "memory"))
    parser.add_argument("--quick", action="store_true", help="few certificates, to see that all agrees")
    told = parser.parse_args()
    make_ready()
    closed = Closed.build(House.build(timezone.localdate()))
    try:
        if told.measure == "rates":
            lines = list(rates.report(closed, repeats=1 if told.quick else REPEATS))
        else:
            lines = list(memory.report(closed, quick=told.quick))
    except DisagreementError as error:
        sys.stderr.write(f"bin/bench: {error}\n")
        return 1
    sys.stdout.write("\n".join(lines) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
