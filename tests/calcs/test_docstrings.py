"""Every public calculation says what goes in, what comes out and when it refuses."""

import importlib
import inspect
import pkgutil
import re

import pytest

import calcs


def _functions():
    for info in pkgutil.iter_modules(calcs.__path__, "calcs."):
        module = importlib.import_module(info.name)
        for name, thing in inspect.getmembers(module, inspect.isfunction):
            if thing.__module__ == info.name and not name.startswith("_"):
                yield pytest.param(thing, id=f"{info.name}.{name}")


FUNCTIONS = list(_functions())
SECTIONS = ("Parameters", "Returns", "Raises", "Notes", "Examples", "References")


def _section(doc: str, title: str) -> str:
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^[A-Z]\w+\n-+\n|\Z)", doc, re.MULTILINE | re.DOTALL)
    return found.group(1) if found else ""


def _documented(doc: str) -> list[str]:
    return re.findall(r"^(\*{0,2}\w+) : ", _section(doc, "Parameters"), re.MULTILINE)


def _signature(function) -> list[str]:
    marks = {inspect.Parameter.VAR_POSITIONAL: "*", inspect.Parameter.VAR_KEYWORD: "**"}
    return [marks.get(one.kind, "") + one.name for one in inspect.signature(function).parameters.values()]


def test_there_are_functions_to_look_at():
    assert len(FUNCTIONS) > 30


@pytest.mark.parametrize("function", FUNCTIONS)
def test_the_docstring_names_the_parameters_of_the_signature(function):
    assert _documented(inspect.getdoc(function) or "") == _signature(function)


@pytest.mark.parametrize("function", FUNCTIONS)
def test_the_docstring_says_what_is_returned(function):
    returns = inspect.signature(function).return_annotation
    told = _section(inspect.getdoc(function) or "", "Returns")
    assert bool(told) == (returns not in {None, "None"})


@pytest.mark.parametrize("function", FUNCTIONS)
def test_sections_of_a_docstring_stand_in_their_order(function):
    doc = inspect.getdoc(function) or ""
    titles = list(re.findall(r"^([A-Z]\w+)\n-+$", doc, re.MULTILINE))
    assert titles == sorted(titles, key=SECTIONS.index)


@pytest.mark.parametrize("function", FUNCTIONS)
def test_a_function_that_raises_says_so(function):
    raises = "raise ValueError" in inspect.getsource(function)
    assert not raises or _section(inspect.getdoc(function) or "", "Raises")
