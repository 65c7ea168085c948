"""Opens every page somebody finds by following links from the first one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from html.parser import HTMLParser
from urllib.parse import urldefrag, urljoin

from django.test import Client

MOST = 400
#: A calendar leads on for ever; so many showings of one page tell enough.
SHOWINGS = 3


class _Links(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        address = told.get("href") if tag == "a" else told.get("hx-get") or told.get("src")
        if address and tag in {"a", "div", "section", "img"}:
            self.found.append(address)


def pages_found(client: Client, *starts: str) -> Iterator[tuple[str, str]]:
    """Return path and text of every page that can be reached; files are opened and passed over."""
    waiting, seen, shown = [*starts], set(starts), Counter[str]()
    while waiting:
        assert len(seen) < MOST, "links lead on without end"
        path = waiting.pop(0)
        answer = client.get(path)
        if answer.streaming:
            b"".join(answer)
            continue
        assert answer.status_code in {200, 302, 404}, (path, answer.status_code)
        if answer.status_code != 200 or not answer["Content-Type"].startswith("text/html"):
            continue
        text = answer.content.decode()
        yield path, text
        links = _Links()
        links.feed(text)
        for link in links.found:
            there = urldefrag(urljoin(path, link)).url
            page = there.partition("?")[0]
            inside = there.startswith("/") and not there.startswith(("//", "/static/"))
            if inside and there not in seen and shown[page] < SHOWINGS:
                shown[page] += 1
                seen.add(there)
                waiting.append(there)
