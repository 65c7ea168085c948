"""The bar between the limits."""

from __future__ import annotations

from hypothesis import assume, given
from hypothesis import strategies as st

from calcs.checks import Check, Limit, Source, SourceKind
from inspections.queries.gauge import LEFT, RIGHT, gauge_of
from inspections.queries.ink import ink_path

LISTED = Source(SourceKind.LISTING, "sheet")
figures = st.floats(0, 1000).filter(lambda figure: figure == 0 or figure > 1e-4)


def bar(limit: Limit, value: float | None, verdict: str = ""):
    return gauge_of(
        limit=limit, value=value, minimum_text="low", maximum_text="high", value_text="here",
        verdict=verdict, words="",
    )  # fmt: skip


@given(least=st.none() | figures, room=st.none() | figures, value=st.none() | figures)
def test_everything_stands_on_the_bar_and_in_the_right_order(least, room, value):
    assume(least is not None or room is not None)
    most = None if room is None else (least or 0.0) + room
    told = bar(Limit(least, most, "m", LISTED), value)
    for place in (told.minimum_at, told.maximum_at, told.value_at, told.band_from):
        assert place is None or LEFT - 0.1 <= place <= RIGHT + 0.1
    if value is not None and least is not None and abs(value - least) > 1e-3 * max(value, least):
        assert (told.value_at >= told.minimum_at) == (value >= least)


@given(least=figures, value=figures)
def test_a_value_is_on_the_band_exactly_when_it_passes(least, value):
    assume(abs(value - least) > 1e-3 * max(value, least, 1e-3))
    limit = Limit(least, None, "m", LISTED)
    told = bar(limit, value)
    on_band = told.band_from - 0.05 <= told.value_at <= told.band_from + told.band_width + 0.05
    assert on_band == (Check("x", value, limit).outcome == "pass")


def test_pass_and_fail_have_marks_of_different_shape():
    limit = Limit(1.0, None, "m", LISTED)
    assert "z" in bar(limit, 2.0, "pass").mark
    assert "z" not in bar(limit, 0.5, "fail").mark


def test_the_words_of_two_close_limits_do_not_lie_on_each_other():
    told = bar(Limit(1.0, 1.001, "m", LISTED), 50.0)
    assert told.maximum_text_at - told.minimum_text_at >= 60


def test_strokes_become_a_path_and_a_tap_a_dot():
    assert ink_path([[[1, 2], [3, 4.5]], [[7, 8]]]) == "M1 2L3 4.5M7 8h0"
