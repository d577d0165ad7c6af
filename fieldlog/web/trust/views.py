"""How a phone comes to reach the program over https: the page that leads there, and the root to trust."""

from typing import Final

from flask import Blueprint, Flask, make_response, redirect, render_template, request
from flask.typing import ResponseReturnValue

from fieldlog.errors import NotFound
from fieldlog.reports.qr import qr_path
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.reach import hostname, is_loopback
from fieldlog.web.trust.root import Root, read_root

# What the door over plain http lets through: what one needs to trust the root, and what the page looks like.
AT_THE_DOOR: Final = ("/trust", "/trust/root.crt")

blueprint = Blueprint("trust", __name__, template_folder="templates")


@blueprint.get("/trust")
def trust() -> ResponseReturnValue:
    """Say how this phone reaches the program, what that means, and how to come to https."""
    root = _root()
    address = page_address(root)
    return render_template(
        "trust/trust.html",
        root=root,
        address=address,
        qr=qr_path(address),
        sites=[_site("https", host, parts().settings.port) for host in root.hosts] if root else [],
        is_here=is_loopback(hostname()),
        is_at_the_door=root is not None and not request.is_secure,
    )


@blueprint.get("/trust/root.crt")
def root_certificate() -> ResponseReturnValue:
    """Give the root of the home network, for a phone to trust."""
    root = _root()
    if root is None:
        raise NotFound("root")
    response = make_response(root.pem)
    # Shown, not saved: some phones offer to trust a root only when it is opened from its page.
    response.headers["Content-Disposition"] = 'inline; filename="fieldlog-root.crt"'
    response.headers["Content-Type"] = "application/x-x509-ca-cert"
    return response


def page_address(root: Root | None) -> str:
    """Give the address of the page for another phone: at the door, and under a name that others can reach."""
    host = hostname()
    if root is None:
        return request.base_url
    if is_loopback(host) or not host:
        host = (*root.addresses, *root.names)[0]
    return _site("http", host, parts().settings.trust_port) + "trust"


def guard_the_door(app: Flask) -> Flask:
    """Let an app answer only what a phone needs before it trusts the root; all else leads to the page."""
    app.before_request_funcs.setdefault(None, []).insert(0, _lead_to_the_page)  # before any body is read
    return app


def _lead_to_the_page() -> ResponseReturnValue | None:
    if request.path in AT_THE_DOOR or request.path.startswith("/static/"):
        return None
    return redirect("/trust", 303)


def _root() -> Root | None:
    """Give the root while it is in use: not one that was made once, when the program is served otherwise."""
    settings = parts().settings
    return read_root(settings.home) if settings.trust_port else None


def _site(scheme: str, host: str, port: int) -> str:
    usual = {"https": 443, "http": 80}[scheme]
    shown = f"[{host}]" if ":" in host else host
    return f"{scheme}://{shown}/" if port == usual else f"{scheme}://{shown}:{port}/"
