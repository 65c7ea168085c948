"""What a request asks of the database, and what a bundle weighs."""

from __future__ import annotations

import gzip
import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from bench.agreement import DisagreementError
from bench.measure import cost_of
from bench.tablet.house import House, entries_of
from bench.tablet.sending import SIZES
from bench.tablet.served import check_accepted, headers_of
from jobs.models import Job


def statements(queries: Iterable[str]) -> list[str]:
    """Return the queries, an INSERT that the ORM wrote in pieces as one."""
    told = [(query.partition(" (")[0] if query.startswith("INSERT") else "", query) for query in queries]
    return [
        query
        for number, (insert, query) in enumerate(told)
        if not insert or number == 0 or told[number - 1][0] != insert
    ]


def constant(asked: Mapping[int, int]) -> int:
    """Return how many queries requests of every size take; raise where it is not one figure."""
    if len(set(asked.values())) != 1:
        raise DisagreementError(f"the queries of a request grow with its entries: {dict(asked)}")
    return next(iter(asked.values()))


class Desk:
    """The server's side of a tablet, without a line between."""

    def __init__(self, house: House) -> None:
        self.client = Client(SERVER_NAME="127.0.0.1")
        self.client.force_login(
            house.installer, backend="allauth.account.auth_backends.AuthenticationBackend"
        )
        self.headers = headers_of(house.installer)

    def send(self, job: Job, entries: list[dict[str, Any]]) -> int:
        """Send a batch; how many queries it takes."""
        with CaptureQueriesContext(connection) as queries:
            answer = self.client.post(
                f"/tablet/api/jobs/{job.pk}/entries",
                data=json.dumps({"entries": entries}),
                content_type="application/json",
                headers=self.headers,
            )
        check_accepted(answer.status_code, answer.content, len(entries))
        return len(statements(query["sql"] for query in queries))

    def bundle(self, job: Job, tag: str = "") -> Any:
        """Fetch a job."""
        headers = {**self.headers, **({"If-None-Match": tag} if tag else {})}
        return self.client.get(f"/tablet/api/jobs/{job.pk}/bundle", headers=headers)


def queries_report(house: House) -> Iterator[str]:
    """Yield how many queries requests of each size take; raise where they grow with the entries."""
    desk, asked = Desk(house), {}
    desk.send(*_some(house, 1))
    for size in SIZES:
        job, entries = _some(house, size)
        asked[len(entries)] = desk.send(job, entries)
    sizes = ", ".join(str(size) for size in asked)
    yield f"Queries a request: {constant(asked)}, the same for {sizes} entries."
    yield "An INSERT of many rows is one; on SQLite the ORM writes it in pieces of at most 999 values."


def bundle_report(house: House, *, repeats: int) -> Iterator[str]:
    """Yield size and cost of a job's bundle, just begun and with everything answered."""
    desk, job = Desk(house), house.job()
    yield f"{'Bundle of the first house':34}{'bytes':>10}{'gzipped':>10}{'made in':>12}{'still right':>13}"
    yield _bundle_line("work just begun", desk, job, repeats)
    for size in range(0, len(entries := entries_of(job)), SIZES[-1]):
        desk.send(job, entries[size : size + SIZES[-1]])
    yield _bundle_line(f"{len(entries)} answers given", desk, job, repeats)


def _bundle_line(words: str, desk: Desk, job: Job, repeats: int) -> str:
    answer = desk.bundle(job)
    content, tag = answer.content, answer.headers["ETag"]
    if answer.status_code != 200 or desk.bundle(job, tag).status_code != 304:
        raise DisagreementError(f"a bundle answered {answer.status_code}, and again with its tag not 304")
    made = cost_of(lambda: desk.bundle(job), repeats=repeats)
    right = cost_of(lambda: desk.bundle(job, tag), repeats=repeats)
    packed = len(gzip.compress(content, compresslevel=6))
    return (
        f"{words:34}{len(content):10,}{packed:10,}{made.seconds * 1e3:9.1f} ms{right.seconds * 1e3:10.1f} ms"
    )


def _some(house: House, size: int) -> tuple[Job, list[dict[str, Any]]]:
    job = house.job()
    return job, entries_of(job)[:size]
