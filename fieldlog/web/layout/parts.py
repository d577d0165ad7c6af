"""What the views work with: the parts of the running app."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from flask import current_app

from fieldlog.errors import RulebookDamaged
from fieldlog.model.account import Account
from fieldlog.model.bounds import USUAL, Bounds
from fieldlog.model.rulebook import Rulebook
from fieldlog.pdf.jobs import PdfJobs
from fieldlog.store.blobs import Blobs
from fieldlog.store.session import Store
from fieldlog.store.watch import Watch
from fieldlog.sync.inbox import Inbox
from fieldlog.sync.photos import PhotoInbox


@dataclass(frozen=True)
class Settings:
    """What the views may know of the configuration."""

    version: str
    home: Path
    port: int
    trust_port: int
    is_offline_on: bool = True
    signing: Path = Path()
    session_days: int = 90
    bounds: Bounds = USUAL
    pdf_patience_s: float = 5


@dataclass(frozen=True)
class Parts:
    """The store, the rulebook (or why there is none), clock, maker of ids, photos, the watch, PDFs."""

    store: Store
    rulebook_or_damage: Rulebook | RulebookDamaged
    now: Callable[[], datetime]
    new_id: Callable[[], str]
    settings: Settings
    blobs: Blobs
    watch: Watch
    pdfs: PdfJobs

    @property
    def rulebook(self) -> Rulebook:
        """The rulebook; without one nothing is judged, so this raises."""
        if isinstance(self.rulebook_or_damage, RulebookDamaged):
            raise self.rulebook_or_damage
        return self.rulebook_or_damage

    def inbox(self, account: Account) -> Inbox:
        """Where records of an account are handed in, whatever page they come from."""
        return Inbox(self.store, self.rulebook_or_damage, account, self.settings.bounds)

    def photo_inbox(self, account: Account) -> PhotoInbox:
        """Where photos of an account are handed in, after their records."""
        return PhotoInbox(self.store, self.blobs, account, self.settings.bounds)


def parts() -> Parts:
    """Give the parts of the app that serves this request."""
    found: Parts = current_app.extensions["fieldlog"]
    return found
