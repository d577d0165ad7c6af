"""Whether a browser lets a page be kept for later: only over https, or on the machine itself."""

from ipaddress import ip_address
from urllib.parse import urlsplit

from flask import Flask, request


def add_reach(app: Flask) -> None:
    """Give the templates what says whether a page came in a way that lets it be kept."""
    app.jinja_env.globals.update(may_be_kept=may_be_kept)


def may_be_kept() -> bool:
    """Say whether the browser that asks will treat the page as secure (W3C Secure Contexts, 3.1)."""
    return request.is_secure or is_loopback(hostname())


def hostname() -> str:
    """Give the host name of this request without its port; nothing where it has none that can be read."""
    # not request.host: that raises for a host that is not trusted, and the page that says so is made here too
    try:
        return urlsplit("//" + request.headers.get("Host", "")).hostname or ""
    except ValueError:
        return ""


def is_loopback(host: str) -> bool:
    """Say whether a host is the machine itself."""
    if host == "localhost" or host.endswith(".localhost"):
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False
