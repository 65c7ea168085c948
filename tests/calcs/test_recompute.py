"""A plan computed once more comes out the same, and whatever was changed since is found and named."""

from __future__ import annotations

import json
import math
import re
import shutil
from pathlib import Path

import pytest

from calcs.plan import Plan, make_plan
from calcs.plan_file import read_plan_inputs
from calcs.recompute import KeptPlan, Recomputed, recompute, unlike
from calcs.rulebook import FOLDER, codes, edition_file, load_rulebook
from calcs.survey import Appliance, Chimney
from tests.calcs.houses import plan_of
from tests.calcs.route_houses import ROUTES, route_plan

EXAMPLES = FOLDER.with_name("examples")
CURRENT = load_rulebook("us").edition
REAR = "appliance.clearance.rear"


def stored(plan: Plan) -> dict:
    """A plan after its way through a database."""
    return json.loads(json.dumps(plan.to_dict()))


def again(data: dict, folder: Path = FOLDER) -> Recomputed:
    return recompute(KeptPlan.of(data), folder)


def unlisted(**told) -> dict:
    """A plan whose clearance behind the appliance is the rule book's, 36 in."""
    return stored(plan_of(appliance={"listed": False}, **told))


@pytest.fixture
def books(tmp_path) -> Path:
    """The rule books in a folder of the test's own."""
    return Path(shutil.copytree(FOLDER, tmp_path / "rulebooks"))


def change(book: Path, pattern: str, new: str) -> None:
    """Change one line of a book."""
    text = book.read_text(encoding="utf-8")
    changed, times = re.subn(pattern, new, text, count=1, flags=re.MULTILINE)
    assert times == 1
    book.write_text(changed, encoding="utf-8")


def new_figure(book: Path) -> None:
    """Ask for 40 in behind an unlisted radiant appliance in place of 36 in."""
    change(book, r"^(\[clearance\.unlisted\.radiant\]\nrear = \{value = )36", r"\g<1>40")


@pytest.mark.parametrize("code", codes())
def test_every_example_comes_out_as_it_is_stored(code):
    inputs = read_plan_inputs((EXAMPLES / f"{code}.json").read_text(encoding="utf-8"))
    for system in (None, "imperial", "metric"):
        plan = make_plan(inputs.survey, inputs.appliance, inputs.chimney, inputs.rulebook, system=system)
        found = again(stored(plan))
        assert found.differences == ()
        assert found.plan == plan
        assert len(found.pairs) == len(plan.limits) > 20


@pytest.mark.parametrize("code", codes())
@pytest.mark.parametrize("route", [*ROUTES, "flat ceiling"])
def test_the_houses_of_every_way_out_come_out_as_they_are_stored(route, code):
    plan = route_plan(route, code) if route in ROUTES else plan_of(code)
    assert again(stored(plan)).differences == ()


def test_a_limit_changed_by_little_is_found_and_named():
    data = unlisted()
    limit = data["limits"][REAR]
    limit["minimum"] += 1e-6
    (sentence,) = again(data).differences
    assert sentence.startswith(f"{REAR}: stored at least {limit['minimum']} m, computed at least 0.9144 m")
    assert [pair.name for pair in again(data).pairs if not pair.same] == [REAR]


def test_a_limit_that_was_taken_out_put_in_or_has_another_source_is_found():
    data = unlisted()
    gone = data["limits"].pop(REAR)
    assert again(data).differences == (f"{REAR}: stored none, computed at least 0.9144 m.",)
    data["limits"] |= {REAR: gone, "roof.garden": gone}
    assert again(data).differences == ("roof.garden: stored at least 0.9144 m, computed none.",)
    data = unlisted()
    data["limits"][REAR]["source"]["reference"] = "a friend"
    (sentence,) = again(data).differences
    assert sentence.startswith(f"{REAR}: source.reference: stored a friend, computed")


def test_an_input_changed_is_found_by_what_comes_out_otherwise():
    data = unlisted()
    data["survey"]["attic_height"] += 0.5
    places = " ".join(again(data).differences)
    assert "sections" in places
    data = unlisted()
    data["appliance"]["listed"] = True
    assert any(sentence.startswith(f"{REAR}: stored") for sentence in again(data).differences)


def test_a_result_changed_is_found_and_named():
    data = unlisted()
    data["sections"]["top"] = 9.5
    assert any("sections.top: stored 9.5, computed" in one for one in again(data).differences)


def test_a_book_changed_under_the_same_edition_is_found_by_its_digest_and_its_figure(books):
    data = unlisted()
    assert again(data, books).same
    new_figure(books / "us.toml")
    load_rulebook.cache_clear()
    book, *limits = again(data, books).differences
    assert "is not the file the plan was made with: SHA-256 stored" in book
    assert f"{REAR}: stored at least 0.9144 m, computed at least 1.016 m." in limits


def test_an_old_plan_is_computed_by_the_edition_it_was_made_with(books):
    data = unlisted()
    (books / "editions").mkdir(exist_ok=True)
    shutil.copy(books / "us.toml", books / "editions" / Path(edition_file("us", CURRENT)).name)
    new_figure(books / "us.toml")
    change(books / "us.toml", r'^edition = ".*"', 'edition = "2031-1"')
    found = again(data, books)
    assert found.differences == ()
    assert (found.plan.edition, found.plan.rulebook_digest) == (CURRENT, data["rulebook_digest"])
    newer = stored(
        make_plan(
            found.plan.survey, Appliance(listed=False), Chimney(), load_rulebook("us", None, books)
        )
    )  # fmt: skip
    assert (newer["edition"], newer["limits"][REAR]["minimum"]) == ("2031-1", pytest.approx(40 * 0.0254))
    assert again(newer, books).same


def test_an_edition_that_is_not_here_is_named_with_the_file_to_put_back(books):
    change(books / "us.toml", r'^edition = ".*"', 'edition = "2031-1"')
    with pytest.raises(ValueError, match=re.escape(f"calcs/rulebooks/editions/us-{CURRENT}.toml")):
        again(unlisted(), books)
    # An edition may come from anybody's file: it opens none, whatever it is called.
    with pytest.raises(ValueError, match=re.escape("editions/us-etc-passwd.toml")):
        load_rulebook("us", "../../../etc/passwd")


def test_a_plan_kept_before_the_digest_is_read_and_computed():
    data = unlisted()
    del data["rulebook_digest"]
    assert Plan.from_dict(data).rulebook_digest == ""
    assert again(data).same


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda data: data.update(schema=7), "schema 1, and this one is of 7"),
        (lambda data: data.pop("survey"), "has no survey"),
        (lambda data: data["survey"].update(rear_wall=-1), "survey.rear_wall"),
        (lambda data: data["survey"].update(turrets=2), "survey.turrets: not known"),
        (lambda data: data["limits"].update({REAR: {"minimum": 1}}), "is no limit"),
        (lambda data: data.update(rulebook="zz"), "'zz' is none"),
        (lambda data: data.update(edition=7), "edition: it holds a number"),
    ],
)
def test_what_no_plan_is_made_of_is_refused_in_words(spoil, words):
    data = unlisted()
    spoil(data)
    with pytest.raises(ValueError, match=re.escape(words)):
        again(data)


def test_only_the_last_digits_of_another_machine_are_let_through():
    assert not list(unlike({"a": math.pi}, {"a": math.nextafter(math.pi, 4)}))
    for first, second in (
        (1, True),
        (None, 0),
        ("1", 1),
        ([1], [1, 2]),
        (10**400, 1.0),
        (math.nan, math.nan),
    ):
        assert list(unlike(first, second)), (first, second)
