"""bin/bench on the papers' part: both ways print the same. What they cost is for people to read."""

from __future__ import annotations

import re

import pytest

from bench.agreement import DisagreementError
from bench.documents.rates import agreed
from bench.sync import measured
from tests.seals import plain_pdf


def test_a_quick_run_makes_the_same_certificate_both_ways(capfd):
    assert measured("rates", quick=True, part="bench.documents") == 0
    said = capfd.readouterr()
    pages = re.search(r"^A certificate of (\d+) pages with 24 photos", said.out)
    assert pages
    assert int(pages[1]) > 10
    weight = re.search(r"of 3 MB it weighs ([\d.]+)\.$", said.out, re.MULTILINE)
    assert weight
    assert float(weight[1]) < 3
    assert said.err == ""


def test_a_quick_run_reads_the_memory_of_a_worker_that_made_them_all(capfd):
    assert measured("memory", quick=True, part="bench.documents") == 0
    said = capfd.readouterr()
    sizes = re.search(r"^ +1 +3 +6\n +([\d.]+) +([\d.]+) +([\d.]+)$", said.out, re.MULTILINE)
    assert sizes
    assert all(50 < float(one) < 400 for one in sizes.groups())


def test_two_papers_that_do_not_say_the_same_stop_the_run(tmp_path):
    first = plain_pdf()
    assert agreed(first, first) == 1
    with pytest.raises(DisagreementError, match="page"):
        agreed(first, _other())


def _other() -> bytes:
    from weasyprint import HTML  # noqa: PLC0415 - slow to load, and this test alone needs it

    return HTML(string="<p>Something else</p>").write_pdf()
