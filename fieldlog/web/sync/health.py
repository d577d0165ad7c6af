"""Says whether the app is ready, and what is wrong when it is not."""

import platform
from typing import Any

from fieldlog.errors import FieldlogError, StoreUnavailable
from fieldlog.store import migrations
from fieldlog.store.session import sqlite_version
from fieldlog.web.layout.parts import Parts


def health(parts: Parts) -> dict[str, Any]:
    """Give readiness, what is wrong, and the versions in use; where logs do not hold, reading goes on."""
    revision, wrong = _schema(parts)
    rulebook = None if isinstance(parts.rulebook_or_damage, FieldlogError) else parts.rulebook_or_damage.id
    if isinstance(parts.rulebook_or_damage, FieldlogError):
        wrong.append(str(parts.rulebook_or_damage))
    wrong += parts.watch.wrong()
    versions = {
        "app": parts.settings.version,
        "python": platform.python_version(),
        "sqlite": sqlite_version(),
        "rulebook": rulebook,
        "schema": revision,
    }
    return {"ready": not wrong, "wrong": wrong, "versions": versions}


def _schema(parts: Parts) -> tuple[str | None, list[str]]:
    try:
        with parts.store.reading() as tx:
            revision = migrations.revision(tx)
    except StoreUnavailable as error:
        return None, [str(error)]
    if revision != migrations.newest_revision():
        return revision, [f"The database stands at {revision}; start the app again so that it is brought up."]
    return revision, []
