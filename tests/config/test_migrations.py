"""Each app's migrations follow one on the other, and nothing of the models is missing from them."""

from __future__ import annotations

from itertools import pairwise

import pytest
from django.core.management import call_command
from django.db.migrations.loader import MigrationLoader

APPS = ["jobs", "inspections"]


@pytest.fixture(scope="module")
def graph():
    return MigrationLoader(None, ignore_no_migrations=True).graph


@pytest.mark.parametrize("app", APPS)
def test_migrations_form_one_line(app, graph):
    line = sorted(name for label, name in graph.nodes if label == app)
    assert [name[:4] for name in line] == [f"{number:04d}" for number in range(1, len(line) + 1)]
    for before, after in pairwise(line):
        parents = [key.key for key in graph.node_map[(app, after)].parents]
        assert [name for label, name in parents if label == app] == [before]
    assert graph.leaf_nodes(app) == [(app, line[-1])]


@pytest.mark.django_db
def test_the_models_have_nothing_the_migrations_lack():
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)
