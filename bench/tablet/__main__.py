"""The tablet's part of `bin/bench` on the database the environment names."""

# ruff: noqa: E402  (models can be imported once Django is set up)

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from urllib.parse import urlsplit

import django

django.setup()

from django.conf import settings
from django.utils import timezone

from bench.agreement import DisagreementError
from bench.tablet import asking, sending
from bench.tablet.cold_start import cold_start_report
from bench.tablet.house import House
from bench.tablet.served import SendingError
from config.serving import make_ready


def rates(house: House, port: int, *, quick: bool) -> Iterator[str]:
    """Yield how many entries a second are accepted."""
    return sending.report(sending.rates(house, jobs=1 if quick else 8, port=port))


def requests(house: House, port: int, *, quick: bool) -> Iterator[str]:
    """Yield what a request asks of the database, and what a bundle weighs."""
    yield from asking.queries_report(house)
    yield ""
    yield from asking.bundle_report(house, repeats=1 if quick else 25)


def start(house: House, port: int, *, quick: bool) -> Iterator[str]:
    """Yield how soon the app opens."""
    return cold_start_report(house, port=port, repeats=1 if quick else 9)


_MEASURES = {"rates": rates, "requests": requests, "start": start}


def main() -> int:
    """Build the house, measure, print; the exit status is 1 where something does not agree."""
    parser = argparse.ArgumentParser(prog="python -m bench.tablet", description=__doc__)
    parser.add_argument("measure", choices=_MEASURES)
    parser.add_argument("--quick", action="store_true", help="one job of each kind, to see that all agrees")
    told = parser.parse_args()
    make_ready()
    house = House.build(timezone.localdate())
    port = urlsplit(settings.SITE_URL).port or 80
    try:
        lines = list(_MEASURES[told.measure](house, port, quick=told.quick))
    except (DisagreementError, SendingError) as error:
        sys.stderr.write(f"bin/bench: {error}\n")
        return 1
    sys.stdout.write("\n".join(lines) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
