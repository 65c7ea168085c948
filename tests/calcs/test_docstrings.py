"""Every public calculation says what goes in, in which unit, what comes out and when it refuses."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re

import pytest

import calcs

SECTIONS = ("Parameters", "Returns", "Raises", "Notes", "Examples", "References")
FLOAT = re.compile(r"\bfloat\b")
UNIT = re.compile(r"\[[^\]]+\]")


def _modules():
    yield calcs
    for info in pkgutil.walk_packages(calcs.__path__, "calcs."):
        yield importlib.import_module(info.name)


def _functions():
    for module in _modules():
        for name, thing in inspect.getmembers(module, inspect.isfunction):
            if thing.__module__ == module.__name__ and not name.startswith("_"):
                yield pytest.param(thing, id=f"{module.__name__}.{name}")


FUNCTIONS = list(_functions())


def _doc(thing) -> str:
    return inspect.getdoc(thing) or ""


def _section(doc: str, title: str) -> str:
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^[A-Z]\w+\n-+\n|\Z)", doc, re.MULTILINE | re.DOTALL)
    return found.group(1) if found else ""


def _parameters(thing) -> dict[str, tuple[str, str]]:
    """Name of each documented parameter -> its type and what is said of it."""
    entries = re.split(r"^(?=\S)", _section(_doc(thing), "Parameters"), flags=re.MULTILINE)
    told = {}
    for entry in filter(str.strip, entries):
        name, _, rest = entry.partition(" : ")
        kind, _, words = rest.partition("\n")
        told[name] = (kind, words)
    return told


def _shared(function) -> dict[str, tuple[str, str]]:
    """Parameters that the package describes once for all its functions."""
    package, _, _ = function.__module__.rpartition(".")
    return _parameters(importlib.import_module(package)) if package != "calcs" else {}


def _signature(function) -> list[str]:
    marks = {inspect.Parameter.VAR_POSITIONAL: "*", inspect.Parameter.VAR_KEYWORD: "**"}
    return [marks.get(one.kind, "") + one.name for one in inspect.signature(function).parameters.values()]


def _is_part(function) -> bool:
    """Whether the function takes nothing but what its package describes for all."""
    return not _parameters(function) and set(_signature(function)) <= set(_shared(function))


def _returns(function) -> str:
    return str(inspect.signature(function).return_annotation)


def test_there_are_functions_to_look_at_in_every_package():
    assert len(FUNCTIONS) > 200
    packages = {one.values[0].__module__.rpartition(".")[0] for one in FUNCTIONS}
    assert packages >= {"calcs", "calcs.drawing", "calcs.findings", "calcs.loads"}


@pytest.mark.parametrize("function", FUNCTIONS)
def test_the_docstring_names_the_parameters_of_the_signature(function):
    told = list(_parameters(function))
    if told or not _is_part(function):
        assert told == _signature(function)


@pytest.mark.parametrize("function", FUNCTIONS)
def test_every_figure_has_its_unit_in_brackets(function):
    annotations = inspect.signature(function).parameters
    for name, (kind, words) in _parameters(function).items():
        if FLOAT.search(kind) or FLOAT.search(str(annotations[name.lstrip("*")].annotation)):
            assert UNIT.search(words), f"{name}: say its unit in brackets, such as [m] or [-]"
    if _returns(function) in {"float", "float | None"}:
        told = _doc(function) if _is_part(function) else _section(_doc(function), "Returns")
        assert UNIT.search(told), "say the unit of what is returned in brackets"


@pytest.mark.parametrize("function", FUNCTIONS)
def test_the_docstring_says_what_is_returned(function):
    if not _is_part(function):
        assert bool(_section(_doc(function), "Returns")) == (_returns(function) not in {"None", ""})
    assert _doc(function)


@pytest.mark.parametrize("function", FUNCTIONS)
def test_a_relation_between_figures_names_its_source(function):
    kinds = [str(one.annotation) for one in inspect.signature(function).parameters.values()]
    is_relation = _returns(function).startswith("float") and kinds and all(FLOAT.search(one) for one in kinds)
    assert not is_relation or _section(_doc(function), "References")


@pytest.mark.parametrize("function", FUNCTIONS)
def test_sections_of_a_docstring_stand_in_their_order(function):
    titles = list(re.findall(r"^([A-Z]\w+)\n-+$", _doc(function), re.MULTILINE))
    assert titles == sorted(titles, key=SECTIONS.index)
    for title in titles:
        assert _section(_doc(function), title).strip(), f"{title} says nothing"


@pytest.mark.parametrize("function", FUNCTIONS)
def test_a_function_that_raises_says_so(function):
    raises = "raise ValueError" in inspect.getsource(function)
    assert not raises or _section(_doc(function), "Raises")


def test_a_docstring_that_tells_otherwise_would_be_seen():
    def area(diameter: float) -> float:
        """Area of a circle.

        Parameters
        ----------
        radius : float
            Radius of the circle
        """
        return diameter**2

    area.__module__ = "calcs.draft"
    for check in (
        test_the_docstring_names_the_parameters_of_the_signature,
        test_every_figure_has_its_unit_in_brackets,
        test_the_docstring_says_what_is_returned,
        test_a_relation_between_figures_names_its_source,
    ):
        with pytest.raises(AssertionError):
            check(area)
