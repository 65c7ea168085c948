"""The load list in the units of the shop."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.loads.lumber import boards_for
from calcs.survey import HearthLayer
from calcs.wording import in_units
from tests.calcs.houses import FOOT, INCH, plan_of

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


def _loaded(plan, start):
    return [(item.name, item.quantity, item.unit) for item in plan.load_list if item.name.startswith(start)]


def _note(plan, start):
    return next(item.note for item in plan.load_list if item.name.startswith(start))


def test_the_wall_protection_the_clearances_count_on_is_loaded():
    plan = plan_of(rear_protection="metal_ventilated", side_protection="masonry", protected_sides="left")
    loaded = [(item.name, item.note) for item in plan.load_list if item.name.startswith("wall protection")]
    assert loaded == [
        (
            "wall protection: 0.024 in sheet metal, ventilated air space",
            "for the wall behind the appliance; at least 1 in off the wall",
        ),
        ("wall protection: 3 1/2 in masonry, no air space", "for the wall on the left"),
    ]
    assert not any(item.name.startswith("wall protection") for item in plan_of().load_list)


UNLISTED = {
    "listed": False, "width": 24 * INCH, "depth": 20 * INCH, "collar_height": 30 * INCH,
    "clearance_reduction_allowed": None,
}  # fmt: skip


def test_a_protection_is_loaded_in_the_size_the_rule_book_asks_for():
    plan = plan_of(appliance=UNLISTED, rear_protection="metal_ventilated")
    # 36 in bare and 12 in protected: 33.94 in beyond each side of 24 in, and as much above 30 in: 91.9 by
    # 63.9 in, two sheets of 4 by 8 ft side by side; spacers at 24 in make 5 columns of 4.
    assert _loaded(plan, "wall protection") == [
        ("wall protection: 0.024 in sheet metal, ventilated air space", 2, "sheet")
    ]
    assert _loaded(plan, "non-combustible spacers") == [("non-combustible spacers, with screws", 20, "piece")]
    assert "91 15/16 in wide and 64 in high; at least 1 in off the wall" in _note(plan, "wall protection")
    assert "none opposite the appliance" in _note(plan, "non-combustible spacers")


def test_two_sheets_with_air_between_take_twice_the_metal():
    plan = plan_of(appliance=UNLISTED, rear_protection="two_metal_ventilated")
    (item,) = _loaded(plan, "wall protection")
    assert item[1] == 4


def test_the_layers_of_the_hearth_are_loaded_for_its_size():
    layers = (
        HearthLayer("slate", 0.5 * INCH),
        HearthLayer("still air", 0.125 * INCH),
        HearthLayer("cement board, light", 0.5 * INCH),
        HearthLayer("brick", 2.25 * INCH),
    )
    plan = plan_of(hearth_layers=layers, hearth_width=44 * INCH, hearth_depth=54 * INCH)
    assert _loaded(plan, "hearth:") == [
        ("hearth: slate, 1/2 in", 1, "set"),
        # 44 in are more than the 3 ft of a board, 54 in less than its 5 ft.
        ("hearth: cement board, light, 1/2 in", 2, "sheet"),
        # 44 x 54 in and a tenth more, 8 x 4 in each.
        ("hearth: brick, 2 1/4 in", 82, "piece"),
    ]


def test_a_hearth_of_no_known_size_is_loaded_as_one_set():
    plan = plan_of(appliance={"width": None}, hearth_layers=(HearthLayer("brick", 0.05),), hearth_width=None)
    assert _loaded(plan, "hearth:") == [("hearth: brick, 1 15/16 in", 1, "set")]
    assert "measure it" in _note(plan, "hearth:")


def test_the_alarms_and_the_plate_of_the_rule_book_are_loaded():
    assert [name for name, _, _ in (*_loaded(plan_of("us"), "carbon"), *_loaded(plan_of("us"), "smoke"))] == [
        "carbon monoxide alarm",
        "smoke alarm",
    ]
    uk = plan_of("uk")
    assert _loaded(uk, "notice plate") == [("notice plate", 1, "piece")]
    assert "date of installation" in _note(uk, "notice plate")
    assert _loaded(plan_of("us"), "notice plate") == []


def test_a_run_to_the_side_is_hung_up_and_has_its_elbows():
    plan = plan_of("ca", connector_run=1.4, connector_elbows=2)
    assert _loaded(plan, "pipe strap") == [("pipe strap", 2, "piece")]
    assert _loaded(plan, "connector elbow")[0][1] == 2
    assert "1000 mm" in _note(plan, "pipe strap")
    assert _loaded(plan_of("ca"), "pipe strap") == []


def test_the_length_of_the_connector_counts_where_it_was_measured():
    def pipes(**survey):
        return next(item.quantity for item in plan_of(**survey).load_list if "connector pipe" in item.name)

    assert pipes(connector_run=24 * INCH, connector_elbows=2) == 4
    assert pipes(connector_run=24 * INCH, connector_elbows=2, connector_length=100 * INCH) == 5


def test_a_wide_hole_takes_a_cricket_and_a_narrow_one_none():
    wide = plan_of(chimney={"outer_diameter": 27 * INCH}, member_spacing=48 * INCH)
    assert [name for name, _, _ in _loaded(wide, "plywood, 1/2 in, for the cricket")]
    # 31 in wide at 6/12: a quarter of the width high.
    assert "31 in wide, more than 30 in: a cricket 7 3/4 in high" in _note(wide, "plywood, 1/2 in, for")
    assert not _loaded(plan_of(), "plywood, 1/2 in, for the cricket")


def test_headers_of_a_wide_bay_hang_in_hangers():
    wide = plan_of(member_spacing=80 * INCH)
    assert _loaded(wide, "joist hanger") == [("joist hanger", 8, "piece")]
    assert _loaded(plan_of(), "joist hanger") == []


def test_a_second_brace_is_loaded_from_ten_feet_up():
    plan = plan_of(ridge_distance=11 * FOOT, roof_rise=12.0)
    assert plan.termination.height_above_downhill > 10 * FOOT
    assert _loaded(plan, "brace kit") == [("brace kit", 2, "set")]


@pytest.mark.parametrize("code", ["us", "ca", "uk"])
def test_every_line_says_why(code):
    plan = plan_of(
        code,
        connector_run=0.5,
        connector_elbows=2,
        attic_height=10.5 * INCH,
        hearth_layers=(HearthLayer("brick", 0.05),),
        roof_rise=20.0,
    )
    assert all(item.note and item.quantity > 0 for item in plan.load_list)


def test_a_roof_too_steep_for_any_flashing_has_one_made():
    assert "as steep as 20/12" in _note(plan_of(roof_rise=20.0), "flashing made to measure")


@given(st.lists(st.floats(0.05, 2.4), min_size=1, max_size=12))
def test_the_boards_hold_the_pieces_and_one_board_fewer_would_not_by_length(pieces):
    boards = boards_for(pieces, (2.4, 3.0, 3.6))
    assert boards.count * boards.length >= sum(pieces) - 1e-9
    assert boards.waste == pytest.approx(boards.count * boards.length - sum(pieces), abs=1e-8)
    assert boards.count <= len(pieces)


def test_the_length_that_is_bought_wastes_least():
    # Two pieces of 1.5 m: two boards of 2.4 m, or one of 3.6 m.
    assert boards_for([1.5, 1.5], (2.4, 3.6)).length == 3.6
    # A saw cut between them: 3.0 m is not enough.
    assert boards_for([1.5, 1.5], (2.4, 3.0, 3.6)).length == 3.6


def test_a_piece_longer_than_every_board_has_none():
    assert boards_for([5.0], (2.4, 4.8)) is None
    with pytest.raises(ValueError, match=r"^pieces"):
        boards_for([], (2.4,))
