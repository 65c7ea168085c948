"""Choice of chimney sections."""

import json
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.sections import (
    Offset,
    SectionPlan,
    between_for_run,
    braces_needed,
    choose_sections,
    offset_pair,
)
from calcs.survey import ChimneySection

INCH = 0.0254
stock = st.lists(st.sampled_from([5, 11, 17, 23, 35, 47]), min_size=1, max_size=4, unique=True)
zones = st.lists(
    st.tuples(st.integers(0, 100), st.integers(1, 12)).map(lambda pair: (pair[0], pair[0] + pair[1])),
    max_size=2,
)


def _effective(plan):
    return [round(piece.effective_length / INCH) for piece in plan.pieces]


@given(st.integers(1, 240), stock, zones)
def test_the_stack_reaches_the_height_and_keeps_its_joints_out_of_the_zones(required, lengths, blocked):
    plan = choose_sections(
        required * INCH,
        [length * INCH for length in lengths],
        [(low * INCH, high * INCH) for low, high in blocked],
    )
    if not plan.feasible:
        assert plan.why
        return
    assert plan.total >= plan.required - 1e-9
    assert plan.over_run == pytest.approx(plan.total - plan.required)
    assert plan.pieces[0].bottom == 0
    assert all(upper.bottom == lower.top for lower, upper in zip(plan.pieces, plan.pieces[1:], strict=False))
    for joint in plan.joints:
        assert not any(low * INCH + 1e-9 < joint < high * INCH - 1e-9 for low, high in blocked)


@given(st.integers(1, 240), stock)
def test_a_wider_choice_never_over_runs_more(required, lengths):
    metres = [length * INCH for length in lengths]
    fewer = choose_sections(required * INCH, metres)
    more = choose_sections(required * INCH, [*metres, 1 * INCH])
    assert more.over_run <= fewer.over_run + 1e-9


@given(st.integers(1, 200), st.integers(0, 60), stock, zones)
def test_a_greater_height_never_takes_a_lower_stack(required, more, lengths, blocked):
    metres = [length * INCH for length in lengths]
    barred = [(low * INCH, high * INCH) for low, high in blocked]
    lower = choose_sections(required * INCH, metres, barred)
    higher = choose_sections((required + more) * INCH, metres, barred)
    assert not higher.feasible or (lower.feasible and lower.total <= higher.total + 1e-9)


@given(st.integers(1, 200), st.integers(0, 40), stock, zones)
def test_an_accepted_over_run_never_takes_more_pieces_and_is_not_gone_beyond(
    required, spare, lengths, blocked
):
    metres = [length * INCH for length in lengths]
    barred = [(low * INCH, high * INCH) for low, high in blocked]
    least = choose_sections(required * INCH, metres, barred)
    easier = choose_sections(required * INCH, metres, barred, spare=spare * INCH)
    assert least.feasible == easier.feasible
    assert len(easier.pieces) <= len(least.pieces)
    assert easier.over_run <= max(spare * INCH, least.over_run) + 1e-9


@given(st.integers(1, 160), stock, st.integers(0, 4), st.integers(0, 4))
def test_more_in_stock_never_over_runs_more(required, lengths, few, more):
    sections = [ChimneySection(f"{length} in", length * INCH, length * INCH) for length in lengths]
    names = [section.name for section in sections]
    scarce = choose_sections(required * INCH, sections, stock=dict.fromkeys(names, few))
    plenty = choose_sections(required * INCH, sections, stock=dict.fromkeys(names, few + more))
    assert not scarce.feasible or plenty.over_run <= scarce.over_run + 1e-9
    assert all(count <= few for count in scarce.counts().values())


def test_a_height_that_fits_exactly_has_no_over_run():
    plan = choose_sections(48 * INCH, [23 * INCH, 25 * INCH])
    assert plan.over_run == pytest.approx(0, abs=1e-9)
    assert len(plan.pieces) == 2


def test_fewer_pieces_win_at_equal_over_run():
    assert _effective(choose_sections(48 * INCH, [12 * INCH, 24 * INCH, 48 * INCH])) == [48]


def test_lower_cost_wins_at_equal_over_run_and_pieces():
    available = [
        ChimneySection("a", 0.61, 0.6, cost=90.0),
        ChimneySection("b", 0.41, 0.4, cost=50.0),
        ChimneySection("c", 0.81, 0.8, cost=100.0),
    ]
    plan = choose_sections(1.2, available)
    assert {piece.name for piece in plan.pieces} == {"b", "c"}
    assert plan.cost == pytest.approx(150)


def test_without_every_price_cost_is_not_weighed():
    available = [ChimneySection("a", 0.6, 0.6, cost=90.0), ChimneySection("b", 0.4, 0.4)]
    assert choose_sections(1.2, available).cost is None


def test_the_longest_pieces_go_lowest():
    assert _effective(choose_sections(70 * INCH, [23 * INCH, 47 * INCH])) == [47, 23]


def test_a_joint_on_the_edge_of_a_zone_is_allowed():
    plan = choose_sections(48 * INCH, [24 * INCH], [(24 * INCH, 30 * INCH)])
    assert plan.feasible


def test_it_says_why_when_every_stack_has_a_joint_in_a_zone():
    plan = choose_sections(48 * INCH, [24 * INCH], [(20 * INCH, 30 * INCH)])
    assert not plan.feasible
    assert "joint where none may be" in plan.why
    assert plan.pieces == ()


def test_it_asks_for_the_lengths_when_none_are_listed():
    plan = choose_sections(3.0, [])
    assert not plan.feasible
    assert "enter the lengths" in plan.why


def test_a_stack_heavier_than_the_support_carries_is_shown_and_refused():
    plan = choose_sections(4.0, [1.0], supported_height=3.5)
    assert not plan.feasible
    assert len(plan.pieces) == 4
    assert plan.supported_margin == pytest.approx(-0.5)


def test_a_stack_at_exactly_the_supported_height_passes():
    assert choose_sections(4.0, [1.0], supported_height=4.0).feasible


def test_the_over_run_counts_towards_the_brace():
    plan = choose_sections(5.0, [3.0], above_roof=1.0, brace_threshold=1.5)
    assert plan.over_run == pytest.approx(1.0)
    assert plan.braces == 1


def test_braces_stay_unknown_without_the_height_above_the_roof():
    assert choose_sections(5.0, [3.0], brace_threshold=1.5).braces is None


def test_nothing_to_reach_takes_no_section():
    plan = choose_sections(0.0, [1.0])
    assert plan.feasible
    assert plan.pieces == ()


def test_a_plan_survives_json():
    plan = choose_sections(3.0, [1.2, 0.9, 0.3], [(0.5, 0.8)], supported_height=9.0)
    assert SectionPlan.from_dict(json.loads(json.dumps(plan.to_dict()))) == plan


def test_a_plan_with_an_elbow_pair_and_a_shorter_choice_survives_json():
    offset = Offset(30, 0.5, 0.7, 0.35, ("0.5 m",))
    plan = choose_sections(2.7, [0.9, 0.6, 0.1], offset=offset, offset_between=(0.5, 2.0))
    assert plan.fewer
    assert SectionPlan.from_dict(json.loads(json.dumps(plan.to_dict()))) == plan


def test_a_plan_kept_before_there_were_elbow_pairs_still_reads():
    plan = choose_sections(3.0, [1.2, 0.9])
    data = plan.to_dict()
    for piece in data["pieces"]:
        del piece["kind"]
    del data["offset"], data["fewer"]
    read = SectionPlan.from_dict(data)
    assert (read.pieces, read.counts(), read.fewer) == (plan.pieces, plan.counts(), ())


def test_the_elbow_pair_stands_whole_between_its_heights_and_its_sections_are_loaded():
    offset = Offset(30, 0.3, 0.7, 0.35, ("0.3 m",))
    plan = choose_sections(3.0, [0.9, 0.3], [(0.1, 0.25)], offset=offset, offset_between=(0.5, 2.0))
    (pair,) = (piece for piece in plan.pieces if piece.kind == "elbow pair")
    assert pair.bottom >= 0.5
    assert pair.top <= 2.0
    assert pair.top - pair.bottom == pytest.approx(0.7)
    assert plan.total >= 3.0
    assert plan.counts()["0.3 m"] == 1 + sum(piece.name == "0.3 m" for piece in plan.pieces)
    assert "elbow pair, 30°" not in plan.counts()


def test_an_elbow_pair_that_has_no_place_is_named():
    plan = choose_sections(3.0, [0.9], offset=Offset(30, 0, 0.7, 0.35), offset_between=(1.0, 1.5))
    assert not plan.feasible
    assert "elbow pair" in plan.why


def test_an_accepted_over_run_saves_pieces_and_none_is_accepted_unasked():
    lengths = [0.9, 0.6, 0.1]
    assert len(choose_sections(2.0, lengths).pieces) == 4
    assert len(choose_sections(2.0, lengths, spare=0.1).pieces) == 3
    assert choose_sections(2.0, lengths, spare=0.1).over_run == pytest.approx(0.1)


def test_no_over_run_is_accepted_beyond_what_the_support_carries():
    plan = choose_sections(2.0, [0.9, 0.6, 0.1], spare=0.5, supported_height=2.1)
    assert plan.feasible
    assert plan.total == pytest.approx(2.1)


def test_the_stack_of_fewest_pieces_is_told_where_it_has_fewer():
    plan = choose_sections(2.0, [0.9, 0.6, 0.1])
    (fewer,) = plan.fewer
    assert fewer.counts() == {"0.9 m": 1, "0.6 m": 2}
    assert fewer.over_run == pytest.approx(0.1)
    assert choose_sections(1.8, [0.9, 0.6, 0.1]).fewer == ()


def test_it_takes_no_more_of_a_section_than_there_are():
    plan = choose_sections(2.7, [0.9, 0.6, 0.3], stock={"0.9 m": 1})
    assert plan.counts() == {"0.9 m": 1, "0.6 m": 3}


def test_it_says_when_what_is_in_stock_does_not_reach():
    plan = choose_sections(2.7, [0.9, 0.6], stock={"0.9 m": 1, "0.6 m": 1})
    assert not plan.feasible
    assert "in stock" in plan.why


def test_a_height_no_chimney_has_is_a_slip_of_the_tape():
    plan = choose_sections(900.0, [0.9])
    assert not plan.feasible
    assert "check the heights" in plan.why


def test_ten_metres_of_twelve_lengths_are_chosen_at_once():
    lengths = [(9 * 64 + 211 * step) * INCH / 64 for step in range(12)]
    started = time.perf_counter()
    plan = choose_sections(10.0, lengths, [(0.1, 0.25), (2.5, 2.8)])
    assert plan.feasible
    # Some milliseconds; a second leaves room for a busy machine and none for listing every stack.
    assert time.perf_counter() - started < 1


def test_it_counts_what_to_load():
    plan = choose_sections(4.0, [ChimneySection("1 m", 1.02, 1.0)])
    assert plan.counts() == {"1 m": 4}


@given(st.floats(0.05, 3), st.sampled_from([15, 30]), st.floats(0, 0.02))
def test_an_offset_for_a_run_has_that_run(run, angle, leg):
    pair = offset_pair(angle, between=between_for_run(run, angle, leg), leg=leg)
    assert pair.run == pytest.approx(run)
    assert pair.rise > 0


def test_a_steeper_offset_moves_further_for_the_same_length():
    assert offset_pair(30, 1.0).run > offset_pair(15, 1.0).run


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: choose_sections(-1, [1.0]), "required"),
        (lambda: choose_sections(1, [0.0]), "available"),
        (lambda: choose_sections(1, [ChimneySection("a", 1, 1, cost=-1)]), "available"),
        (lambda: choose_sections(1, [0.001]), "available"),
        (lambda: choose_sections(1, [1.0], [(2, 1)]), "forbidden_zones"),
        (lambda: choose_sections(1, [1.0], [(2, float("inf"))]), "forbidden_zones"),
        (lambda: choose_sections(float("nan"), [1.0]), "required"),
        (lambda: choose_sections(1, [1.0], spare=-0.1), "spare"),
        (lambda: choose_sections(1, [1.0], stock={"2 m": 1}), "stock"),
        (lambda: choose_sections(1, [1.0], stock={"1 m": -1}), "stock"),
        (lambda: choose_sections(1, [1.0], offset=Offset(30, 0, 0, 0)), "offset"),
        (
            lambda: choose_sections(1, [1.0], offset=Offset(30, 0, 0.5, 0.2), offset_between=(2, 1)),
            "offset_between",
        ),
        (lambda: offset_pair(45), "angle_degrees"),
        (lambda: offset_pair(15, between=-1), "between"),
        (lambda: between_for_run(0.01, 30, leg=0.1), "run"),
        (lambda: between_for_run(0.5, 0), "angle_degrees"),
        (lambda: braces_needed(-1, 1.5), "above_roof"),
        (lambda: braces_needed(1, 0), "threshold"),
    ],
)
def test_it_names_the_input_that_cannot_be(call, name):
    with pytest.raises(ValueError, match=rf"^{name}:"):
        call()
