"""Field pages: static shells that hold nobody's data and may be kept by the browser."""

from typing import Any

from flask import Response, make_response, render_template

from fieldlog.web.layout.looks import look_labels


def field_page(template: str, **context: Any) -> Response:
    """Give a field page, the same for everybody; the browser may keep it and asks if it is still right."""
    response = make_response(render_template(template, look=look_labels(), **context))
    response.headers["Cache-Control"] = "no-cache"
    response.add_etag()
    return response
