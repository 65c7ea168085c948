"""Figures inside sentences never promise more than there is."""

import pytest

from calcs.wording import Wording


@pytest.mark.parametrize(
    ("system", "rounding", "words"),
    [
        ("metric", "up", "1.94 m"),
        ("metric", "down", "1.93 m"),
        ("metric", "nearest", "1.93 m"),
        ("imperial", "up", "6 ft 4 1/2 in"),
        ("imperial", "down", "6 ft 4 in"),
    ],
)
def test_a_height_rounds_to_the_side_asked_for(system, rounding, words):
    assert Wording(system).height(1.9334, rounding) == words


def test_a_height_that_is_exact_keeps_its_figure():
    assert Wording("metric").height(0.9, "up") == "0.90 m"
    assert Wording("metric").height(2.4384, "down") == "2.43 m"


def test_a_draft_rounds_to_the_side_asked_for():
    assert Wording("metric").draft(12.3, "up") == "13 Pa"
    assert Wording("metric").draft(12.9, "down") == "12 Pa"
    assert Wording("imperial").draft(12.0, "up") == "0.049 in w.c. (12 Pa)"
