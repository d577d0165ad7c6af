"""The signed record of a rig in the store, and checkpoints of its log."""

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from fieldlog.bundle.checkpoint import Checkpoint
from fieldlog.bundle.document import Issue, Scope, rig_record
from fieldlog.errors import NotFound
from fieldlog.model.restore import Restore
from fieldlog.model.rig import Rig
from fieldlog.model.rulebook import Rulebook
from fieldlog.store.ends import readable_logs
from fieldlog.store.log import assert_log_holds
from fieldlog.store.restore import restores_noted
from fieldlog.store.rigs import rig_with_all
from fieldlog.store.session import Store
from fieldlog.sync.signing_keys import SigningKeys


def signed_record(
    store: Store,
    rulebook: Rulebook,
    owner: str,
    rig: str,
    *,
    keys: SigningKeys,
    scope: Scope,
    made_at: datetime,
) -> dict[str, Any]:
    """Sign the record of a rig that an account reads.

    Raises LogDamaged where its log does not hold, NotFound where there is no such rig.
    """
    with store.reading() as tx:
        found = rig_with_all(tx, owner, rig)
        if found is None:
            raise NotFound("rig")
        assert_log_holds(tx, owner, rig)
        restores = restores_noted(tx, owner, rig)
    return signed_of(found, restores, rulebook, keys=keys, scope=scope, made_at=made_at)


def signed_of(
    rig: Rig,
    restores: Sequence[Restore],
    rulebook: Rulebook,
    *,
    keys: SigningKeys,
    scope: Scope,
    made_at: datetime,
) -> dict[str, Any]:
    """Sign the record of a rig that was read with its whole log, which holds."""
    issue = Issue(key=keys.key, changes=keys.changes, made_at=made_at, rulebook=rulebook.id)
    return rig_record({"id": rig.id, "name": rig.name}, rig.log, restores, scope, issue)


def as_file(document: Mapping[str, Any]) -> bytes:
    """Give a signed record as the file that is handed on."""
    return (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode()


def checkpoint(store: Store, owner: str, rig: str, *, made_at: datetime) -> Checkpoint:
    """Give where the log of a rig stands; raises NotFound where an account reads none."""
    with store.reading() as tx:
        end = readable_logs(tx, owner)
        assert_log_holds(tx, owner, rig)
    at = next((place for key, place in end.items() if key.log == rig and place.position), None)
    if at is None:
        raise NotFound("rig")
    return Checkpoint(rig, at.position, at.head, f"{made_at:%Y-%m-%d}")
