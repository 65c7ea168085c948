"""The tablet's part of `bin/bench` on the database the environment names."""

# ruff: noqa: E402  (models can be imported once Django is set up)

from __future__ import annotations

import argparse
import sys
from urllib.parse import urlsplit

import django

django.setup()

from django.conf import settings
from django.utils import timezone

from bench.agreement import DisagreementError
from bench.tablet import asking, sending
from bench.tablet.house import House
from bench.tablet.served import SendingError
from config.serving import make_ready


def main() -> int:
    """Build the house, measure, print; the exit status is 1 where something does not agree."""
    parser = argparse.ArgumentParser(prog="python -m bench.tablet", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="one job of each kind, to see that all agrees")
    parser.add_argument("--rates-alone", action="store_true", help="only how many entries are accepted")
    told = parser.parse_args()
    make_ready()
    house = House.build(timezone.localdate())
    port = urlsplit(settings.SITE_URL).port or 80
    try:
        found = sending.rates(house, jobs=1 if told.quick else 8, port=port)
        lines = list(sending.report(found))
        if not told.rates_alone:
            lines += ["", *asking.queries_report(house)]
            lines += ["", *asking.bundle_report(house, repeats=1 if told.quick else 25)]
    except (DisagreementError, SendingError) as error:
        sys.stderr.write(f"bin/bench: {error}\n")
        return 1
    sys.stdout.write("\n".join(lines) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
