"""Texts that would act if a page took them for more than text, and records that bear them."""

from collections.abc import Iterator
from copy import deepcopy
from typing import Any

from fieldlog.sync.shape import problems_of_shape
from tests.sync.test_shape import changed, places


def acting_texts(port: int) -> list[str]:
    """Give texts, each of at most 100 letters, that would run or call a port of this machine."""
    here = f"http://127.0.0.1:{port}/x"
    return [
        f"<img src={here} onerror=\"fetch('{here}')\">",
        f"<script src={here}></script>",
        f"</script><script>fetch('{here}')</script>",
        f"<style>@import url({here})</style>",
        f"<iframe src={here}></iframe>",
        f"<svg><image href='{here}'/></svg>",
        f"\"'><link rel=stylesheet href={here}>",
        f"javascript:fetch('{here}')",
        f"url({here})",
        f"<a href={here} autofocus onfocus=fetch(this)>",
        f"<object data={here}></object>",
        "{{7*7}}${7*7}<%=7*7%>",
        "\u202e<b>\u2066",
    ]


def with_texts(record: dict[str, Any], texts: Iterator[str]) -> dict[str, Any]:
    """Give a record with one of the texts after the other wherever its shape takes any text."""
    found, text = deepcopy(record), next(texts)
    for at in places(record):
        value: Any = record
        for step in at:
            value = value[step]
        if not isinstance(value, str) or at in (("id",), ("kind",), ("observed_at",)):
            continue
        other = changed(found, at, text)
        if not problems_of_shape(other):
            found, text = other, next(texts)
    return found
