"""Draws the pages of a record that lies ready: it takes the place of the program that made it ready.

`python -m fieldlog.pdf.pages FOLDER JOB`; what was read is taken away at once.
"""

import sys
from pathlib import Path

from fieldlog.pdf.child import draw_pages, end_as_told, teller, told
from fieldlog.pdf.shelf import Shelf
from fieldlog.reports.paper import Draft


def main() -> None:
    """Draw it, and exit with a status of how it went."""
    shelf, job = Shelf(Path(sys.argv[1])), sys.argv[2]
    tell = teller(shelf, job)
    end_as_told(lambda: told(shelf, job, lambda: draw_pages(shelf, job, _draft(shelf, job), tell)))


def _draft(shelf: Shelf, job: str) -> Draft:
    path = shelf.folder / f"{job}.draft"
    draft = Draft.of_text(path.read_bytes())
    path.unlink()
    return draft


if __name__ == "__main__":
    main()
