"""bin/bench on the tablet's part: both ways make the same rows. What they cost is for people to read."""

from __future__ import annotations

import json
import re

import pytest

from bench.agreement import DisagreementError
from bench.sync import measured
from bench.tablet.asking import constant, statements
from bench.tablet.served import SendingError, check_accepted


def answer(*outcomes: str) -> bytes:
    return json.dumps({"results": [{"outcome": outcome} for outcome in outcomes]}).encode()


def test_a_quick_run_sends_entries_and_inserts_their_rows_again(capfd):
    assert measured("rates", quick=True) == 0
    said = capfd.readouterr()
    rows = re.findall(r"^(.*\S) to a request +\d+ +\d+ +\d+% +\d+ +\d+%$", said.out, re.MULTILINE)
    assert rows == ["one tablet, 1", "one tablet, 10", "one tablet, 50", "8 tablets at once, 50"]
    assert said.err == ""


def test_a_quick_run_finds_as_many_queries_for_fifty_entries_as_for_one(capfd):
    assert measured("requests", quick=True) == 0
    said = capfd.readouterr()
    assert re.search(r"^Queries a request: \d+, the same for 1, 10, 50 entries\.$", said.out, re.MULTILINE)
    sizes = re.findall(r"^(work just begun|\d+ answers given) +([\d,]+) +([\d,]+) ", said.out, re.MULTILINE)
    assert len(sizes) == 2
    assert all(int(packed.replace(",", "")) < int(plain.replace(",", "")) for _, plain, packed in sizes)


@pytest.mark.browser
def test_a_quick_run_opens_the_app_with_the_server_gone(capfd):
    assert measured("start", quick=True) == 0
    assert re.search(r"^\d+ ms without a network, \d+ ms with one", capfd.readouterr().out, re.MULTILINE)


def test_a_run_says_what_the_server_said_when_it_took_nothing():
    check_accepted(200, answer("accepted", "accepted"), 2)
    for status, told, count in (
        (200, answer("accepted", "refused"), 2),
        (200, answer("accepted"), 2),
        (500, b"broken", 1),
    ):
        with pytest.raises(SendingError, match=r"not all accepted: \d+ "):
            check_accepted(status, told, count)


def test_queries_that_grow_with_the_entries_stop_the_run():
    assert constant({1: 20, 50: 20}) == 20
    with pytest.raises(DisagreementError, match="grow"):
        constant({1: 20, 50: 21})


def test_an_insert_that_is_written_in_pieces_counts_once():
    pieces = ['INSERT INTO "a" ("x") VALUES (1)', 'INSERT INTO "a" ("x") VALUES (2)', 'INSERT INTO "b" ("x")']
    assert len(statements(["SELECT 1", "SELECT 1", *pieces])) == 4
