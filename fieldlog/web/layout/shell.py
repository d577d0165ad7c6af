"""Field pages: static shells that hold nobody's data and may be kept by the browser."""

from typing import Any

from flask import Response, render_template

from fieldlog.web.layout.for_everybody import for_everybody
from fieldlog.web.layout.looks import look_labels


def field_page(template: str, **context: Any) -> Response:
    """Give a field page, the same for everybody; the browser may keep it and asks if it is still right."""
    return for_everybody(render_template(template, look=look_labels(), **context))
