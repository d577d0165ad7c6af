"""From a JSON object to a Check: every problem is found at once, in a fixed order.

static/js/engine/intake.js finds the same problems in the same order and words.
"""

from collections.abc import Mapping, Sequence
from typing import Any, TypeGuard

from fieldlog.errors import BadInput
from fieldlog.model.check import (
    CONTINUITIES,
    LAMP_STATES,
    METER_INPUTS,
    METER_RMS,
    MOST_ADAPTERS,
    MOST_SETS,
    PLACES,
    STATES,
    SUPPLIES,
    Check,
    LoadTest,
    Meter,
    ReadingSet,
    Trip,
)
from fieldlog.model.problem import Problem
from fieldlog.model.rulebook import Rulebook

FIELDS = (
    "outlet",
    "supply",
    "where",
    "breaker_amps",
    "hertz",
    "via",
    "meter",
    "volts",
    "lamps",
    "loaded",
    "more",
    "continuity",
    "near",
    "trip",
    "look",
)
DETECTOR_PLACES = ("h", "n", "g", "skin")
SET_FIELDS = ("state", "meter", "volts", "lamps", "loaded")
METER_FIELDS = ("input", "accuracy_percent", "accuracy_volts", "rms")
LOADED_FIELDS = ("across", "amps", "amps_percent", "volts", "after")
_UNKNOWN = "is not a field here; take it out."
_OBJECT = "must be an object with named members."
_LIST = "must be a list."
_BOOLEAN = "must be true or false."
_NEEDED = "is needed."
_EARTH = (
    "is read with a high-impedance meter only: a low-impedance one drives current into the stake. "
    "Read it again with the other meter, or take it out."
)
_NO_CHAIN = "must lead on from the adapter before it, and the last one to the outlet that was read."
_NEEDED_ACROSS = "is needed: say which two contacts the load hangs across."
_TOO_MANY = f"must be at most {MOST_SETS} sets; judge the rest as another check."
_TOO_MANY_ADAPTERS = f"must be at most {MOST_ADAPTERS} adapters."
_NOTHING = "Nothing was read or seen: give volts, lamps, a look or a trip test."


def read_check(value: Any, rulebook: Rulebook) -> Check:
    """Give the Check that a JSON object stands for.

    Parameters
    ----------
    value : JSON value
        As read; `fieldlog assess --help` has its members.
    rulebook : Rulebook
        Ranges and known outlets.

    Returns
    -------
    Check
        With defaults filled in.

    Raises
    ------
    BadInput
        With every problem found, each naming its member.
    """
    reader = _Reader(rulebook)
    check = reader.check(value)
    if reader.problems or check is None:
        raise BadInput(reader.problems)
    return check


class _Reader:
    """Collects problems while it reads."""

    def __init__(self, rulebook: Rulebook) -> None:
        self.problems: list[Problem] = []
        self.rulebook = rulebook
        self.outlets = tuple(rulebook.raw["outlets"])
        self.ranges: Mapping[str, Mapping[str, Any]] = rulebook.raw["inputs"]
        self.family = next(iter(rulebook.families.values()))
        self.supply: str | None = None

    def check(self, value: Any) -> Check | None:
        if not _is_object(value):
            self.problem("", _OBJECT)
            return None
        self.unknown(value, "", FIELDS)
        outlet = self.choice(value, "outlet", "", self.outlets)
        if "outlet" not in value:
            self.problem("/outlet", _NEEDED)
        if outlet is not None:
            self.family = self.rulebook.family_of(outlet)
        self.supply = self.choice(value, "supply", "", SUPPLIES)
        check = Check(
            outlet=outlet or "",
            supply=self.supply or "utility",
            where=self.choice(value, "where", "", PLACES) or "pedestal",
            breaker_amps=self.number(value, "breaker_amps", "", "breaker_amps"),
            hertz=self.number(value, "hertz", "", "hertz"),
            via=self.via(value, outlet),
            sets=(self.reading_set(value, "", "as-found"), *self.more(value)),
            continuity=self.chosen(value, "continuity", "", CONTINUITIES, ("open", "closed")),
            detector=self.detector(value),
            trip=self.trip(value),
            has_no_button=value.get("trip") == [],
            look=self.look(value),
        )
        if "look" not in value and all(
            value.get(name, {}) in ({}, []) for name in ("volts", "lamps", "trip")
        ):
            self.problem("", _NOTHING)
        return check

    def problem(self, at: str, words: str) -> None:
        self.problems.append(Problem(at, words))

    def unknown(self, value: Mapping[str, Any], at: str, known: Sequence[str]) -> None:
        others = [name for name in value if name not in known]
        for name in sorted(others, key=lambda text: text.encode("utf-16-be", "surrogatepass")):
            self.problem(f"{at}/{_escaped(name)}", _UNKNOWN)

    def choice(self, value: Mapping[str, Any], name: str, at: str, allowed: Sequence[str]) -> str | None:
        if name not in value:
            return None
        found = value[name]
        if not isinstance(found, str) or found not in allowed:
            self.problem(f"{at}/{name}", f"must be one of {', '.join(allowed)}.")
            return None
        return found

    def number(self, value: Mapping[str, Any], name: str, at: str, range_id: str) -> float | None:
        if name not in value:
            return None
        found, limits = value[name], self.ranges[range_id]
        is_number = isinstance(found, int | float) and not isinstance(found, bool)
        is_inside = is_number and limits["low"] <= found <= limits["high"]
        if not is_inside or ("above" in limits and found <= limits["above"]):
            start = f"above {limits['above']}" if "above" in limits else f"from {limits['low']}"
            self.problem(f"{at}/{name}", f"must be a number {start} to {limits['high']} {limits['unit']}.")
            return None
        return float(found)

    def boolean(self, value: Mapping[str, Any], name: str, at: str) -> bool | None:
        if name not in value:
            return None
        if not isinstance(value[name], bool):
            self.problem(f"{at}/{name}", _BOOLEAN)
            return None
        return bool(value[name])

    def members(
        self, value: Mapping[str, Any], name: str, at: str, known: Sequence[str]
    ) -> Mapping[str, Any]:
        if name not in value:
            return {}
        found = value[name]
        if not _is_object(found):
            self.problem(f"{at}/{name}", _OBJECT)
            return {}
        self.unknown(found, f"{at}/{name}", known)
        return found

    def items(self, value: Mapping[str, Any], name: str) -> Sequence[Any]:
        if name not in value:
            return ()
        found = value[name]
        if not _is_list(found):
            self.problem(f"/{name}", _LIST)
            return ()
        return found

    def reading_set(self, value: Mapping[str, Any], at: str, state: str) -> ReadingSet:
        meter = self.meter(value, at)
        one = ReadingSet(
            state=state,
            meter=meter,
            volts=self.volts(value, at, meter),
            lamps=self.chosen(value, "lamps", at, self.family.lamp_pairs, LAMP_STATES),
            loaded=self.loaded(value, at, meter),
        )
        return one

    def more(self, value: Mapping[str, Any]) -> list[ReadingSet]:
        found = self.items(value, "more")
        if len(found) > MOST_SETS:
            self.problem("/more", _TOO_MANY)
            return []
        return [self.further_set(one, f"/more/{place}") for place, one in enumerate(found)]

    def further_set(self, value: Any, at: str) -> ReadingSet:
        if not _is_object(value):
            self.problem(at, _OBJECT)
            return ReadingSet()
        self.unknown(value, at, SET_FIELDS)
        return self.reading_set(value, at, self.choice(value, "state", at, STATES) or "as-found")

    def meter(self, value: Mapping[str, Any], at: str) -> Meter:
        found = self.members(value, "meter", at, METER_FIELDS)
        usual, at = Meter(), f"{at}/meter"
        kind = self.choice(found, "input", at, METER_INPUTS)
        percent = self.number(found, "accuracy_percent", at, "accuracy_percent")
        counts = self.number(found, "accuracy_volts", at, "accuracy_volts")
        return Meter(
            input=kind or usual.input,
            accuracy_percent=usual.accuracy_percent if percent is None else percent,
            accuracy_volts=usual.accuracy_volts if counts is None else counts,
            rms=self.choice(found, "rms", at, METER_RMS) or usual.rms,
        )

    def via(self, value: Mapping[str, Any], outlet: str | None) -> tuple[str, ...]:
        known = [f"{one}-to-{other}" for one in self.outlets for other in self.outlets if one != other]
        found: list[str] = []
        for place, adapter in enumerate(self.items(value, "via")):
            if not isinstance(adapter, str) or adapter not in known:
                self.problem(f"/via/{place}", f"must be one of {', '.join(known)}.")
            else:
                found.append(adapter)
        if len(found) > MOST_ADAPTERS:
            self.problem("/via", _TOO_MANY_ADAPTERS)
        onward = [*(one.split("-to-")[0] for one in found[1:]), outlet]
        for place, one in enumerate(found):
            if one.split("-to-")[1] != onward[place] and onward[place] is not None:
                self.problem(f"/via/{place}", _NO_CHAIN)
        return tuple(found)

    def volts(self, value: Mapping[str, Any], at: str, meter: Meter, name: str = "volts") -> dict[str, float]:
        found, at = self.members(value, name, at, self.family.pairs), f"{at}/{name}"
        read: dict[str, float] = {}
        for pair in self.family.pairs:
            volts = self.number(found, pair, at, "volts")
            if volts is not None:
                read[pair] = volts
                if pair.endswith("-e") and meter.input == "low-impedance" and not self.may_drain(pair):
                    self.problem(f"{at}/{pair}", _EARTH)
        return read

    def may_drain(self, pair: str) -> bool:
        """Tell whether a low-impedance meter may read it: ground to earth where the source may float."""
        return pair == "g-e" and self.supply in ("generator", "inverter")

    def loaded(self, value: Mapping[str, Any], at: str, meter: Meter) -> LoadTest | None:
        if "loaded" not in value:
            return None
        found, at = self.members(value, "loaded", at, LOADED_FIELDS), f"{at}/loaded"
        across = self.choice(found, "across", at, self.family.acrosses)
        usual, *others = self.family.acrosses
        if others and "across" not in found:
            self.problem(f"{at}/across", _NEEDED_ACROSS)
        amps = self.number(found, "amps", at, "amps")
        if "amps" not in found:
            self.problem(f"{at}/amps", _NEEDED)
        percent = self.number(found, "amps_percent", at, "accuracy_percent")
        return LoadTest(
            across=across or usual,
            amps=1.0 if amps is None else amps,
            amps_percent=LoadTest.amps_percent if percent is None else percent,
            volts=self.volts(found, at, meter),
            after=self.volts(found, at, meter, "after"),
        )

    def chosen(
        self, value: Mapping[str, Any], name: str, at: str, known: Sequence[str], allowed: Sequence[str]
    ) -> dict[str, str]:
        found = self.members(value, name, at, known)
        told = {one: self.choice(found, one, f"{at}/{name}", allowed) for one in known if one in found}
        return {one: state for one, state in told.items() if state is not None}

    @property
    def detector_places(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys((*self.family.contacts, *DETECTOR_PLACES)))

    def detector(self, value: Mapping[str, Any]) -> dict[str, bool]:
        found = self.members(value, "near", "", self.detector_places)
        told = {name: self.boolean(found, name, "/near") for name in self.detector_places if name in found}
        return {name: state for name, state in told.items() if state is not None}

    def look(self, value: Mapping[str, Any]) -> tuple[str, ...] | None:
        if "look" not in value:
            return None
        seen: list[str] = []
        for place, sign in enumerate(self.items(value, "look")):
            if not isinstance(sign, str) or sign not in self.rulebook.signs:
                self.problem(f"/look/{place}", f"must be one of {', '.join(self.rulebook.signs)}.")
            else:
                seen.append(sign)
        return tuple(seen)

    def trip(self, value: Mapping[str, Any]) -> tuple[Trip, ...]:
        return tuple(
            self.one_trip(test, f"/trip/{place}") for place, test in enumerate(self.items(value, "trip"))
        )

    def one_trip(self, value: Any, at: str) -> Trip:
        if not _is_object(value):
            self.problem(at, _OBJECT)
            return Trip("button")
        self.unknown(
            value, at, ("by", "device", "tripped", "face_dead", "reset", "milliseconds", "milliamps")
        )
        if "by" not in value:
            self.problem(f"{at}/by", _NEEDED)
        return Trip(
            by=self.choice(value, "by", at, ("button", "external")) or "button",
            device=self.choice(value, "device", at, ("this", "upstream")) or "this",
            tripped=self.boolean(value, "tripped", at),
            face_dead=self.boolean(value, "face_dead", at),
            reset=self.boolean(value, "reset", at),
            milliseconds=self.number(value, "milliseconds", at, "milliseconds"),
            milliamps=self.number(value, "milliamps", at, "milliamps"),
        )


def _is_object(value: Any) -> TypeGuard[Mapping[str, Any]]:
    return isinstance(value, Mapping)


def _is_list(value: Any) -> TypeGuard[Sequence[Any]]:
    return isinstance(value, list)


def _escaped(name: str) -> str:
    return name.replace("~", "~0").replace("/", "~1")
