"""The published schemas stay what the code reads and writes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from django.conf import settings
from jsonschema import Draft202012Validator

from inspections.schemas import schemas_written

FOLDER = Path(settings.BASE_DIR) / "docs" / "schemas"
#: Records are held to the last by tests/inspections/test_certificate_record.py.
BY_HAND = {"certificate-record.1.json", "certificate-record.2.json"}


@pytest.mark.parametrize("name", schemas_written())
def test_a_published_schema_is_what_the_command_writes(name):
    kept = (FOLDER / name).read_text(encoding="utf-8")
    assert kept == schemas_written()[name], "run: .venv/bin/python manage.py write_schemas"


def test_no_schema_is_published_that_nobody_writes():
    assert {path.name for path in FOLDER.iterdir()} == {*schemas_written(), *BY_HAND}


@pytest.mark.parametrize("name", [name for name in schemas_written() if name != "tablet-api.json"])
def test_a_published_schema_is_sound_to_an_outside_reader(name):
    Draft202012Validator.check_schema(json.loads(schemas_written()[name]))


def test_every_part_of_the_api_a_description_points_to_is_in_it():
    text = schemas_written()["tablet-api.json"]
    described = json.loads(text)
    pointed = {line.split('"#/')[1].split('"')[0] for line in text.splitlines() if '"$ref"' in line}
    assert pointed
    for place in pointed:
        found = described
        for step in place.split("/"):
            found = found[step]


def test_every_refusal_of_the_api_is_described():
    described = json.loads(schemas_written()["tablet-api.json"])
    for path, methods in described["paths"].items():
        for method, told in methods.items():
            refused = [code for code in told["responses"] if code[0] in "45"]
            assert {"401", "403", "503"} <= set(refused), (path, method)
            for code in refused:
                content = told["responses"][code]["content"]["application/json"]["schema"]
                assert content == {"$ref": "#/components/schemas/Refusal"}
