"""Due dates and reminders."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.rulebook import load_rulebook
from calcs.servicing import (
    HEATING_SEASON,
    REMINDER_STEPS,
    add_months,
    inspection_level,
    inspection_triggers,
    next_due,
    remind_on,
    why_no_interval,
)

days = st.dates(date(1990, 1, 1), date(2090, 12, 31))


def test_a_leap_day_falls_due_on_the_last_of_february():
    assert next_due(date(2024, 2, 29), "annual sweep", load_rulebook("us")) == date(2025, 2, 28)


def test_a_month_end_stays_within_its_month():
    assert next_due(date(2025, 11, 30), "annual sweep", load_rulebook("uk")) == date(2026, 2, 28)


def test_the_fuel_decides_the_interval():
    book = load_rulebook("uk")
    assert next_due(date(2025, 4, 1), "annual sweep", book, fuel="wood") == date(2025, 7, 1)
    assert next_due(date(2025, 4, 1), "annual sweep", book, fuel="coal") == date(2025, 10, 1)
    assert next_due(date(2025, 4, 1), "annual sweep", book, fuel="smokeless") == date(2026, 4, 1)


def test_the_inspection_has_its_own_interval():
    assert next_due(date(2025, 4, 1), "annual inspection", load_rulebook("uk")) == date(2026, 4, 1)


def test_a_fuel_the_rule_book_does_not_hold_is_not_known():
    assert next_due(date(2025, 4, 1), "annual sweep", load_rulebook("uk"), fuel="pellets") is None


def test_a_service_due_in_the_season_is_due_before_it():
    book = load_rulebook("us")
    for done in (date(2025, 10, 1), date(2025, 11, 15), date(2026, 2, 1), date(2026, 4, 30)):
        assert next_due(done, "annual sweep", book, season=HEATING_SEASON) == date(2026, 9, 30)


def test_a_service_due_outside_the_season_keeps_its_day():
    book = load_rulebook("us")
    assert next_due(date(2025, 5, 1), "annual sweep", book, season=HEATING_SEASON) == date(2026, 5, 1)
    assert next_due(date(2025, 9, 30), "annual sweep", book, season=HEATING_SEASON) == date(2026, 9, 30)


def test_a_season_within_one_year_works_too():
    book = load_rulebook("us")
    southern = ((4, 15), (9, 30))
    assert next_due(date(2025, 6, 1), "annual sweep", book, season=southern) == date(2026, 4, 14)


@given(days, st.sampled_from(["us", "ca", "uk"]), st.sampled_from(["wood", "coal", "smokeless"]))
def test_the_season_only_brings_a_date_forward(done, code, fuel):
    book = load_rulebook(code)
    plain = next_due(done, "annual sweep", book, fuel=fuel)
    assert done < next_due(done, "annual sweep", book, fuel=fuel, season=HEATING_SEASON) <= plain


@given(days, st.integers(0, 240))
def test_adding_months_lands_in_the_month_counted(day, months):
    later = add_months(day, months)
    assert (later.year * 12 + later.month) - (day.year * 12 + day.month) == months
    assert later.day == day.day or (later.day < day.day and (later + timedelta(days=1)).day == 1)


@given(days)
def test_reminders_go_out_a_month_and_a_week_ahead_and_a_fortnight_after(due):
    assert [(day - due).days for day in remind_on(due)] == [-30, -7, 14]
    assert remind_on(due) == remind_on(due, REMINDER_STEPS)


def test_reminders_cross_a_leap_day():
    assert remind_on(date(2024, 3, 1), (-1,)) == (date(2024, 2, 29),)
    assert remind_on(date(2023, 3, 1), (-1,)) == (date(2023, 2, 28),)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: next_due(date(2025, 1, 1), "polish", load_rulebook("us")), "kind"),
        (lambda: add_months(date(9999, 12, 1), 1), "months"),
        (lambda: remind_on(date(1, 1, 5), (-30,)), "steps"),
    ],
)
def test_it_names_the_input_that_cannot_be(call, name):
    with pytest.raises(ValueError, match=rf"^{name}:"):
        call()


def test_the_deepest_of_what_happened_asks_for_the_inspection():
    book = load_rulebook("us")
    found = inspection_level(inspection_triggers(book), book)
    assert (found.level, found.looks_at) == (3, "Concealed parts, by opening up.")
    assert inspection_level([], book) is None


@given(st.lists(st.sampled_from(inspection_triggers(load_rulebook("us"))), min_size=1))
def test_more_that_happened_never_asks_for_less(triggers):
    book = load_rulebook("us")
    assert inspection_level(triggers, book).level >= inspection_level(triggers[:1], book).level


def test_a_book_without_levels_asks_for_none():
    assert inspection_level(["sale"], load_rulebook("uk")) is None


def test_a_trigger_nobody_knows_is_refused():
    with pytest.raises(ValueError, match="triggers: 'flood' is not one of same_use"):
        inspection_level(["flood"], load_rulebook("us"))


def test_a_service_without_an_interval_says_why():
    uk = load_rulebook("uk")
    assert "keep the one in the appliance's book" in why_no_interval("annual sweep", uk, fuel="pellets")
    assert why_no_interval("annual inspection", uk, fuel="pellets") == ""
    bare = replace(uk, rules={})
    assert why_no_interval("sweep", bare, fuel="wood").startswith("United Kingdom: the rule book holds no")
    with pytest.raises(ValueError, match="kind: 'polish'"):
        why_no_interval("polish", uk)
