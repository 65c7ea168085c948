"""Rule books: what they hold and what their files are refused for."""

import tomllib
from datetime import date

import pytest

from calcs.checks import Check, Outcome, Provenance
from calcs.clearance import reduced_clearance
from calcs.rulebook import FOLDER, as_rulebook, codes, load_rulebook, read_rulebook
from calcs.servicing import next_due

HEAD = """
code = "xx"
title = "Nowhere"
edition = "1"
[sources]
law = {kind = "code", reference = "The Law", edition = "1900"}
"""
GOOD = '{value = 1, unit = "in", source = "law", provenance = "read"}'


def read(text: str):
    return read_rulebook((HEAD + text).encode(), "xx.toml")


def test_there_is_a_book_for_each_jurisdiction_and_it_is_read_once():
    assert codes() == ("ca", "uk", "us")
    assert load_rulebook("us") is load_rulebook("us")


@pytest.mark.parametrize("code", ["", "US", "../us", "fr"])
def test_an_unknown_book_is_refused_with_the_list_of_those_there_are(code):
    with pytest.raises(ValueError, match="ca, uk, us"):
        load_rulebook(code)


@pytest.mark.parametrize("code", ["ca", "uk", "us"])
def test_every_rule_has_a_unit_a_source_and_what_is_printed(code):
    book = load_rulebook(code)
    assert book.rules
    assert len(book.digest) == 64
    for key, rule in book.rules.items():
        assert rule.key == key
        assert rule.source.reference
        assert rule.as_printed
        assert (rule.value is None) == (rule.unit == "words")


@pytest.mark.parametrize("code", ["ca", "uk", "us"])
def test_no_rule_claims_an_edition_that_nobody_stated(code):
    for rule in load_rulebook(code).rules.values():
        if rule.source.reference.startswith("common practice"):
            assert rule.source.edition == ""
        else:
            assert rule.source.edition


def test_a_missing_rule_gives_nothing_and_never_a_default():
    book = load_rulebook("uk")
    assert book.find("connector.slope") is None
    assert book.value("connector.slope") is None
    assert book.limit("connector.slope") is None
    assert book.table("clearance.grid") is None


def test_a_rule_in_words_has_no_figure_and_no_limit():
    book = load_rulebook("us")
    assert book.find("framing.truss").as_printed.startswith("A truss is not cut")
    assert book.value("framing.truss") is None
    assert book.limit("framing.truss") is None


def test_a_limit_takes_the_side_it_is_asked_for():
    book = load_rulebook("us")
    least = book.limit("connector.slope")
    assert (least.minimum, least.maximum) == (pytest.approx(0.25 / 12), None)
    most = book.limit("connector.elbows", "maximum")
    assert (most.minimum, most.maximum) == (None, 2.0)
    span = book.limit("flashing.nail_edge", "range")
    assert (span.minimum, span.maximum) == (pytest.approx(0.009525), pytest.approx(0.01905))
    exact = book.limit("connector.elbows", "exact")
    assert exact.minimum == exact.maximum == 2.0
    assert book.limit("connector.elbows", "range") is None
    with pytest.raises(ValueError, match="side must be"):
        book.limit("connector.elbows", "middle")


def test_figures_are_si_and_the_printed_figure_stays_beside_them():
    rule = load_rulebook("us").find("termination.above_penetration")
    assert rule.value == pytest.approx(0.9144)
    assert (rule.unit, rule.as_printed, rule.section) == ("m", "3 ft", "R1003.9")
    assert load_rulebook("us").value("chimney.continuous_temperature") == pytest.approx(537.7778)


def test_a_table_row_says_where_nothing_is_permitted():
    row = load_rulebook("us").table("clearance.grid").rows["masonry"]
    assert row.figures["above"] == (None,) * 5
    assert row.figures["sides"][0] == pytest.approx(24 * 0.0254)
    assert row.one("nothing") is None


def test_a_row_keeps_its_own_provenance():
    rows = load_rulebook("us").table("clearance.grid").rows
    assert rows["masonry"].source.provenance is Provenance.READ
    assert rows["masonry_ventilated"].source.provenance is Provenance.MEMORY


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            '[a]\nb = {value = 1, unit = "cubit", source = "law", provenance = "read"}',
            "a.b: unknown unit 'cubit'",
        ),
        (
            '[a]\nb = {value = 1, unit = "in", source = "law", provenance = "guess"}',
            "a.b: unknown provenance",
        ),
        ('[a]\nb = {value = 1, unit = "in", source = "law"}', "a.b: unknown provenance"),
        (
            '[a]\nb = {value = 1, unit = "in", source = "lore", provenance = "read"}',
            "a.b: unknown source 'lore'",
        ),
        (
            '[a]\nb = {value = "1", unit = "in", source = "law", provenance = "read"}',
            "a.b: '1' is not a number",
        ),
        (
            '[a]\nb = {value = nan, unit = "in", source = "law", provenance = "read"}',
            "a.b: nan is not a number",
        ),
        ('[a]\nb = {unit = "in", source = "law", provenance = "read"}', "a.b: None is not a number"),
        (
            '[a]\nb = {value = 1, unit = "in", source = "law", provenance = "read", x = 1}',
            "a.b: unknown field x",
        ),
        (f"[a]\nb = {GOOD}\nb = {GOOD}\n[c]\nd = {GOOD}", "xx.toml: a.b: .*line"),
        (f"[a]\nb = {GOOD}\nb = {GOOD}", "xx.toml: a.b: .*"),
        (f"[a]\nb.c = {GOOD}\n[a.b]\nc = {GOOD}", "xx.toml: .*line"),
        ("[a]\nb = 1", "a.b: expected a rule"),
        ("a = [", "xx.toml"),
    ],
)
def test_a_file_not_understood_is_refused_naming_rule_and_file(text, says):
    with pytest.raises(ValueError, match=says) as caught:
        read(text)
    assert str(caught.value).startswith("xx.toml")


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ('{key = "r", name = "R", figure = [1]}', "figure needs 2 figures"),
        ('{key = "r", name = "R", figure = [1, "x"]}', "is not a number"),
        ('{key = "r", name = "R", other = [1, 2]}', "unknown field other"),
        ('{key = "r", name = "R", provenance = "no", figure = [1, 2]}', "unknown provenance"),
        (
            '{key = "r", name = "R", figure = [1, 2]}, {key = "r", name = "R", figure = [1, 2]}',
            "stands twice",
        ),
    ],
)
def test_a_table_not_understood_is_refused_naming_row_and_file(row, says):
    text = (
        '[table.a.b]\nsource = "law"\nprovenance = "read"\nfields = {figure = "in"}\n'
        f'columns = [2, 1]\ncolumns_unit = "in"\nrows = [{row}]\n'
    )
    with pytest.raises(ValueError, match=says) as caught:
        read(text)
    assert str(caught.value).startswith("xx.toml: a.b[r]")


@pytest.mark.parametrize("needed", ["code", "title", "edition", "sources"])
def test_a_book_without_its_head_is_refused(needed):
    lines = [line for line in HEAD.splitlines() if needed not in line]
    if needed == "sources":
        lines = [line for line in lines if not line.startswith("law")]
    with pytest.raises(ValueError, match=f"the book needs {needed}"):
        read_rulebook("\n".join(lines).encode(), "xx.toml")


def test_a_kind_of_source_that_is_none_is_refused():
    with pytest.raises(ValueError, match="unknown kind of source 'rumour'"):
        read_rulebook((HEAD.replace('"code", ref', '"rumour", ref') + f"[a]\nb = {GOOD}").encode(), "xx.toml")


@pytest.mark.parametrize("code", ["ca", "uk", "us"])
def test_every_source_named_in_a_file_is_used(code):
    text = (FOLDER / f"{code}.toml").read_text(encoding="utf-8")
    for name in tomllib.loads(text)["sources"]:
        assert f'source = "{name}"' in text


def test_a_rule_makes_a_check():
    limit = load_rulebook("us").limit("connector.screws_per_joint")
    assert Check("connector.screws_per_joint", 3, limit).outcome is Outcome.PASS
    assert Check("connector.screws_per_joint", 2, limit).outcome is Outcome.FAIL
    assert Check("connector.screws_per_joint", None, limit).outcome is Outcome.UNKNOWN


def test_a_source_leads_back_to_its_rule_or_row():
    book = load_rulebook("us")
    for key, rule in book.rules.items():
        assert rule.source.rule == key
    for key, table in book.tables.items():
        assert table.source.rule == key
        assert {row.source.rule for row in table.rows.values()} == {f"{key}#{row}" for row in table.rows}


def test_a_row_keeps_its_cells_as_printed():
    table = load_rulebook("us").table("clearance.grid")
    assert table.heads == ("36 in", "18 in", "12 in", "9 in", "6 in")
    assert table.fields["sides"] == ("in", "m")
    assert table.rows["masonry"].as_printed["sides"] == ("24", "12", "9", "6", "5")
    assert table.rows["masonry"].as_printed["above"] == ("-",) * 5


def test_a_public_function_takes_a_rule_book_or_its_code():
    for code in codes():
        assert as_rulebook(code) is as_rulebook(load_rulebook(code)) is load_rulebook(code)
    by_code = reduced_clearance(36 * 0.0254, "metal_ventilated", "side", "us")
    assert by_code == reduced_clearance(36 * 0.0254, "metal_ventilated", "side", load_rulebook("us"))
    assert next_due(date(2026, 1, 31), "annual sweep", "us") == date(2027, 1, 31)
    with pytest.raises(ValueError, match=r"^rulebook: there is no 'fr'; choose one of ca, uk, us"):
        reduced_clearance(0.9, "metal_ventilated", "side", "fr")
