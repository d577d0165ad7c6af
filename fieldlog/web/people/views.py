"""Signing in and out, the first account, and the page of one's own: password, sessions, removal."""

from fieldlog.web.people import own, removing, signing
from fieldlog.web.people.blueprint import blueprint

PAGES = (signing, own, removing)
KEPT = {"^/sign-out$": "/sign-out"}

__all__ = ["KEPT", "PAGES", "blueprint"]
