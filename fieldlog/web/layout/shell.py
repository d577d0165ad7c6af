"""Field pages: static shells that hold nobody's data and may be kept by the browser."""

import re
from typing import Any, Final

from flask import Response, render_template

from fieldlog.web.layout.for_everybody import for_everybody
from fieldlog.web.layout.looks import look_labels

_INDENT: Final = re.compile(r"\s*\n\s*")


def field_page(template: str, **context: Any) -> Response:
    """Give a field page, the same for everybody; the browser may keep it and asks if it is still right.

    Lines begin at their first letter: a phone keeps no indents. No field page has text in which they count.
    """
    page = render_template(template, look=look_labels(), **context)
    return for_everybody(_INDENT.sub("\n", page))
