"""Checklist files: what is in them, and what is said of a bad one."""

from __future__ import annotations

import re

import pytest
from django.core.checks import run_checks

from calcs.plan import make_plan
from calcs.rulebook import codes, load_rulebook
from inspections import checklists as package
from inspections.checklists import (
    ChecklistError,
    checklist_for,
    checklist_get,
    checklists,
    read_checklist,
    shelf,
)
from inspections.checklists.limit_names import KNOWN_LIMITS
from inspections.errors import InspectionsError
from inspections.queries.applicable import facts_ask
from inspections.queries.limits import facts_of_limits
from tests.factories import ApplianceFactory, ChimneyFactory, SurveyFactory

WHOLE = """
key = "trial"
version = 1
title = "Trial"
kinds = ["repair"]
[[stages]]
key = "only"
title = "Only stage"
cautions = ["Take care."]
[[stages.items]]
key = "way"
kind = "choose"
ask = "Which way"
options = [{key = "left", words = "Left"}, {key = "right", words = "Right", fails = true}]
[[stages.items]]
key = "gap"
kind = "measure"
quantity = "length"
limit = "chimney.clearance"
ask = "Gap"
how = "With a tape."
when = {item = "way", chosen = ["left"]}
"""


def read(text: str, name: str = "trial.1.toml"):
    return read_checklist(text.encode(), name)


def test_it_reads_a_whole_file():
    checklist = read(WHOLE)
    item = checklist.stages[0].items[1]
    assert (item.limit, item.when.chosen, item.required) == ("chimney.clearance", ("left",), True)
    assert checklist.stages[0].items[0].option("right").fails


def test_an_item_says_how_grave_its_defect_is_and_which_rule_it_breaks():
    grave = WHOLE.replace("fails = true", 'fails = true, severity = "danger"')
    item = read(grave.replace('ask = "Which way"', 'ask = "Which way"\nrule = "alarm.co"')).stages[0].items[0]
    assert (item.severity_of("right"), item.severity_of("no such choice")) == ("danger", "correct")
    assert item.rule == "alarm.co"
    assert read(WHOLE).stages[0].items[0].severity_of("right") == "correct"
    advice = WHOLE.replace('ask = "Gap"', 'ask = "Gap"\nseverity = "advice"')
    assert read(advice).stages[0].items[1].severity_of("2 in") == "advice"


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('limit = "chimney.clearance"', 'limit = "chimney.gap"', "item gap: 'chimney.gap' is no limit"),
        ('quantity = "length"', 'quantity = "draft"', "chimney.clearance limits a length, not a draft"),
        ('quantity = "length"', 'quantity = "feel"', "item gap: quantity 'feel' is none of"),
        ('how = "With a tape."\n', "", "item gap: a measure must say how it is taken"),
        ('kind = "measure"', 'kind = "guess"', "item gap: kind 'guess' is none of"),
        ('chosen = ["left"]', 'chosen = ["up"]', "item gap: when: way has no option 'up'"),
        ('item = "way", chosen', 'item = "far", chosen', "item gap: when: there is no earlier item 'far'"),
        ('key = "gap"', 'key = "way"', "item way: another item already has this key"),
        ('key = "gap"', 'key = "Gap!"', "item Gap!: the key 'Gap!' may hold"),
        ('key = "only"', 'key = "begin"', "stage begin: this key is an address of its own"),
        ('title = "Only stage"', 'titel = "Only stage"', "stage only: unknown field titel"),
        ('cautions = ["Take care."]', "cautions = []", "stage only: cautions is missing, empty"),
        ('{key = "right", words = "Right", fails = true}', "", "item way: give at least two options"),
        ("fails = true", 'fails = "yes"', "item way: fails is true or false, not 'yes'"),
        ("fails = true", 'fails = true, severity = "grave"', "item way: severity 'grave' is none of danger"),
        ('words = "Left"', 'words = "Left", severity = "danger"', "option left: only a choice that fails"),
        ('ask = "Which way"', 'ask = "Which way"\nrule = "no.such"', "no rule book holds the rule 'no.such'"),
        ('ask = "Gap"', 'ask = "Gap"\nrule = "sweep.deposit"', "a measure breaks its limit"),
        ("version = 1", "version = 2", "the file says key 'trial' and version 2; the name differs"),
        ('kinds = ["repair"]', "", "trial.1.toml: kinds is missing"),
        ('title = "Trial"', "title = ", "trial.1.toml: not readable"),
        ('when = {item = "way", chosen = ["left"]}', 'only = {moon = ["full"]}', "only: 'moon' is none of"),
        ('title = "Only stage"', 'title = "x"\nplan_says = ["moon"]', "plan_says: 'moon' is none of"),
    ],
)  # fmt: skip
def test_a_bad_file_names_place_and_fault(old, new, sentence):
    assert old in WHOLE
    with pytest.raises(ChecklistError) as refused:
        read(WHOLE.replace(old, new))
    assert str(refused.value).startswith("trial.1.toml")
    assert sentence in str(refused.value)


def test_a_system_check_names_a_bad_file(tmp_path, monkeypatch):
    (tmp_path / "trial.1.toml").write_text(WHOLE.replace("chimney.clearance", "chimney.gap"))
    monkeypatch.setattr(shelf, "FOLDER", tmp_path)
    checklists.cache_clear()
    try:
        found = [one for one in run_checks() if one.id == "inspections.E001"]
    finally:
        monkeypatch.undo()
        checklists.cache_clear()
    assert "chimney.gap" in found[0].msg
    assert "next number" in found[0].hint


def test_every_measure_says_how_and_every_stage_begins_with_a_caution():
    for checklist in checklists():
        for stage in checklist.stages:
            assert stage.cautions, stage.key
        for _, item in checklist.items():
            assert item.kind != "measure" or item.how, item.key


def test_the_two_checklists_use_every_limit_there_is():
    assert frozenset().union(*(one.limits() for one in checklists())) == frozenset(KNOWN_LIMITS)


@pytest.mark.django_db
@pytest.mark.parametrize("code", codes())
def test_a_full_plan_limits_every_measure_that_is_asked_where_its_rules_hold(code):
    survey = SurveyFactory.build()
    plan = make_plan(
        survey.to_calcs(),
        ApplianceFactory.build().to_calcs(),
        ChimneyFactory().to_calcs(),
        load_rulebook(code),
    )
    facts = {"rule_book": code, "fuel": "wood", "placement": survey.placement, **facts_of_limits(plan.limits)}
    checklist = checklist_for(kind="new installation", route="flat ceiling")
    asked = {item.limit for _, item in checklist.items() if item.limit and facts_ask(item, facts)}
    assert asked - plan.limits.keys() == set()


def test_what_the_next_stage_covers_is_photographed_before():
    checklist = checklist_get("new_installation_flat_ceiling", 1)
    covered = {
        "position": "hearth_photo", "ceiling_support": "framing_photo", "attic_protection": "shield_photo",
        "roof_flashing": "flashing_bead_photo", "storm_collar": "cone_photo", "connector": "inlet_photo",
    }  # fmt: skip
    for stage, photo in covered.items():
        item = checklist.stage(stage).item(photo)
        assert (item.kind, item.required) == ("photo", True)


def test_the_enclosures_items_follow_the_choice():
    checklist = checklist_get("new_installation_flat_ceiling", 1)
    for key in ("enclosure_to_roof", "enclosure_clearance", "enclosure_photo"):
        assert checklist.stage("attic_protection").item(key).when.chosen == ("enclosure",)


def test_there_are_the_stages_of_a_new_installation_in_order():
    checklist = checklist_get("new_installation_flat_ceiling", 1)
    assert [stage.key for stage in checklist.stages] == [
        "before_work", "position", "ceiling_support", "attic_protection", "roof_flashing", "storm_collar",
        "termination", "sealing", "connector", "commissioning", "handover",
    ]  # fmt: skip
    assert {one.key for one in checklist.stages if one.hold} == {
        "before_work", "position", "ceiling_support", "attic_protection", "roof_flashing", "commissioning",
    }  # fmt: skip


def test_a_kind_of_job_without_a_checklist_is_told_so():
    with pytest.raises(InspectionsError) as refused:
        checklist_for(kind="repair", route="flat ceiling")
    assert refused.value.code == "no_checklist"


def test_a_version_that_is_gone_is_told_so():
    with pytest.raises(InspectionsError) as refused:
        checklist_get("annual_sweep", 99)
    assert refused.value.code == "no_checklist_version"
    assert package.checklist_get("annual_sweep", 1).version == 1


TEXT_OF_ONE_SYSTEM = {
    "imperial": re.compile(r"\b\d+(\.\d+)? ?(mm|cm|m)\b"),
    "metric": re.compile(r"\b\d ?(in|ft)\b|\b(one|three) f(oo|ee)t\b|No\. 8|/12"),
}


@pytest.mark.parametrize("system", ["imperial", "metric"])
def test_a_checklist_speaks_the_units_of_the_house(system):
    for checklist in checklists():
        said = checklist.in_units(system)
        assert said.digest == checklist.digest
        for stage in said.stages:
            for item in stage.items:
                british = item.only.get("rule_book") == ("uk",)
                for words in (item.ask, item.how, *(one.words for one in item.options)):
                    assert not set("{|}") & set(words), item.key
                    assert british or not TEXT_OF_ONE_SYSTEM[system].search(words), (item.key, words)
            for words in stage.cautions:
                assert not TEXT_OF_ONE_SYSTEM[system].search(words), words


def test_every_roof_stage_warns_of_the_fall_and_every_fire_of_the_monoxide():
    checklist = checklist_get("new_installation_flat_ceiling", 1)
    for key in ("roof_flashing", "storm_collar", "termination", "sealing"):
        assert "arness" in " ".join(checklist.stage(key).cautions)
    for one in checklists():
        for stage in one.stages:
            if any(item.quantity == "draft" for item in stage.items):
                assert "Carbon monoxide" in " ".join(stage.cautions)


def test_a_bare_wall_fails_where_the_clearances_count_on_its_protection():
    item = checklist_get("new_installation_flat_ceiling", 1).stage("position").item("wall_shield")
    assert item.option("none").fails
    assert facts_ask(item, {"wall_protection": "planned"})
    assert facts_ask(item, {"wall_protection": ""})
    assert not facts_ask(item, {"wall_protection": "none"})


def test_glaze_that_was_found_and_taken_off_is_told_as_it_was():
    stage = checklist_get("annual_sweep", 1).stage("deposit")
    found, gone = stage.item("deposit_kind"), stage.item("glaze_gone")
    assert found.as_found
    assert (gone.when.item, gone.when.outcome) == ("deposit_kind", "fail")
    assert gone.option("left").fails
