"""The forms of a page as a browser would send them, for tests that send something else."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

#: What no honest person types, and what slipped fingers and broken programs send.
HOSTILE = (
    "", " ", "\x00", "a\x00b", "nan", "-inf", "1e400", "1e300", "-1", "0", "9" * 30, "9" * 5000, "2147483648",
    "-99999999999", "²", "١٢", "1/0", "0001-01-01", "9999-12-31", "2026-02-30", "24:00", "23:59",
    "<script>alert(1)</script>", "'\"><img src=x onerror=alert(1)>", "%s{0}", "\u202e\ufeff", "𝒜😀",
    "a" * 70_000,
    "../../etc/passwd", "a\r\nSet-Cookie: x=1", "{}", "null", "[[[1e400,0]]]", f"[[[{'9' * 400},1],[5,5]]]",
    "[" * 4000, "[[[NaN,1],[2,3]]]", "[[]]", "a@b.example\nBcc: x@y.example", "é@exämple.com", "on", "true",
)  # fmt: skip


@dataclass
class Form:
    """One form: where it goes and what its fields hold."""

    action: str
    method: str
    fields: dict[str, str] = field(default_factory=dict)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self.open: Form | None = None
        self.inside = ""
        self.writes = False
        #: Whether an option of the list being read is sent already: the first, unless another is selected.
        self.chosen = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.open = Form(told.get("action", "").split("#")[0], told.get("method", "get").lower())
            self.forms.append(self.open)
        if self.open is None:
            return
        name = told.get("name", "")
        if tag in {"input", "button"} and name and told.get("type") != "file":
            ticked = told.get("type") not in {"checkbox", "radio"} or "checked" in told
            self.open.fields.setdefault(name, told.get("value", "") if ticked else "")
        if tag in {"select", "textarea"} and name:
            self.inside, self.writes, self.chosen = name, tag == "textarea", False
            self.open.fields.setdefault(name, "")
        if tag == "option" and self.inside and ("selected" in told or not self.chosen):
            self.open.fields[self.inside], self.chosen = told.get("value", ""), True

    def handle_data(self, data: str) -> None:
        if self.open is not None and self.inside and self.writes:
            self.open.fields[self.inside] += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.open = None
        if tag in {"select", "textarea"}:
            self.inside = ""


def forms_of(page: str, path: str) -> list[Form]:
    """Return the forms of a page that change something; signing out is left out."""
    reader = _Reader()
    reader.feed(page)
    for form in reader.forms:
        form.action = form.action or path
        form.fields.pop("csrfmiddlewaretoken", None)
    return [form for form in reader.forms if form.method == "post" and "logout" not in form.action]
