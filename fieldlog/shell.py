"""The shell: the pages and files that a phone keeps, in order to open them without the server.

static/sw.js holds the list, and the version that names it, as data between two marks; they are made here.
The version is the hash of all that is kept, so a phone can tell whether what came is whole and of one piece.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping
from typing import Final

# What an address looks like, and the page that is kept for it; script fills the page by its address.
PAGES: Final[Mapping[str, str]] = {
    "^/$": "/",
    "^/arrive$": "/arrive",
    "^/phone$": "/phone",
    "^/phone/try$": "/phone/try",
    "^/sign-out$": "/sign-out",
    "^/round$": "/round",
    "^/changes/new$": "/changes/new",
    "^/incidents/new$": "/incidents/new",
    "^/plan$": "/plan",
    "^/changes/[0-9a-fA-F-]{36}$": "/changes/shell",
    "^/grounds$": "/changes/shell",
    "^/checks/[0-9a-fA-F-]{36}$": "/checks/shell",
    "^/outlets/[0-9a-fA-F-]{36}$": "/outlets/shell",
    "^/rigs/[0-9a-fA-F-]{36}/map$": "/rigs/map-shell",
}
UNREACHED: Final = "/offline"
OTHERS: Final = (UNREACHED, "/manifest.webmanifest", "/rulebook.json", "/rig-rules.json", "/plan-tables.json")
BIG_ICONS: Final = ("icons/sign-512.png", "icons/sign-full-512.png")
# Under static/, but no part of a field page; the big icons are asked for once, at the installing.
LEFT_OUT: Final = ("sw.js", "sw-off.js", "img/", "js/package.json", "icons/sign-full.svg", *BIG_ICONS)
# What stands in the joined files is kept once.
JOINED: Final = "joined/"
SOURCES: Final = ("js/", "css/")
BEGIN: Final = "// The list, written by `fieldlog shell`.\n"
END: Final = "// The end of the list.\n"


def addresses(static: Iterable[str]) -> list[str]:
    """Give the addresses of all that is kept, in order; static holds the names of the files under static/."""
    names = list(static)
    left_out = LEFT_OUT + (SOURCES if any(name.startswith(JOINED) for name in names) else ())
    files = {f"/static/{name}" for name in names if not name.startswith(left_out)}
    return sorted({*PAGES.values(), *OTHERS, *files})


def version_of(contents: Mapping[str, bytes]) -> str:
    """Name what is kept, by the hash of addresses, lengths and contents."""
    whole = hashlib.sha256()
    for address in sorted(contents):
        whole.update(f"{address}\n{len(contents[address])}\n".encode() + contents[address])
    return whole.hexdigest()[:12]


def with_list(worker: str, contents: Mapping[str, bytes]) -> str:
    """Give the worker's source with the list and the version of these contents in it."""
    before, begin, rest = worker.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not (begin and end):
        raise ValueError("The marks of the list are missing.")
    pages = ",\n".join(f"  {json.dumps(pair)}" for pair in PAGES.items())
    files = ",\n".join(f"  {json.dumps(address)}" for address in sorted(contents))
    version = f'const VERSION = "{version_of(contents)}";\n'
    lists = f"const PAGES = [\n{pages},\n];\nconst FILES = [\n{files},\n];\n"
    return before + begin + version + lists + end + after
