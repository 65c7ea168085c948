"""Items that several checklists share, the parts they judge, and the lists made of them."""

from __future__ import annotations

import hashlib

import pytest

from inspections.checklists import ChecklistError, checklist_for, checklist_get, checklists, read_checklist
from inspections.checklists.groups import group_read
from inspections.checklists.part_names import PARTS
from inspections.checklists.shape import NOT_REACHED
from inspections.checklists.shelf import FOLDER
from jobs.models import REPORTED

LIST = b"""
key = "trial"
version = 1
title = "Trial"
kinds = ["repair"]
[[stages]]
key = "only"
title = "Only stage"
cautions = ["Take care."]
[[stages.items]]
use = "pipe.1"
"""
GROUP = b"""
part = "connector"
[[items]]
key = "pipe"
kind = "confirm"
ask = "The pipe is tight"
"""


def read(group: bytes = GROUP, text: bytes = LIST):
    return read_checklist(text, "trial.1.toml", lambda name: group)


def test_a_list_holds_the_items_of_its_groups_with_their_part():
    item = read().stages[0].items[0]
    assert (item.key, item.part) == ("pipe", "connector")


def test_a_list_is_pinned_by_the_bytes_of_its_groups_and_a_plain_one_by_its_own():
    assert read().digest != read(GROUP + b"\n").digest
    plain = (FOLDER / "annual_sweep.1.toml").read_bytes()
    assert checklist_get("annual_sweep", 1).digest == hashlib.sha256(plain).hexdigest()


@pytest.mark.parametrize(
    ("group", "text", "sentence"),
    [
        (GROUP.replace(b"items", b"things"), LIST, "group pipe.1: unknown field things"),
        (b"part = ", LIST, "group pipe.1: not readable"),
        (GROUP.replace(b"connector", b"moon"), LIST, "part 'moon' is none of"),
        (b'[[items]]\nuse = "other.1"', LIST, "group pipe.1: a group uses no other group"),
        (GROUP, LIST + b'key = "x"\n', "an entry that uses a group says nothing else"),
        (GROUP, LIST.replace(b"pipe.1", b"pipe"), "name a group with its version"),
        (GROUP, LIST + b'[[stages.items]]\nuse = "pipe.1"\n', "the group 'pipe.1' is used twice"),
    ],
)
def test_a_bad_group_names_place_and_fault(group, text, sentence):
    with pytest.raises(ChecklistError) as refused:
        read(group, text)
    assert str(refused.value).startswith("trial.1.toml")
    assert sentence in str(refused.value)


def test_a_group_that_is_not_there_is_named():
    with pytest.raises(ChecklistError, match=r"there is no group 'pipe\.1'"):
        read_checklist(LIST, "trial.1.toml", group_read)


@pytest.mark.parametrize("kind", sorted(REPORTED))
def test_each_kind_of_inspection_has_a_list_that_says_what_it_covers(kind):
    found = checklist_for(kind=kind, route="flat ceiling")
    assert found.covers
    assert found.leaves_out
    assert any(stage.hold for stage in found.stages)
    judging = [item for _, item in found.items() if any(one.fails for one in item.options)]
    without = {item.key for item in judging if not item.part}
    # These judge the visit and the house, not a part of the system.
    assert without <= {"asbestos_looked_for", "since_last", "owner_agrees", "closed_again"}


def test_a_level_reaches_farther_than_the_one_before():
    one, two, three = (
        {
            item.key
            for _, item in checklist_for(kind=f"inspection level {level}", route="flat ceiling").items()
        }
        for level in (1, 2, 3)
    )
    assert {"flue_seen", "outlet_height", "label", "level_3"} <= two - one
    assert {"owner_agrees", "concealed_part", "concealed_clearance"} <= three - two
    assert "attic_clearance" in one & two & three


def test_after_a_fire_every_sign_of_heat_is_looked_for():
    found = checklist_for(kind="inspection after fire", route="flat ceiling")
    asked = {item.key for _, item in found.items()}
    assert {
        "honeycomb", "appliance_heat", "connector_heat", "liner_heat", "cap_heat", "roofing_burnt",
        "clearances_scorched", "out_of_use",
    } <= asked  # fmt: skip


def test_what_is_not_reached_judges_nothing():
    for checklist in checklists():
        for _, item in checklist.items():
            told = item.option(NOT_REACHED)
            assert told is None or told.silent or not any(one.fails for one in item.options), item.key
            assert not item.part or item.part in PARTS
