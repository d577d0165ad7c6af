"""The faults that are planted, as the lists beside this file hold them."""

import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.repository import ROOT

LISTS = Path(__file__).parent
TRIED_AS_TEST = (".py", ".test.js")


class DoesNotFit(Exception):
    """A text that a fault replaces does not stand in its file exactly once."""


@dataclass(frozen=True)
class Mutant:
    """One slip of a programmer.

    Parameters
    ----------
    id : str
        The list it stands in, and its name there.
    file : str
        The file that is changed, below the root.
    change : sequence of (str, str)
        The text that stands there exactly once, and what takes its place.
    harm : str
        What it would do to a person.
    tests : sequence of str
        Files, or tests of a file, each of which is expected to catch it; the quickest first.
    """

    id: str
    file: str
    change: Sequence[tuple[str, str]]
    harm: str
    tests: Sequence[str]

    def applied_to(self, text: str) -> str:
        """Give the file's text with the fault in it."""
        for old, new in self.change:
            if text.count(old) != 1:
                raise DoesNotFit(f"{self.id}: in {self.file} this stands {text.count(old)} times: {old}")
            text = text.replace(old, new)
        return text


def planted() -> Iterator[Mutant]:
    """Go through every fault, in the order of the lists' names."""
    for path in sorted(LISTS.glob("*.toml")):
        for name, fault in tomllib.loads(path.read_text(encoding="utf-8")).items():
            yield Mutant(id=f"{path.stem}/{name}", **fault)


def is_there(test: str) -> bool:
    """Say whether a test that a fault names is in the repository."""
    file, _, name = test.partition("::")
    path = ROOT / file
    if not path.is_file() or not file.endswith(TRIED_AS_TEST):
        return False
    return f"def {name.partition('[')[0]}(" in path.read_text(encoding="utf-8") if name else True
