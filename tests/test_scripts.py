"""The tablet's scripts: their own tests, run by node, and their types, checked by tsc."""

from __future__ import annotations

import json
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
    (tmp_path / "wrong.js").write_text("/** @type {number} */\nexport const count = 'three';\n")
    told = {"extends": str(ROOT / "tsconfig.json"), "compilerOptions": {"types": []}, "include": ["wrong.js"]}
    (tmp_path / "tsconfig.json").write_text(json.dumps(told), encoding="utf-8")
    done = node_run(["node_modules/typescript/bin/tsc", "-p", str(tmp_path)])
    assert "wrong.js(2,14): error TS2322" in done.stdout


def test_every_script_of_the_tablet_is_in_a_project():
    listed = "".join(
        node_run(["node_modules/typescript/bin/tsc", "-p", project.name, "--listFilesOnly"]).stdout
        for project in PROJECTS
    )
    scripts = [*(ROOT / "static" / "tablet").rglob("*.js"), *(ROOT / "tests" / "tablet").rglob("*.js")]
    assert [str(path) for path in scripts if str(path) not in listed] == []
