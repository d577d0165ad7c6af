"""Each finding with its arithmetic, and the rule that gave the verdict."""

from collections.abc import Iterator, Sequence

from fieldlog.engine.assess import held_against
from fieldlog.engine.explanations import Explanations, usable_or_by_ohms
from fieldlog.engine.limits import Finding
from fieldlog.engine.supply import Supply, full_amps, moved_volts
from fieldlog.engine.trace.figures import said
from fieldlog.model.check import Check, LoadTest, Meter, ReadingSet
from fieldlog.model.rulebook import Rulebook

OF_THE_LOOP = ("loop-drop", "source-sags", "loose-joint-hot", "loose-joint-neutral")
RULES = {
    "stop": "a finding says stop",
    "nothing-read": "nothing was read by meter or lamp",
    "mostly-against": "more than {mostly} is held against it, and not by readings that no wiring gives",
    "partly-against": "{hardly} or more is held against it",
    "evidence-missing": "the least evidence for use is missing",
    "forced": "a finding asks for another reading",
    "readings-disagree": "readings do not add up, and leaving some of them out does not refuse the outlet",
    "whichever-left-out": "readings do not add up, and it is refused whichever of them is left out",
    "limit": "a finding limits the use; no stop stands, under {hardly} is held against it, enough is read",
    "nothing-against": "no stop or limit stands, under {hardly} is held against it, and enough is read",
}


def verdict_lines(
    verdict: str, rule: str, check: Check, found: Explanations, rulebook: Rulebook
) -> Iterator[str]:
    """Write what is held against the outlet, and the first rule that applied."""
    if found.probabilities:
        left_out = usable_or_by_ohms(check, rulebook.family_of(check.outlet))
        held = [f"{name} {said(each)}" for name, each in found.probabilities if name not in left_out]
        yield f"Held against it: {said(held_against(check, found, rulebook))} = {' + '.join(held)}"
    words = RULES[rule].format(
        mostly=said(rulebook.limit("against-mostly")), hardly=said(rulebook.limit("against-hardly"))
    )
    yield f"Verdict: {verdict}, because {words}"


def finding_lines(
    findings: Sequence[Finding], check: Check, supply: Supply | None, rulebook: Rulebook
) -> Iterator[str]:
    """Write each finding with the numbers that made it."""
    for finding in findings:
        quantity = f" {finding.quantity}" if finding.quantity else ""
        yield f"  {finding.id}, {finding.level}:{quantity}{_numbers(finding)} [{finding.source}]"
        for line in _arithmetic(finding, check, supply, rulebook):
            yield f"    {line}"


def _numbers(finding: Finding) -> str:
    if finding.value is None:
        return ""
    plus_minus = f" ± {said(finding.uncertainty)}" if finding.uncertainty is not None else ""
    limit = f" against {said(finding.limit)}" if finding.limit is not None else ""
    straddles = "; the value itself lies in a better band" if finding.straddles else ""
    return f" {said(finding.value)}{plus_minus}{limit}{straddles}"


def _arithmetic(finding: Finding, check: Check, supply: Supply | None, rulebook: Rulebook) -> Iterator[str]:
    if finding.id in ("voltage-low", "voltage-high", "legs-208", "meter-too-coarse"):
        yield from _band_lines(finding, check)
    elif finding.id == "trip-slow":
        yield from _trip_lines(check)
    elif supply is not None and finding.id in OF_THE_LOOP:
        yield from _ohms_lines(finding, check, supply, rulebook)


def _band_lines(finding: Finding, check: Check) -> Iterator[str]:
    meter = _meter_of(finding, check)
    if meter is None or finding.value is None or finding.uncertainty is None:
        return
    low, high = finding.value - finding.uncertainty, finding.value + finding.uncertainty
    yield (
        f"{said(finding.uncertainty)} = {said(finding.value)} x {said(meter.accuracy_percent)} / 100 + "
        f"{said(meter.accuracy_volts)}; from {said(low)} to {said(high)} V"
    )


def _meter_of(finding: Finding, check: Check) -> Meter | None:
    """Find the meter that read what a finding is about."""
    quantity = finding.quantity or ""
    pair = quantity.removeprefix("loaded.")
    for one in check.live_sets:
        loaded = one.loaded
        if quantity != pair and loaded is not None and loaded.volts.get(pair) == finding.value:
            return one.meter
        if quantity == pair and one.volts.get(pair) == finding.value:
            return one.meter
    return None


def _trip_lines(check: Check) -> Iterator[str]:
    for trip in check.trip:
        if trip.milliseconds is not None and trip.milliamps is not None:
            seconds, amps = said(trip.milliseconds / 1000.0), said(trip.milliamps)
            yield f"quick enough where {seconds}^100 x ({amps} / 20)^143 <= 1, from (20 / {amps})^1.43 s"


def _ohms_lines(finding: Finding, check: Check, supply: Supply, rulebook: Rulebook) -> Iterator[str]:
    amps, share = full_amps(check, rulebook), rulebook.limit("full-load-share")
    yield f"{said(amps)} A = {said(share)} x {said(amps / share)} A, the outlet's rating"
    if finding.id in ("loop-drop", "source-sags"):
        yield (
            f"{said(supply.ohms)} ohm x {said(amps)} A = {said(finding.value or 0.0)} V ± "
            f"{said(supply.ohms_uncertainty)} ohm x {said(amps)} A"
        )
        return
    ohms = supply.hot_ohms if finding.id == "loose-joint-hot" else supply.neutral_ohms
    yield f"{said(ohms or 0.0)} ohm x ({said(amps)} A)^2 = {said(finding.value or 0.0)} W"


def supply_lines(supply: Supply, check: Check) -> Iterator[str]:
    """Write how the loop's ohms come about, and where they lie."""
    for one in check.live_sets:
        loaded = one.loaded
        if (
            loaded is not None
            and loaded.across == supply.across
            and one.without_load(loaded.across) is not None
        ):
            yield from _loop_lines(supply, one, loaded)
            return


def _loop_lines(supply: Supply, one: ReadingSet, loaded: LoadTest) -> Iterator[str]:
    bare, under, amps = supply.volts, loaded.volts[supply.across], said(loaded.amps)
    percent, digits = said(one.meter.accuracy_percent), said(one.meter.accuracy_volts)
    moved = moved_volts(one)
    if supply.across in loaded.after:
        yield f"  without the load {said(bare)} V, the middle of before and after it"
        digits = f"{digits} + {said(moved)} / 2"
    by_amps = f"{said(abs(supply.ohms))} x {said(loaded.amps_percent)} / 100"
    yield f"  loop {said(supply.ohms)} ohm = ({said(bare)} - {said(under)}) / {amps}"
    yield (
        f"  uncertain by {said(supply.ohms_uncertainty)} ohm = (2 x {digits} + {percent} / 100 x "
        f"{said(abs(bare - under))}) / {amps} + {by_amps}"
    )
    yield (
        f"  bound {said(supply.ohms_bound)} ohm = (2 x {digits} + {percent} / 100 x "
        f"{said(bare + under)}) / {amps} + {by_amps}"
    )
    if supply.neutral_ohms is not None and supply.hot_ohms is not None:
        rise = f"({said(loaded.volts['n-g'])} - {said(one.without_load('n-g') or 0.0)}) / {amps}"
        yield f"  neutral {said(supply.neutral_ohms)} ohm = {rise}; hot {said(supply.hot_ohms)} ohm, the rest"
