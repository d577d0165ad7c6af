"""python -m tests.mutants [--all] [NAME…]: plants each fault, or those so named, and says what caught it.

A name is the beginning of one. With --all every test that a fault names is tried, not only up to the first
that catches it.
"""

import sys
import tempfile
import time
from collections import Counter
from collections.abc import Collection, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import SimpleQueue

from tests.mutants.planted import Mutant, planted
from tests.mutants.trying import Copy, Outcome

AT_ONCE = 2


def main(arguments: list[str]) -> int:
    """Try the faults that are asked for, and give 0 where each was caught."""
    is_all = "--all" in arguments
    asked = tuple(name for name in arguments if name != "--all")
    mutants = [mutant for mutant in planted() if mutant.id.startswith(asked or "")]
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        copies = [Copy(Path(folder) / str(number)) for number in range(AT_ONCE)]
        clean = {test for mutant in mutants for test in (mutant.tests if is_all else mutant.tests[:1])}
        if not _pass(copies, clean):
            return 1
        print(f"Without a fault they pass, in {time.monotonic() - began:.0f} s.", flush=True)
        counts = _tried(copies, mutants, clean, is_all)
    for area in sorted({area for area, _ in counts}):
        print(f"{area:<10} {counts[area, True]} of {counts[area, True] + counts[area, False]} caught")
    missed = sum(count for (_, is_caught), count in counts.items() if not is_caught)
    # One that is caught counts as passed.
    print(f"{counts.total() - missed} passed, {missed} failed in {time.monotonic() - began:.0f} s")
    return 1 if missed or not mutants else 0


def _pass(copies: list[Copy], tests: Collection[str]) -> bool:
    """Run tests once, without a fault."""
    named = sorted(tests)
    of_node = [test for test in named if test.endswith(".js")]
    of_pytest = [test for test in named if not test.endswith(".js")]
    outcomes = [copies[0].of_node(of_node)] if of_node else []
    if of_pytest:
        outcomes.append(copies[1].of_pytest(of_pytest, "-n", str(AT_ONCE), "--dist", "worksteal"))
    for outcome in outcomes:
        if outcome.failed:
            print(f"Without any fault this fails: {outcome.failed}\n{outcome.output[-3000:]}")
    return all(outcome.failed is None for outcome in outcomes)


def _tried(
    copies: list[Copy], mutants: list[Mutant], clean: Collection[str], is_all: bool
) -> Counter[tuple[str, bool]]:
    """Plant one fault after another, print a line for each, and count by area which were caught."""
    free: SimpleQueue[Copy] = SimpleQueue()
    for copy in copies:
        free.put(copy)

    def trial(mutant: Mutant) -> tuple[Mutant, list[tuple[str, Outcome]], float]:
        began, copy = time.monotonic(), free.get()
        try:
            outcomes = list(_outcomes(copy, mutant, clean, is_all))
        finally:
            free.put(copy)
        return mutant, outcomes, time.monotonic() - began

    counts = Counter[tuple[str, bool]]()
    with ThreadPoolExecutor(AT_ONCE) as pool:
        for mutant, outcomes, seconds in pool.map(trial, mutants):
            is_caught = any(outcome.catches for _, outcome in outcomes)
            counts[mutant.id.partition("/")[0], is_caught] += 1
            print(f"{'caught' if is_caught else 'NOT CAUGHT':<11} {mutant.id}  {seconds:.1f} s", flush=True)
            for test, outcome in outcomes:
                print(f"            {_words(test, outcome)}", flush=True)
    return counts


def _outcomes(
    copy: Copy, mutant: Mutant, clean: Collection[str], is_all: bool
) -> Iterator[tuple[str, Outcome]]:
    for test in mutant.tests:
        outcome = copy.outcome_with(mutant, test, clean)
        yield test, outcome
        if outcome.catches and not is_all:
            return


def _words(test: str, outcome: Outcome) -> str:
    if outcome.is_broken:
        return f"cannot be told, {outcome.failed} does not load:\n{outcome.output[-2000:]}"
    if outcome.failed is None:
        return f"not by {test}"
    if outcome.fails_anyway:
        return f"cannot be told, {outcome.failed} fails without the fault as well"
    return f"by {outcome.failed}" if outcome.failed.startswith("tests/") else f"by {test}: {outcome.failed}"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
