"""The load list in the units of the shop."""

import re

import pytest

from calcs.wording import in_units
from tests.calcs.houses import INCH, plan_of

_INCHES = re.compile(
    r"\bin\b(?! (the|each|stock|inches|a |its|it|front))|\bft\b|/12\b|\boz\b|\b2x\d|[0-9]d\b|No\. 8|\bga\b"
)


def _words(plan):
    return [f"{item.name} {item.note}" for item in plan.load_list]


@pytest.mark.parametrize("code", ["ca", "uk"])
@pytest.mark.parametrize("attic_height", [10.5 * INCH, 48 * INCH])
def test_a_metric_load_list_holds_no_inch(code, attic_height):
    sections = tuple(plan_of().chimney.sections)
    plan = plan_of(
        code,
        attic_height=attic_height,
        chimney={
            "sections": tuple(
                type(one)(f"{one.length:.3f} m", one.length, one.effective_length) for one in sections
            )
        },
    )
    for words in _words(plan):
        assert not _INCHES.search(words), words


def test_metric_findings_hold_no_inch():
    plan = plan_of("uk", attic_height=10.5 * INCH)
    for words in (*(one.sentence for one in plan.findings if one.topic != "sections"), *plan.unknowns):
        assert not _INCHES.search(words), words


def test_the_shop_that_buys_in_inches_reads_its_own_names():
    names = " / ".join(_words(plan_of()))
    for name in ("No. 8 x 1 1/2 to 2 in", "16d", "12 ga", "10.1 fl oz", "2x6 lumber, 8 ft"):
        assert name in names


def test_an_enclosure_is_loaded_with_what_holds_it_together():
    plan = plan_of(attic_height=10.5 * INCH)
    screws = next(item for item in plan.load_list if item.name == "wood screws, No. 8 x 1 1/4 in")
    # Edges: low 14 + 7 + 7, high 14 + 14 1/4 twice, sides twice 15 + 6 3/4 + 14 1/4: 142 1/2 in at 6 in, a
    # tenth more.
    assert screws.quantity == 27


def test_connector_pipe_is_counted_in_the_lengths_it_is_sold_in():
    def pipes(plan):
        return next(item for item in plan.load_list if "connector pipe" in item.name)

    # 62 in from collar to support, 22 in to a 24 in length once overlapped by 2 in.
    assert pipes(plan_of()).quantity == 3
    # 1575 mm, 470 mm to a 500 mm length once overlapped by 30 mm.
    assert pipes(plan_of("ca")).quantity == 4


def test_a_text_for_both_systems_shows_one():
    text = "From {6 ft|1.8 m} up, {10 ft|3 m} from lines."
    assert in_units(text, "imperial") == "From 6 ft up, 10 ft from lines."
    assert in_units(text, "metric") == "From 1.8 m up, 3 m from lines."


def test_the_wall_protection_the_clearances_count_on_is_loaded():
    plan = plan_of(rear_protection="metal_ventilated", side_protection="masonry", protected_sides="left")
    loaded = [(item.name, item.note) for item in plan.load_list if item.name.startswith("wall protection")]
    assert loaded == [
        (
            "wall protection: 0.024 in sheet metal, ventilated air space",
            "for the wall behind the appliance; ventilated ones at least 1 in off the wall",
        ),
        (
            "wall protection: 3 1/2 in masonry, no air space",
            "for the wall on the left; ventilated ones at least 1 in off the wall",
        ),
    ]
    assert not any(item.name.startswith("wall protection") for item in plan_of().load_list)
