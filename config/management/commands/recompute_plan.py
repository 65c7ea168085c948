"""Computes stored plans once more and says whether they come out as they are stored."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from calcs.recompute import limit_text
from calcs.rulebook import FOLDER
from inspections.queries.recomputing import certificate_by_serial, certificate_recompute, pdf_recompute
from jobs.errors import JobsError
from jobs.models import Job, Plan
from jobs.queries.recomputing import Recomputation, plan_recompute

_WHICH = re.compile(r"(FW|J|PLAN)-0*([1-9]\d{0,8})", re.IGNORECASE)
#: What is asked for, and how it is computed.
Asked = tuple[str, Callable[[], Recomputation]]


class Command(BaseCommand):
    """Compute each plan asked for by the rule book of its edition, and compare limit by limit."""

    help = (
        "Computes stored plans once more, by the edition of the rule book they were made with, and compares"
        " limit by limit. Ends with 1 when anything differs, with 2 when one cannot be computed."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        """Take what is to be computed, and from where."""
        parser.add_argument(
            "which", nargs="*", help="certificates (FW-000012), jobs (J-0012) or plans (plan-12)"
        )
        parser.add_argument("--all", action="store_true", help="every plan of the shop")
        parser.add_argument(
            "--pdf", action="append", default=[], metavar="FILE", help="the file of a certificate, by itself"
        )
        parser.add_argument(
            "--books", default=str(FOLDER), metavar="FOLDER", help="rule books other than the program's own"
        )

    def handle(
        self, *args: Any, which: list[str], all: bool, pdf: list[str], books: str, **options: Any
    ) -> None:
        """Compute, compare, tell."""
        folder = Path(books)
        asked = [*self._named(which, folder), *self._files(pdf, folder), *(self._all(folder) if all else ())]
        if not asked:
            raise CommandError("Name a certificate, a job or a plan, or give --pdf or --all.", returncode=2)
        differing, failed = [], []
        for name, compute in asked:
            try:
                found = compute()
            except JobsError as error:
                failed.append(name)
                self.stdout.write(f"{name}: {error.sentence}\n")
                continue
            self._tell(found)
            if found.differences:
                differing.append(name)
        if differing:
            raise CommandError(f"Not as stored: {', '.join(differing)}.", returncode=1)
        if failed:
            raise CommandError(f"Not computed: {', '.join(failed)}.", returncode=2)

    def _named(self, which: list[str], folder: Path) -> Iterator[Asked]:
        for name in which:
            told = _WHICH.fullmatch(name)
            if told is None:
                raise CommandError(f"{name} is none of FW-000012, J-0012, plan-12.", returncode=2)
            yield from {"FW": _certificate, "J": _job, "PLAN": _plan}[told[1].upper()](
                name, int(told[2]), folder
            )

    def _files(self, files: list[str], folder: Path) -> Iterator[Asked]:
        for file in files:
            try:
                content = Path(file).read_bytes()
            except OSError as error:
                raise CommandError(f"{file}: {error.strerror}", returncode=2) from error
            yield file, lambda content=content: pdf_recompute(content, folder=folder)  # type: ignore[misc]

    def _all(self, folder: Path) -> Iterator[Asked]:
        for pk in Plan.objects.order_by("pk").values_list("pk", flat=True):
            yield from _plan(f"plan-{pk}", pk, folder)

    def _tell(self, recomputed: Recomputation) -> None:
        found, kept = recomputed.found, recomputed.found.kept
        self.stdout.write(recomputed.title)
        self.stdout.write(
            f"Rule book {kept.rulebook}, edition {kept.edition}, SHA-256 {found.plan.rulebook_digest}"
            f"{'' if kept.digest else ' (none is stored with this plan)'}; plan of schema {kept.schema}"
        )
        width = max((len(pair.name) for pair in found.pairs), default=0)
        for pair in found.pairs:
            stored, computed = limit_text(pair.stored), limit_text(pair.computed)
            verdict = "same" if pair.same else "DIFFERENT"
            self.stdout.write(f"  {pair.name:{width}}  {verdict:9}  stored {stored}, computed {computed}")
        for sentence in recomputed.differences:
            self.stdout.write(f"Different: {sentence}")
        if not recomputed.differences:
            self.stdout.write(f"All {len(found.pairs)} limits and everything else kept come out as stored.")
        self.stdout.write("")


def _certificate(name: str, number: int, folder: Path) -> Iterator[Asked]:
    certificate = certificate_by_serial(f"FW-{number}")
    if certificate is None:
        raise CommandError(f"There is no certificate {name}.", returncode=2)
    yield name, lambda: certificate_recompute(certificate, folder=folder)


def _job(name: str, number: int, folder: Path) -> Iterator[Asked]:
    job = Job.objects.select_related("plan").filter(pk=number).first()
    if job is None:
        raise CommandError(f"There is no job {name}.", returncode=2)
    if job.plan is None:
        raise CommandError(f"{name} has no plan of its own: there is nothing to compute anew.", returncode=2)
    yield from _plan(name, job.plan.pk, folder)


def _plan(name: str, pk: int, folder: Path) -> Iterator[Asked]:
    plan = Plan.objects.select_related("survey__installation__site", "installation").filter(pk=pk).first()
    if plan is None:
        raise CommandError(f"There is no {name}.", returncode=2)
    yield name, lambda: plan_recompute(plan, folder=folder)
