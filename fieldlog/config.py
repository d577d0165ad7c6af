"""Environment to one frozen Config; the only reader of os.environ."""

import os
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Self

from fieldlog.model.bounds import USUAL, USUAL_FOR_PDF, Bounds, PdfLimits

ROOT = Path(__file__).resolve().parents[1]
MOST: Final = 10**9


@dataclass(frozen=True, kw_only=True)
class Config:
    """Where the app listens, where it keeps what it holds, and whom it answers."""

    data: Path
    database_url: str
    host: str = "127.0.0.1"
    port: int = 8000
    trusted_hosts: tuple[str, ...] = ()
    proxy_hops: int = 0
    trust_port: int = 0
    is_offline_on: bool = True
    photos: str = ""
    head_s: int = 10
    body_s: int = 10
    idle_s: int = 30
    most_connections: int = 1000
    most_by_address: int = 64
    bounds: Bounds = USUAL
    pdf_limits: PdfLimits = USUAL_FOR_PDF

    @classmethod
    def from_environment(cls, environment: Mapping[str, str] = os.environ) -> Self:
        """Read the settings; what is not set has its default."""
        data = Path(environment.get("FIELDLOG_DATA") or ROOT / "var").absolute()
        return cls(
            data=data,
            database_url=environment.get("DATABASE_URL") or f"sqlite:///{data / 'fieldlog.sqlite3'}",
            host=environment.get("HOST") or "127.0.0.1",
            port=_whole_number(environment, "PORT", 8000, 65535),
            trusted_hosts=tuple(environment.get("TRUSTED_HOSTS", "").replace(",", " ").split()),
            proxy_hops=_whole_number(environment, "PROXY_HOPS", 0, 9),
            trust_port=_whole_number(environment, "TRUST_PORT", 0, 65535),
            is_offline_on=_switch(environment, "FIELDLOG_OFFLINE"),
            photos=environment.get("FIELDLOG_PHOTOS", ""),
            head_s=_whole_number(environment, "HEAD_SECONDS", 10, 3600, least=1),
            body_s=_whole_number(environment, "BODY_SECONDS", 10, 3600, least=1),
            idle_s=_whole_number(environment, "IDLE_SECONDS", 30, 3600, least=1),
            most_connections=_whole_number(environment, "MOST_CONNECTIONS", 1000, 100_000, least=1),
            most_by_address=_whole_number(environment, "MOST_BY_ADDRESS", 64, 100_000, least=1),
            bounds=_bounds(environment),
            pdf_limits=PdfLimits(
                time_s=_whole_number(
                    environment, "FIELDLOG_PDF_SECONDS", USUAL_FOR_PDF.time_s, 3600, least=1
                ),
                memory_mb=_whole_number(
                    environment, "FIELDLOG_PDF_MOST_MB", USUAL_FOR_PDF.memory_mb, 100_000, least=1
                ),
            ),
        )

    @property
    def home(self) -> Path:
        """The folder of the home network's certificate; deploy/home/authority.py fills it."""
        return self.data / "home"

    @property
    def signing(self) -> Path:
        """The folder of the keys that sign records; no backup takes it."""
        return self.data / "signing"

    @property
    def photos_address(self) -> str:
        """Where the pictures lie: a folder, or an address of another place."""
        return self.photos or str(self.data / "photos")

    @property
    def pdfs(self) -> Path:
        """The folder of PDFs in the making; nothing in it is kept for long, and no backup takes it."""
        return self.data / "pdfs"

    def secret(self) -> str:
        """Give the key that signs form tokens; made at the first run, readable by its owner only."""
        self.data.mkdir(mode=0o700, parents=True, exist_ok=True)
        path = self.data / "secret"
        fresh = self.data / f".secret-{secrets.token_hex(8)}"
        if not path.exists():
            descriptor = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
            with os.fdopen(descriptor, "w") as file:
                file.write(secrets.token_hex(32))
            _settle(fresh, path)
        return path.read_text()


def _settle(fresh: Path, path: Path) -> None:
    """Give the file its name, unless another worker was first: a link is made whole or not at all."""
    try:
        path.hardlink_to(fresh)
    except FileExistsError:
        pass
    finally:
        fresh.unlink()


def _bounds(environment: Mapping[str, str]) -> Bounds:
    return Bounds(
        records=_whole_number(environment, "FIELDLOG_MOST_RECORDS", USUAL.records, MOST),
        text_mb=_whole_number(environment, "FIELDLOG_MOST_TEXT_MB", USUAL.text_mb, MOST),
        photos_mb=_whole_number(environment, "FIELDLOG_MOST_PHOTOS_MB", USUAL.photos_mb, MOST),
        least_free_mb=_whole_number(environment, "FIELDLOG_LEAST_FREE_MB", USUAL.least_free_mb, MOST),
    )


def _switch(environment: Mapping[str, str], name: str) -> bool:
    text = environment.get(name) or "on"
    if text not in ("on", "off"):
        raise SystemExit(f"{name} is {text!r}; set it to off, or leave it out for on.")
    return text == "on"


def _whole_number(
    environment: Mapping[str, str], name: str, default: int, most: int, *, least: int = 0
) -> int:
    text = environment.get(name) or str(default)
    if not (text.isascii() and text.isdecimal()) or not least <= int(text) <= most:
        span = f"from {least} up to {most}" if least else f"up to {most}"
        raise SystemExit(
            f"{name} is {text!r}; set it to a whole number {span}, or leave it out for {default}."
        )
    return int(text)
