"""Says whether the evidence of every job holds, and where it does not."""

from __future__ import annotations

import re
import time
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection

from config.evidence import ROWS
from jobs.evidence_guards import guards_missing
from jobs.models import EvidenceEvent, Job
from jobs.services.evidence_checks import EvidenceCheck


class Command(BaseCommand):
    """Verify chains, rows and files; exit with 1 if anything is broken."""

    help = "Verifies the evidence log: every chain, the rows it speaks of, photos and papers."

    def add_arguments(self, parser: CommandParser) -> None:
        """Take jobs, and heads that stand on paper."""
        parser.add_argument("jobs", nargs="*", metavar="JOB", help="numbers such as J-0042; all without any")
        parser.add_argument("--head", action="append", default=[], help="a head as printed on a certificate")
        parser.add_argument("--no-files", action="store_true", help="leaves photos and papers unread")

    def handle(self, *args: Any, **options: Any) -> None:
        """Verify and tell."""
        jobs = Job.objects.all()
        if options["jobs"]:
            jobs = _named(options["jobs"])
        check, began = EvidenceCheck(ROWS, files=not options["no_files"]), time.monotonic()
        broken = 0
        for one in check.breaks(jobs):
            broken += 1
            self.stdout.write(f"{'FIRST BROKEN: ' if broken == 1 else '  also: '}{one}")
        for head in options["head"]:
            broken += self._head(head.strip().lower())
        if missing := guards_missing(connection, ROWS):
            broken += 1
            told = (
                f"{len(missing)} of the database's triggers are missing or altered, {missing[0]} among them."
            )
            self.stdout.write(f"{told} manage.py migrate lays them again.")
        self._figures(check, time.monotonic() - began)
        if broken:
            raise CommandError(f"{broken} broken. The evidence does not hold.")
        self.stdout.write("Everything holds.")

    def _head(self, head: str) -> int:
        event = EvidenceEvent.objects.filter(hash=head).select_related("job").first()
        if event is None:
            self.stdout.write(f"The head {head} is in no chain.")
            return 1
        self.stdout.write(f"The head {head} is event {event.number} of {event.job.number}.")
        return 0

    def _figures(self, check: EvidenceCheck, seconds: float) -> None:
        seen = check.figures
        self.stdout.write(
            f"{seen.jobs} jobs, {seen.events} events, {seen.rows} rows, {seen.files} files,"
            f" {seen.bytes} bytes in {seconds:.1f} s: {seen.events / max(seconds, 1e-9):.0f} events a second."
        )


def _named(told: list[str]) -> Any:
    keys = set()
    for one in told:
        number = re.fullmatch(r"(?i)(?:J-)?0*([0-9]{1,15})", one)
        if number is None:
            raise CommandError(f"{one} is no job's number. Write it as J-0042.")
        keys.add(int(number[1]))
    jobs = Job.objects.filter(pk__in=keys)
    if missing := keys - set(jobs.values_list("pk", flat=True)):
        raise CommandError(f"There is no job {Job(pk=min(missing)).number} in this shop.")
    return jobs
