"""Entries a second that the server accepts, beside the bare ORM inserting the rows that came of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.db import connection

from bench.agreement import agree
from bench.tablet.bare import Rows, counted, highest, in_bulk, one_by_one, rows_above, timed
from bench.tablet.copies import copy_as
from bench.tablet.house import House, batches, entries_of
from bench.tablet.served import Sending, Tablet, sent_together, web_server
from jobs.models import Job

#: Entries in a request; the last is the most that the server takes.
SIZES = (1, 10, 50)
TABLETS = 8
_WAYS = {"each": one_by_one, "bulk": in_bulk}


@dataclass(frozen=True)
class Rate:
    """What one way of sending came to, in entries a second."""

    words: str
    accepted: float
    one_by_one: float
    in_bulk: float


@dataclass(frozen=True)
class _Sent:
    words: str
    seconds: float
    entries: int
    rows: Rows


def rates(house: House, *, jobs: int, port: int) -> list[Rate]:
    """Send whole jobs over HTTP, then insert the same rows without the server."""
    warm = house.job()
    loads = {size: _load(house, jobs, size) for size in SIZES}
    together = [_load(house, max(1, jobs // 2), SIZES[-1]) for _ in range(TABLETS)]
    for alias in _WAYS:
        copy_as(alias)
    with web_server(port):
        tablets = [Tablet(house.installer, port) for _ in range(TABLETS)]
        one = tablets[:1]
        first = _sent("warm-up", one, [_of_job(warm, 10)])
        sent = [_sent(f"one tablet, {size} to a request", one, [load]) for size, load in loads.items()]
        words = f"{TABLETS} tablets at once, {SIZES[-1]} to a request"
        sent.append(_sent(words, tablets, together))
        for tablet in tablets:
            tablet.close()
    _inserted(first)
    return [_rate(each) for each in sent]


def _load(house: House, jobs: int, size: int) -> Sending:
    return [batch for _ in range(jobs) for batch in _of_job(house.job(), size)]


def _of_job(job: Job, size: int) -> Sending:
    return [(job, batch) for batch in batches(entries_of(job), size)]


def _sent(words: str, tablets: list[Tablet], loads: list[Sending]) -> _Sent:
    before = highest()
    seconds = sent_together(tablets, loads)
    entries = sum(len(batch) for load in loads for _, batch in load)
    return _Sent(words, seconds, entries, rows_above(before))


def _inserted(sent: _Sent) -> dict[str, float]:
    """Insert the rows into each copy; how long each way takes [s]."""
    seconds = {}
    for alias, way in _WAYS.items():
        seconds[alias] = timed(way, sent.rows, alias=alias)
        agree(f"rows of {sent.words}", counted(sent.rows, "default"), counted(sent.rows, alias), within=0)
    return seconds


def _rate(sent: _Sent) -> Rate:
    inserted = _inserted(sent)
    return Rate(
        sent.words,
        sent.entries / sent.seconds,
        sent.entries / inserted["each"],
        sent.entries / inserted["bulk"],
    )


def report(found: list[Rate]) -> Iterator[str]:
    """Yield the table."""
    head = ("accepted", "row by row", "of it", "in bulk", "of it")
    yield f"{'Entries a second':38}" + "".join(f"{word:>12}" for word in head)
    for rate in found:
        yield (
            f"{rate.words:38}{rate.accepted:12.0f}"
            f"{rate.one_by_one:12.0f}{rate.accepted / rate.one_by_one:12.0%}"
            f"{rate.in_bulk:12.0f}{rate.accepted / rate.in_bulk:12.0%}"
        )
    yield "Accepted: over HTTP by the web server as a shop runs it, each checked, judged and kept."
    yield "Row by row, in bulk: the bare ORM inserting the rows that came of it and nothing else into a copy"
    yield f"of the database ({connection.vendor}), in as many transactions as there were requests."
