"""The rule books as pages: any rule with its source, and what a book does not hold."""

from __future__ import annotations

import pytest
from django.urls import reverse

from calcs.checks import Source, SourceKind
from calcs.rule_sheet import not_held
from calcs.rulebook import codes, load_rulebook
from jobs.rule_page import book_page, rule_address, rules_found
from tests.jobs.five import needs_login, refuses_method

pytestmark = pytest.mark.django_db
BOOKS = "/rules/"


def page_of(client, code="us", **asked) -> str:
    return client.get(reverse("rule_book", args=[code]), asked).content.decode()


@pytest.fixture
def client(as_user, installer):
    return as_user(installer)


@pytest.mark.parametrize("code", codes())
def test_a_book_shows_every_rule_and_row_with_figure_source_and_how_it_was_learned(client, code):
    book = load_rulebook(code)
    page = page_of(client, code)
    for key, rule in book.rules.items():
        assert f'id="{key}"' in page
        assert rule.source.reference.replace("'", "&#x27;") in page
    for key, table in book.tables.items():
        assert all(f'id="{key}#{row}"' in page for row in table.rows)
    assert book_page(code).found == len(book.rules) + sum(len(one.rows) for one in book.tables.values())


@pytest.mark.parametrize("code", codes())
def test_a_book_names_what_it_does_not_hold(client, code):
    page = page_of(client, code)
    for key, books in not_held(code):
        assert f"<code>{key}</code>" in page
        assert code not in books


def test_one_rule_stands_alone_with_what_the_other_books_say(client):
    page = page_of(client, rule="termination.radius").split('aria-label="Outlet above the roof"')[0]
    for words in ("10 ft", "3.048 m", "R1003.9", "Read in the document", "Canada", "3 m"):
        assert words in page


def test_a_rule_the_book_does_not_hold_is_unknown_and_not_replaced(client):
    page = page_of(client, "uk", rule="termination.radius")
    assert "This rule book does not hold it" in page
    assert "unknown" in page
    assert book_page("uk", key="termination.radius").alone.held is False


def test_a_topic_a_book_has_nothing_on_says_so(client):
    assert "ladder" not in {topic for topic, _ in book_page("uk").topics}
    assert "holds nothing on this topic" in page_of(client, "uk", topic="ladder")
    assert "does not hold it" in page_of(client, "uk", rule="ladder.angle")


def test_a_row_of_a_table_stands_alone(client):
    alone = book_page("us", key="clearance.grid#masonry").alone
    assert alone.row.line.key == "clearance.grid#masonry"
    assert "3 1/2 in masonry, no air space" in alone.title
    assert (
        book_page("us", key="clearance.grid").alone.table.heads
        == ("36 in", "18 in", "12 in", "9 in", "6 in") * 2
    )


@pytest.mark.parametrize("asked", ["nothing.known", "clearance.grid#nothing", "<b>", "x" * 300, "\x00", "#"])
def test_a_rule_nobody_holds_is_answered_with_a_page(client, asked):
    answer = client.get(reverse("rule_book", args=["us"]), {"rule": asked})
    assert answer.status_code == 200
    assert "<b>”" not in answer.content.decode()


def test_words_are_found_in_one_book_and_in_all(client):
    assert [row.line.key for card, rows in rules_found("R1003.9 radius") for row in rows] == [
        "termination.above_radius", "termination.radius",
    ]  # fmt: skip
    assert 'id="termination.radius"' in page_of(client, q="r1003.9")
    assert 'id="hearth.front.listed"' not in page_of(client, q="r1003.9")
    assert "termination.radius" in client.get(BOOKS, {"q": "R1003.9"}).content.decode()


@pytest.mark.parametrize("text", ["zzz", "“", "<script>", "a" * 2000, "\x00"])
def test_words_in_no_rule_say_what_to_do(client, text):
    for answer in (
        client.get(BOOKS, {"q": text}),
        client.get(reverse("rule_book", args=["ca"]), {"q": text}),
    ):
        assert answer.status_code == 200
        assert "Try fewer words" in answer.content.decode()


def test_a_source_leads_to_its_rule_only_where_the_book_holds_it():
    radius = load_rulebook("us").rules["termination.radius"].source
    assert rule_address("us", radius) == "/rules/us/?rule=termination.radius"
    row = load_rulebook("us").tables["clearance.grid"].rows["masonry"].source
    assert rule_address("us", row) == "/rules/us/?rule=clearance.grid%23masonry"
    assert rule_address("uk", radius) == ""
    assert rule_address("zz", radius) == ""
    assert rule_address("us", Source(SourceKind.LISTING, "sheet 4")) == ""
    assert rule_address("us", None) == ""


def test_a_book_there_is_not_does_not_exist(client):
    assert client.get("/rules/fr/").status_code == 404


@pytest.mark.parametrize("path", [BOOKS, "/rules/us/"])
def test_it_needs_a_login(path):
    needs_login(path)


@pytest.mark.parametrize("path", [BOOKS, "/rules/us/"])
@pytest.mark.parametrize("person", ["owner", "office", "installer", "stranger", "inspector"])
def test_it_opens_for_every_role(path, person, as_user, request):
    assert as_user(request.getfixturevalue(person)).get(path).status_code == 200


@pytest.mark.parametrize("path", [BOOKS, "/rules/us/"])
def test_nobody_writes_to_it(client, path):
    refuses_method(client, path, "post")
    refuses_method(client, path, "delete")
