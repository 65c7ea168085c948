"""The tablet's scripts: their own tests, run by node, and their types, checked by tsc."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.node import ROOT, node_run

SUITES = sorted((ROOT / "tests" / "tablet").rglob("*.test.js"))
PROJECTS = sorted(ROOT.glob("tsconfig*.json"))


def test_the_tablets_own_tests_pass():
    assert SUITES
    done = node_run(["--test", *(str(path.relative_to(ROOT)) for path in SUITES)])
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("project", PROJECTS, ids=lambda path: path.stem)
def test_the_types_of_the_scripts_are_sound(project: Path):
    done = node_run(["node_modules/typescript/bin/tsc", "-p", project.name])
    assert done.returncode == 0, done.stdout + done.stderr


def test_a_type_that_is_not_sound_would_be_seen(tmp_path):
    script = tmp_path / "wrong.js"
    script.write_text("/** @type {number} */\nexport const count = 'three';\n", encoding="utf-8")
    options = ["--checkJs", "--noEmit", "--strict", "--target", "es2022", "--types", ""]
    done = node_run(["node_modules/typescript/bin/tsc", *options, str(script)])
    assert "TS2322" in done.stdout
