"""What a tagged PDF still needs after WeasyPrint: feet that are no content, files that are named once.

WeasyPrint builds structure elements for what stands in a page's margins and hangs them nowhere. Read aloud,
the foot of every page would belong to no place in the text. ISO 32000-1, 14.8.2.2.2 has a word for it: a
pagination artifact.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pydyf
from weasyprint import Document

_ELEMENT = "/StructElem"


def paper_finish(document: Document, pdf: pydyf.PDF) -> None:
    """Turn margin boxes into artifacts, name every embedded file once; called before the file is written."""
    _files_once(pdf)
    elements = {
        bytes(one.reference): one
        for one in pdf.objects
        if isinstance(one, pydyf.Dictionary) and one.get("Type") == _ELEMENT
    }
    root = pdf.objects[_number(pdf.catalog["StructTreeRoot"])]
    placed = set(_below(root, elements))
    loose = {reference: one for reference, one in elements.items() if reference not in placed}
    pages = {bytes(one.reference): one for one in pdf.objects if _is_page(one)}
    numbers = _page_numbers(pdf, root)
    for one in loose.values():
        page = pages[bytes(one["Pg"])]
        content = pdf.objects[_number(page["Contents"])]
        for kid in one["K"]:
            if isinstance(kid, int) and _mark_as_foot(content, kid):
                numbers[page["StructParents"]][kid] = "null"
    for one in loose.values():
        # Emptied and not removed: the writer's table of places counts every object.
        one.clear()
    for page in numbers.values():
        while isinstance(page, list) and page and page[-1] == "null":
            page.pop()


def _files_once(pdf: pydyf.PDF) -> None:
    if "AF" in pdf.catalog:
        pdf.catalog["AF"] = pydyf.Array(dict.fromkeys(pdf.catalog["AF"]))


def _is_page(one: Any) -> bool:
    return isinstance(one, dict) and one.get("Type") == "/Page"


def _number(reference: bytes) -> int:
    return int(reference.split()[0])


def _below(element: Any, elements: dict[bytes, Any]) -> Iterator[bytes]:
    """Every element that the structure tree leads to."""
    waiting = [element]
    while waiting:
        for kid in waiting.pop()["K"]:
            if isinstance(kid, bytes) and kid in elements:
                yield kid
                waiting.append(elements[kid])


def _page_numbers(pdf: pydyf.PDF, root: Any) -> dict[int, Any]:
    """The structure elements of each page by the numbers of its marked content."""
    numbered = pdf.objects[_number(root["ParentTree"])]["Nums"]
    return dict(zip(numbered[::2], numbered[1::2], strict=True))


def _mark_as_foot(content: pydyf.Stream, number: int) -> bool:
    parts = content.stream
    for place, part in enumerate(parts):
        if isinstance(part, dict) and part.get("MCID") == number:
            parts[place - 1] = "/Artifact"
            parts[place] = pydyf.Dictionary({"Type": "/Pagination", "Subtype": "/Footer"})
            return True
    return False
