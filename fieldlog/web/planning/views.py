"""What can run here: the page of a plan, and the tables that it is worked out by."""

from dataclasses import asdict

from flask import Blueprint, Response

from fieldlog import tables
from fieldlog.model.canonical import canonical
from fieldlog.model.part_kinds import CORD_GAUGES
from fieldlog.web.layout.for_everybody import for_everybody
from fieldlog.web.layout.shell import field_page

blueprint = Blueprint("planning", __name__, template_folder="templates")
KEPT = {"^/plan$": "/plan"}

_LIMITS = ("low-stop", "rig-low-limit", "high-stop")
_OF_WIRES = ("cord-two-", "cord-three-", "ohms-stranded-", "breaker-most-", "ampacity-60-")


@blueprint.get("/plan")
def plan() -> Response:
    """Show the planner; script fills it by what is on the phone."""
    gauges = [(str(awg), f"{awg} AWG") for awg in reversed(CORD_GAUGES)]
    return field_page("planning/plan.html", gauges=gauges)


@blueprint.get("/plan-tables.json")
def show_plan_tables() -> Response:
    """Give the tables of a plan, which phones keep and go by."""
    known = tables.load().entries
    own = [one["id"] for one in tables.entries("facts/planning.json")]
    wanted = [*own, *_LIMITS, *(id for id in known if id.startswith(_OF_WIRES))]
    return for_everybody(canonical({id: asdict(known[id]) for id in wanted}), "application/json")
