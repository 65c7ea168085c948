"""`python -m calcs`, run as somebody runs it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

from calcs.checks import Outcome
from calcs.plan import Plan, make_plan
from calcs.plan_file import input_kinds, read_plan_inputs
from calcs.rulebook import codes, load_rulebook
from calcs.units import KINDS

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "calcs" / "examples"


def run(*arguments: str, given: str = "", status: int = 0) -> str:
    """Standard output of the command; its error sentence where it is to be refused."""
    done = subprocess.run(
        [sys.executable, "-m", "calcs", *arguments],
        cwd=ROOT, input=given, capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == status, done.stderr
    if status:
        assert done.stdout == ""
        assert "Traceback" not in done.stderr
        return done.stderr
    assert done.stderr == ""
    return done.stdout


def example(code: str = "us") -> dict:
    return json.loads((EXAMPLES / f"{code}.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("code", codes())
def test_an_example_is_a_complete_house_that_may_be_built(code):
    inputs = read_plan_inputs((EXAMPLES / f"{code}.json").read_text(encoding="utf-8"))
    plan = make_plan(inputs.survey, inputs.appliance, inputs.chimney, inputs.rulebook)
    assert plan.unknowns == ()
    assert plan.verdict is Outcome.PASS


def test_an_example_is_planned_from_end_to_end():
    text = run("plan", "-", given=run("example", "us"))
    assert text.startswith("Verdict: pass")
    for part in ("Findings", "Limits", "Cut list", "Load list"):
        assert f"\n{part}\n---" in text
    assert "Not known" not in text
    assert "IRC R1003.9" in text


def test_a_plan_as_json_reads_back_as_the_plan_it_is(tmp_path):
    file = tmp_path / "house.json"
    file.write_text(run("example", "uk"), encoding="utf-8")
    inputs = read_plan_inputs(file.read_text(encoding="utf-8"))
    plan = make_plan(inputs.survey, inputs.appliance, inputs.chimney, inputs.rulebook)
    assert Plan.from_dict(json.loads(run("plan", str(file), "--json"))) == plan


@pytest.mark.parametrize("drawing", ["elevation", "ceiling", "roof", "draft-by-weather", "draft-by-height"])
def test_a_drawing_comes_out_well_formed(drawing):
    root = ElementTree.fromstring(run("plan", str(EXAMPLES / "us.json"), "--drawing", drawing))
    assert root.tag.endswith("svg")


def test_a_drawing_of_what_is_not_known_is_refused():
    sentence = run("plan", "-", "--drawing", "draft-by-height", given='{"rulebook": "us"}', status=2)
    assert "draft-by-height cannot be drawn" in sentence


def test_what_is_missing_is_named_and_nothing_is_made_up():
    text = run("plan", "-", given='{"rulebook": "us"}')
    assert text.startswith("Verdict: unknown")
    assert "\nNot known\n" in text


def test_units_of_the_sentences_may_be_chosen():
    house = {**example(), "system": "metric"}
    assert "356 mm" in run("plan", "-", given=json.dumps(house))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ("{", "line 1, column 2"),
        ("[]", "the file holds a list"),
        ('{"rulebook": "fr"}', "rulebook: 'fr' is none; choose one of ca, uk, us"),
        ("{}", "rulebook: None is none"),
        ('{US, "stove": {}}', "stove: not known; the keys are"),
        ('{US, "system": "nautical"}', "system: 'nautical'"),
        ('{US, "survey": []}', "survey: it holds a list"),
        ('{US, "survey": {"rear": 1}}', "survey.rear: not known; the names are placement"),
        ('{US, "survey": {"rear_wall": "14"}}', "survey.rear_wall: “14” has no unit"),
        ('{US, "survey": {"rear_wall": "near"}}', "survey.rear_wall: "),
        ('{US, "survey": {"rear_wall": true}}', "survey.rear_wall: it holds true or false"),
        ('{US, "survey": {"rear_wall": -1}}', "survey.rear_wall: -1 cannot be negative"),
        ('{US, "survey": {"rear_wall": NaN}}', "survey.rear_wall: nan is not a number"),
        ('{US, "survey": {"roof_rise": "steep"}}', "survey.roof_rise: "),
        ('{US, "survey": {"connector_elbows": 1.5}}', "survey.connector_elbows: it holds a number"),
        ('{US, "survey": {"placement": 1}}', "survey.placement: it holds a number; write text"),
        ('{US, "survey": {"obstacles": {}}}', "survey.obstacles: it holds an object; write a list"),
        ('{US, "survey": {"obstacles": [{}]}}', "survey.obstacles[0]: name, distance, height has"),
        ('{US, "survey": {"tolerances": {"rear_wall": "x"}}}', "survey.tolerances.rear_wall: "),
        ('{US, "survey": {"tolerances": 1}}', "survey.tolerances: it holds a number"),
        ('{US, "appliance": {"listed": "yes"}}', "appliance.listed: it holds text"),
        ('{US, "appliance": {"least_draft": "12"}}', "appliance.least_draft: “12” has no unit"),
        ('{US, "chimney": {"sections": [{"name": "a", "length": "1 m"}]}}', "effective_length has"),
    ],
)  # fmt: skip
def test_what_is_not_understood_is_refused_in_one_sentence_that_names_the_place(change, says):
    sentence = run("plan", "-", given=change.replace("US", '"rulebook": "us"'), status=2)
    assert sentence.startswith("python -m calcs: ")
    assert says in sentence
    assert sentence.count("\n") == 1


def test_a_file_that_is_not_there_or_no_text_is_refused(tmp_path):
    assert "nowhere.json: No such file" in run("plan", str(tmp_path / "nowhere.json"), status=2)
    (tmp_path / "photo.json").write_bytes(b"\xff\xd8\xff")
    assert "photo.json: it is no text in UTF-8" in run("plan", str(tmp_path / "photo.json"), status=2)


def test_rules_are_printed_with_their_sources_and_searched():
    book = load_rulebook("ca")
    everything = run("rules", "ca").splitlines()
    assert len(everything) == len(book.rules) + sum(len(table.rows) for table in book.tables.values())
    assert run("rules", "us", "R1003.9", "radius").splitlines() == [
        line
        for line in run("rules", "us").splitlines()
        if line.startswith(("termination.above_radius", "termination.radius"))
    ]  # fmt: skip
    assert "no rule of us holds" in run("rules", "us", "zzz", status=2)
    assert "choose one of ca, uk, us" in run("rules", status=2)


def test_a_reader_that_stops_early_is_no_error():
    process = subprocess.Popen(
        [sys.executable, "-m", "calcs", "rules", "--markdown"],
        cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    assert process.stdout is not None
    process.stdout.readline()
    process.stdout.close()
    assert process.stderr is not None
    assert process.stderr.read() == b""
    process.stderr.close()
    assert process.wait() == 0


def test_every_figure_of_the_inputs_is_of_a_known_kind():
    kinds = input_kinds()
    assert set(kinds.values()) <= {"length", "slope", "ratio", *KINDS}
    for name, kind in kinds.items():
        told = name.partition(".")[2]
        assert ("temperature" in told) == (kind == "temperature"), name
        assert ("draft" in told) == (kind == "draft"), name
        assert ("output" in told and "draft" not in told) == (kind == "power"), name
        assert ("resistance" in told) == (kind == "thermal resistance"), name
