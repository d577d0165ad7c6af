"""The lists of planted faults keep up with the files that they change."""

from collections import Counter

import pytest

from tests.mutants.planted import Mutant, is_there, planted
from tests.repository import ROOT

MUTANTS = list(planted())


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda mutant: mutant.id)
def test_each_fault_fits_its_file_and_names_tests_that_are_there(mutant: Mutant) -> None:
    before = (ROOT / mutant.file).read_text(encoding="utf-8")

    assert mutant.applied_to(before) != before
    assert mutant.harm.endswith(".")
    assert mutant.tests
    assert [test for test in mutant.tests if not is_there(test)] == []


def test_every_area_has_its_faults() -> None:
    areas = Counter(mutant.id.partition("/")[0] for mutant in MUTANTS)

    assert areas.keys() == {"engine", "lifetimes", "outbox", "proving", "rig", "store", "sync", "trend"}
    assert min(areas.values()) >= 10
    assert areas.total() >= 70
