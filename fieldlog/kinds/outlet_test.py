"""A test of an outlet of the rig."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from fieldlog.kinds import checks
from fieldlog.kinds.kind import Extent, Kind, counted
from fieldlog.kinds.rules import subject_is
from fieldlog.model.bodies import BodyOutletTest
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.model.rig import Chain
from fieldlog.words.wording import VERDICTS


def _at_the_rig(record: Record[BodyOutletTest]) -> Iterator[Problem]:
    if record.body["check"].get("where") != "rig":
        yield Problem("/body/check/where", "An outlet test is made at the rig; where has to be rig.")


def _says(body: BodyOutletTest) -> Mapping[str, Any]:
    sets = [body["check"], *body["check"].get("more", ())]
    return {
        "verdict": body["judgement"]["verdict"],
        "read": [name for name in ("volts", "lamps") if any(name in one for one in sets)],
        "loaded": any("volts" in one.get("loaded", {}) for one in sets),
    }


def _in_years(tests: Sequence[Chain[BodyOutletTest]]) -> str:
    endings = Counter(str(test.body["judgement"]["verdict"]) for test in tests)
    told = ", ".join(f"{count} “{VERDICTS[ending]}”" for ending, count in sorted(endings.items()))
    return f"{counted(len(tests), 'test', 'tests')} of outlets: {told}."


KIND: Final[Kind[BodyOutletTest]] = Kind(
    parts=checks.parts,
    in_short=checks.in_short,
    readings=checks.readings,
    rules=(*checks.RULES, _at_the_rig, checks.LAST_RULE),
    log_rules=(subject_is("outlet"),),
    extent=Extent.NEWEST,
    says=_says,
    tidy=checks.tidy,
    is_in_history=True,
    in_years=_in_years,
)
