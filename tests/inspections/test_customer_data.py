"""The table of what is kept about customers, held against every model there is."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from django.db.models import BinaryField, CharField, FileField, ForeignKey, JSONField, Model, Q, TextField

from config.evidence import ROWS
from inspections.models.customer_data import HELD, NOT_THEIRS, Held
from inspections.services.erasing import STEMS
from jobs.models import Customer
from tests.factories import CustomerFactory

WORDS = (CharField, TextField, JSONField, FileField, BinaryField)


def pointed_to(model: type[Model]) -> Iterator[type[Model]]:
    for column in model._meta.concrete_fields:
        if isinstance(column, ForeignKey) and isinstance(column.related_model, type):
            yield column.related_model


def about_customers() -> set[type[Model]]:
    """Every model with a way of foreign keys to a customer, and every model that such a one points to."""
    found: set[type[Model]] = {Customer}
    models = apps.get_models()
    while more := {model for model in models if found.intersection(pointed_to(model))} - found:
        found |= more
    return found | {other for model in found for other in pointed_to(model)}


def forgotten(table: tuple[Held, ...]) -> set[type[Model]]:
    return about_customers() - {held.model for held in table} - set(NOT_THEIRS)


def unsaid(held: Held, *, technical: tuple[str, ...]) -> set[str]:
    """The columns of which the table says neither that they are private nor that they stay."""
    columns = {
        column.name
        for column in held.model._meta.concrete_fields
        # A word from a closed list says nothing that a person wrote.
        if isinstance(column, WORDS) and not column.choices
    }
    return columns - set(held.private) - set(technical)


def test_no_model_about_customers_is_forgotten():
    assert forgotten(HELD) == set()
    assert len({held.name for held in HELD}) == len(HELD)


@pytest.mark.parametrize("held", HELD, ids=lambda held: held.name)
def test_a_model_that_is_not_in_the_table_is_missed(held):
    without = tuple(one for one in HELD if one is not held)
    # A chimney's sections and the like hang on a listing, which no key of theirs leads from to a customer.
    if held.model in about_customers():
        assert forgotten(without) == {held.model}
    else:
        assert held.name == "chimney_sections"


@pytest.mark.parametrize("held", [one for one in HELD if not one.goes], ids=lambda held: held.name)
def test_every_column_with_words_is_private_or_stays(held):
    assert unsaid(held, technical=held.technical) == set()
    if held.technical:
        assert unsaid(held, technical=held.technical[1:]) == {held.technical[0]}
    named = {*held.private, *held.technical, *held.without}
    assert named <= {column.name for column in held.model._meta.concrete_fields}
    assert not set(held.private) & set(held.technical)


@pytest.mark.parametrize("kind", [one for one in ROWS if not one.ages], ids=lambda kind: kind.model)
def test_the_database_lets_go_what_erasing_takes(kind):
    """Its triggers keep every column they are not told to let go, so both tables have to agree."""
    held = next(one for one in HELD if one.model._meta.label == kind.model)
    given = set(kind.forget or {}) | kind.changes
    # Signatures of staff stay; the shop has none of anybody else yet.
    taken = {name for name, leave in held.private.items() if leave.where != Q(user=None)}
    assert taken <= given
    assert held.goes == kind.goes


@pytest.mark.django_db
def test_every_way_leads_to_the_customer():
    customer = CustomerFactory()
    for held in HELD:
        for way in held.ways:
            model: type[Model] = held.model
            for name in way.split("__"):
                if name != "pk":
                    model = model._meta.get_field(name).related_model  # type: ignore[assignment]
            assert model is Customer, (held.name, way)
        assert held.rows(customer).count() == (1 if held.model is Customer else 0)


def test_every_file_that_goes_is_found_in_storage():
    with_files = {held.model for held in HELD for leave in held.private.values() if leave.file}
    assert with_files == set(STEMS)


def test_every_mail_says_whom_it_is_about():
    """A mail that names nobody would be missed by both; one about nobody says so."""
    silent = []
    for folder in ("jobs", "inspections", "config"):
        for path in (Path(settings.BASE_DIR) / folder).rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                is_call = isinstance(node, ast.Call) and getattr(node.func, "id", "") == "mail_queue"
                if is_call and "customer" not in {one.arg for one in node.keywords}:
                    silent.append(f"{path.name}:{node.lineno}")
    assert silent == []
