"""What was measured at a pedestal, for the park's office, on one page: nobody's name, and no judgement."""

from dataclasses import dataclass
from typing import Final

from fieldlog.model.record import Record
from fieldlog.reports.paper import Draft, draw_draft
from fieldlog.reports.render import TEMPLATES
from fieldlog.words.lines import LineGroup
from fieldlog.words.readings import parts_of_check

END: Final = (
    "This is what a camper read with hand-held instruments. "
    "It is no inspection, and says nothing of what was not read.",
    "Please let whoever looks after the installation have it.",
)


@dataclass(frozen=True)
class SiteReport:
    """The readings of one check at a place, by the clock there."""

    place: str
    read_at: str
    parts: tuple[LineGroup, ...]

    @property
    def halves(self) -> tuple[tuple[LineGroup, ...], tuple[LineGroup, ...]]:
        """Give the parts in two columns of about as many lines.

        Columns that the drawing library evens out by itself take it more than a minute for the largest check.
        """
        lines = [2 + len(part.lines) for part in self.parts]
        cut = next((at for at in range(1, len(lines)) if 2 * sum(lines[:at]) >= sum(lines)), len(lines))
        return self.parts[:cut], self.parts[cut:]


def site_report(record: Record) -> SiteReport:
    """Give the report of an arrival check; who made it, with what and what it means stays out."""
    place, check = record.body.get("place") or {}, record.body["check"]
    site = f"site {place['site']}" if place.get("site") else ""
    return SiteReport(
        place=", ".join(part for part in (str(place.get("park") or ""), site) if part) or "not named",
        read_at=record.observed.strftime("%Y-%m-%d %H:%M"),
        parts=parts_of_check(check),
    )


def render_site_report(report: SiteReport, paper: str) -> bytes:
    """Draw it, on one page but for the longest checks; raises PdfUnavailable without the libraries."""
    document = TEMPLATES.get_template("site-report.html").render(report=report, end=END)
    return draw_draft(Draft(document, TEMPLATES.get_template("site-report.css").render(paper=paper)))
