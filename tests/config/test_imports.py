"""The house is built one way: config on inspections on jobs on calcs, and calcs on nothing of ours."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings

#: From the top to the ground; each may import what lies below it.
LAYERS = ["config", "inspections", "jobs", "calcs"]
#: Everything calcs may not know: it computes, and knows neither pages nor rows nor mail.
OUTSIDE = {"django", "celery", "kombu", "allauth", "weasyprint", "redis", "psycopg", "PIL", "socket"}
ROOT = Path(settings.BASE_DIR)
LONGEST = 400


def imported(source: str) -> Iterator[str]:
    """The modules a file imports, wherever in it."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module


def wrong_imports(layer: str, source: str) -> list[str]:
    """The imports of a file that lead upwards, or out of the computation."""
    above = set(LAYERS[: LAYERS.index(layer)])
    forbidden = above | {"tests"} | (OUTSIDE if layer == "calcs" else set())
    return [module for module in imported(source) if module.partition(".")[0] in forbidden]


def modules(layer: str) -> list[Path]:
    """The files of one layer."""
    return sorted((ROOT / layer).rglob("*.py"))


@pytest.mark.parametrize("layer", LAYERS)
def test_no_file_imports_from_above(layer):
    assert modules(layer)
    wrong = {
        str(path.relative_to(ROOT)): found
        for path in modules(layer)
        if (found := wrong_imports(layer, path.read_text(encoding="utf-8")))
    }
    assert wrong == {}


@pytest.mark.parametrize(
    ("layer", "source", "found"),
    [
        ("jobs", "def f():\n    from inspections.models import SiteRecord", ["inspections.models"]),
        ("calcs", "import django.db", ["django.db"]),
        ("calcs", "import jobs", ["jobs"]),
        ("inspections", "from config import celery_app", ["config"]),
        ("inspections", "from jobs.models import Job\nimport calcs.units", []),
        ("jobs", "from django.conf import settings\nfrom .base import WorkRow", []),
    ],
)
def test_an_import_from_above_is_seen_wherever_it_stands(layer, source, found):
    assert wrong_imports(layer, source) == found


@pytest.mark.parametrize("layer", LAYERS)
def test_no_file_houses_two_nouns(layer):
    long = {
        str(path.relative_to(ROOT)): lines
        for path in modules(layer)
        if "migrations" not in path.parts
        and (lines := len(path.read_text(encoding="utf-8").splitlines())) > LONGEST
    }
    assert long == {}
