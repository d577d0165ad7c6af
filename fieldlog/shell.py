"""The shell: the pages and files that a phone keeps, in order to open them without the server.

static/sw.js holds the list, and the version that names it, as data between two marks; they are made here.
The version is the hash of all that is kept, so a phone can tell whether what came is whole and of one piece.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping
from typing import Final

UNREACHED: Final = "/offline"
OTHERS: Final = (UNREACHED, "/manifest.webmanifest", "/rulebook.json", "/rig-rules.json", "/plan-tables.json")
BIG_ICONS: Final = ("icons/sign-512.png", "icons/sign-full-512.png")
# Under static/, but no part of a field page; the big icons are asked for once, at the installing. What is
# shared opens for whoever has no log on a phone, and what is handed over needs the server.
LEFT_OUT: Final = (
    *("sw.js", "sw-off.js", "img/", "js/package.json", "icons/sign-full.svg", *BIG_ICONS),
    *("joined/js/pages/shared.js", "joined/js/pages/take-over.js"),
)
# What stands in the joined files is kept once.
JOINED: Final = "joined/"
SOURCES: Final = ("js/", "css/")
BEGIN: Final = "// The list, written by `fieldlog shell`.\n"
END: Final = "// The end of the list.\n"


def addresses(static: Iterable[str], pages: Mapping[str, str]) -> list[str]:
    """Give the addresses of all that is kept, in order; static holds the names of the files under static/.

    pages holds what an address looks like, and the page that is kept for it; script fills it by its address.
    """
    names = list(static)
    left_out = LEFT_OUT + (SOURCES if any(name.startswith(JOINED) for name in names) else ())
    files = {f"/static/{name}" for name in names if not name.startswith(left_out)}
    return sorted({*pages.values(), *OTHERS, *files})


def version_of(contents: Mapping[str, bytes]) -> str:
    """Name what is kept, by the hash of addresses, lengths and contents."""
    whole = hashlib.sha256()
    for address in sorted(contents):
        whole.update(f"{address}\n{len(contents[address])}\n".encode() + contents[address])
    return whole.hexdigest()[:12]


def with_list(worker: str, contents: Mapping[str, bytes], pages: Mapping[str, str]) -> str:
    """Give the worker's source with the list and the version of these contents in it."""
    before, begin, rest = worker.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not (begin and end):
        raise ValueError("The marks of the list are missing.")
    patterns = ",\n".join(f"  {json.dumps(pair)}" for pair in pages.items())
    files = ",\n".join(f"  {json.dumps(address)}" for address in sorted(contents))
    version = f'const VERSION = "{version_of(contents)}";\n'
    lists = f"const PAGES = [\n{patterns},\n];\nconst FILES = [\n{files},\n];\n"
    return before + begin + version + lists + end + after
