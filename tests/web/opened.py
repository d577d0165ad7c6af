"""A form as a browser would send it: every entry of the page's form with what stands in it."""

from html.parser import HTMLParser
from typing import Any

from werkzeug.test import TestResponse

from tests.conftest import Person

Fields = dict[str, Any]


class _Forms(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: dict[str, Fields] = {}
        self.fields: Fields = {}
        self.open: str | None = None
        self.select = self.area = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        name, value = found.get("name") or "", found.get("value") or ""
        if tag == "form":
            self.open = found.get("action") or ""
            self.fields = {}
        elif self.open is None or (not name and tag != "option"):
            return
        elif tag == "input" and found.get("type") in ("radio", "checkbox"):
            if "checked" in found:
                self.fields.setdefault(name, []).append(value)
        elif tag == "input":
            self.fields[name] = value
        elif tag == "select":
            self.select = name
        elif tag == "option" and self.select:
            if "selected" in found or self.select not in self.fields:
                self.fields[self.select] = value
        elif tag == "textarea":
            self.area = name
            self.fields[name] = ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "form" and self.open is not None:
            # One page may hold several forms of one address; the first is meant.
            self.forms.setdefault(self.open, self.fields)
            self.open = None
        self.select = "" if tag == "select" else self.select
        self.area = "" if tag == "textarea" else self.area

    def handle_data(self, data: str) -> None:
        if self.area:
            self.fields[self.area] += data.removeprefix("\r\n").removeprefix("\n")


def form_of(page: str, action: str) -> Fields:
    """Give the entries of the first form with an address that a page holds."""
    reader = _Forms()
    reader.feed(page)
    assert action in reader.forms, (action, list(reader.forms))
    return reader.forms[action]


def opened(person: Person, path: str, action: str | None = None) -> Fields:
    """Open a page and give the entries of its form."""
    answer = person.client.get(path)
    assert answer.status_code == 200, answer.text
    return form_of(answer.text, action or path.partition("?")[0])


def submit(person: Person, path: str, **fields: Any) -> TestResponse:
    """Open a page, change some entries of its form, and send it."""
    action = path.partition("?")[0]
    return person.client.post(action, data={**opened(person, path, action), **fields})
