"""`fieldlog assess --explain`: each answer with the arithmetic that led to it, to be redone by hand."""

import json
import re
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from fieldlog.cli import main
from fieldlog.model.canonical import canonical

RIGHT = {"outlet": "TT-30", "look": [], "volts": {"h-n": 121.3, "h-g": 121.0, "n-g": 0.4}}
LOADED = RIGHT | {"loaded": {"amps": 12.0, "volts": {"h-n": 116.9, "h-g": 119.2, "n-g": 2.2}}}
UNPLUGGED = RIGHT | {"more": [{"state": "unplugged", "volts": {"h-n": 121.2, "h-g": 121.0, "n-g": 0.3}}]}
HELD = LOADED | {"trip": [{"by": "button", "device": "upstream", "tripped": True, "reset": True}]}
CASES = json.loads((Path(__file__).parents[1] / "cases/checks.json").read_text(encoding="utf-8"))["cases"]
CHECKS = [case["check"] for case in CASES] + [LOADED, UNPLUGGED, HELD]
DIGITS = 1e-6
"""Half a unit in the seventh digit is 5e-7 at most."""

NUMBER = r"-?\d[\d.]*(?:e[+-]?\d+)?"
EXPRESSION = rf"(?:{NUMBER}|\(|\)|[x/+^-]|A|V|ohm| )+"
OFF_SQUARED = rf"(?:read|fell) ({NUMBER}) V, would show ({NUMBER}) V.*off squared / \(([^=]+)\) = ({NUMBER})"

Explain = Callable[..., Result]


@pytest.fixture(scope="module")
def explain() -> Explain:
    """Explain checks as the command does."""

    def invoke(*checks: Any) -> Result:
        sent = "\n".join(check if isinstance(check, str) else json.dumps(check) for check in checks)
        return CliRunner().invoke(main, ["assess", "--explain", "-"], input=sent)

    return invoke


@pytest.fixture(scope="module")
def explained(explain: Explain) -> list[tuple[list[str], dict[str, Any]]]:
    """Give the trace and the answer of every check."""
    blocks = explain(*CHECKS).stdout.split("\n\n")
    return [(lines[:-1], json.loads(lines[-1])) for lines in (block.splitlines() for block in blocks)]


def worked_out(expression: str) -> float:
    """Work out what a trace writes: x for times, ^ for powers, units left out."""
    plain = re.sub(r"\b(A|V|W|ohm)\b", "", expression).replace("x", "*").replace("^", "**")
    assert re.fullmatch(r"[\d.e()*/+ -]+", plain), expression
    return float(eval(plain))  # nothing but numbers and operators, as checked above


def equations(lines: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Give both sides of what a trace writes as an equation of numbers."""
    ways = [
        rf"standard error ({NUMBER}) V = ({EXPRESSION})$",
        rf"would show ({NUMBER}) V = ({EXPRESSION});",
        rf"kernel ({EXPRESSION}) = ({NUMBER});",
        rf": ({NUMBER} x {NUMBER} / {NUMBER}) = ({NUMBER}), the largest",
        rf"gain ({NUMBER}) = sum ({NUMBER} / effort {NUMBER})$",
        rf"(?:loop|uncertain by|bound) ({NUMBER}) ohm = ({EXPRESSION})$",
        rf"^ +({NUMBER}) A = ({NUMBER} x {NUMBER}) A, the outlet's rating",
        rf"^ +({NUMBER} ohm x \({NUMBER} A\)\^2) = ({NUMBER}) W$",
        rf"^ +({NUMBER}) = ({NUMBER} x {NUMBER} / 100 \+ {NUMBER}); from",
    ]
    for line in lines:
        for way in ways:
            for left, right in re.findall(way, line):
                yield left, right.replace("effort", "")


def test_the_answer_comes_last_and_is_the_same_as_without_a_trace(explain: Explain) -> None:
    plain = CliRunner().invoke(main, ["assess", "-"], input=json.dumps(LOADED))

    result = explain(LOADED)

    assert result.exit_code == 0
    assert result.stdout.splitlines()[-1] == plain.stdout.rstrip("\n")
    assert len(result.stdout.splitlines()) > 60


def test_an_empty_line_stands_between_two_checks(explain: Explain) -> None:
    blocks = explain(RIGHT, LOADED).stdout.split("\n\n")

    assert [canonical(json.loads(block.splitlines()[-1])).decode() for block in blocks] == [
        block.splitlines()[-1] for block in blocks
    ]
    assert all("" not in block.splitlines() for block in blocks)
    assert len(blocks) == 2


def test_a_bad_line_is_answered_in_its_place_without_a_trace(explain: Explain) -> None:
    result = explain(RIGHT, '{"outlet": "TT-30", "volts": {"h-n": "121"}}', RIGHT)

    first, bad, last = (block.splitlines() for block in result.stdout.split("\n\n"))
    assert result.exit_code == 1
    assert len(bad) == 1
    assert json.loads(bad[0])["error"]["line"] == 2
    assert first == last


def test_every_equation_of_a_trace_comes_out(explained: list[tuple[list[str], dict[str, Any]]]) -> None:
    count = 0
    for lines, _ in explained:
        for left, right in equations(lines):
            count += 1
            assert worked_out(left) == pytest.approx(worked_out(right), rel=20 * DIGITS, abs=1e-9), (
                left,
                right,
            )

    assert count > 20 * len(explained)


def test_chi_squared_is_what_is_off_with_the_supply_s_and_the_loop_s(
    explained: list[tuple[list[str], dict[str, Any]]],
) -> None:
    parts, count = list[float](), 0
    for line in (line for lines, _ in explained for line in lines):
        if "fits best" in line:
            parts = []
        if "; off squared" in line:
            read, shown, variance, chi = re.findall(OFF_SQUARED, line)[0]
            off = float(read) - float(shown)
            # Seven digits of some 120 V leave a small difference of two of them uncertain.
            assert float(chi) == pytest.approx(off**2 / worked_out(variance), rel=1e-3, abs=2e-3)
            parts.append(float(chi))
        if "chi squared" in line:
            whole, *others = map(float, re.findall(rf"({NUMBER})(?: for|: these)", line))
            assert whole == pytest.approx(sum(parts) + sum(others), rel=20 * DIGITS)
            count += 1

    assert count > 3 * len(explained)


def test_weights_and_priors_give_the_answer_s_probabilities(
    explained: list[tuple[list[str], dict[str, Any]]],
) -> None:
    of_way = rf"^ +({NUMBER}) x prior ({NUMBER}) / ({NUMBER}) of its group = weight ({NUMBER})$"
    of_all = rf"^  ([a-z-]+): ({NUMBER}) / ({NUMBER}) = probability ({NUMBER})$"
    for lines, answer in explained:
        told = {fault["id"]: fault["probability"] for fault in answer["faults"]}
        weights, traced = list[float](), list[str]()
        for line in lines:
            for likelihood, prior, of_group, weight in re.findall(of_way, line):
                expected = float(likelihood) * float(prior) / float(of_group)
                assert float(weight) == pytest.approx(expected, rel=10 * DIGITS, abs=1e-300)
                weights.append(float(weight))
            for name, weight, total, probability in re.findall(of_all, line):
                assert float(weight) == pytest.approx(sum(weights), rel=10 * DIGITS, abs=1e-300)
                assert float(probability) == pytest.approx(float(weight) / float(total), rel=10 * DIGITS)
                assert told.get(name, float(probability)) == pytest.approx(float(probability), rel=DIGITS)
                traced.append(name)
                weights = []
        found = [fault["id"] for fault in answer["faults"] if fault["id"] != "other"]
        assert found[:5] == traced[: len(found[:5])]
        assert set(answer["not_ruled_out"]) <= set(traced)


def test_other_has_the_answer_s_probability(explained: list[tuple[list[str], dict[str, Any]]]) -> None:
    for lines, answer in explained:
        told = [fault["probability"] for fault in answer["faults"] if fault["id"] == "other"]
        found = [each for line in lines for each in re.findall(rf"with it = probability ({NUMBER})", line)]

        assert [float(each) for each in found] == pytest.approx(told, rel=DIGITS)


def test_the_trace_names_the_verdict_the_findings_and_the_proposal(
    explained: list[tuple[list[str], dict[str, Any]]],
) -> None:
    for lines, answer in explained:
        verdict = next(line for line in lines if line.startswith("Verdict: "))
        proposed = next(line for line in lines if line.startswith("Next test: "))
        titles = [line for line in lines if re.match(r"  [a-z0-9-]+, (stop|limit|note):", line)]

        assert verdict.startswith(f"Verdict: {answer['verdict']}, because ")
        assert [line.strip().split(",")[0] for line in titles] == [one["id"] for one in answer["findings"]]
        if answer["next_test"]:
            assert proposed == f"Next test: {answer['next_test']['id']}"
        else:
            assert proposed.startswith("Next test: none")


def test_the_proposed_test_gains_most_of_those_not_left_out(
    explained: list[tuple[list[str], dict[str, Any]]],
) -> None:
    for lines, answer in explained:
        found = {one["id"] for one in answer["findings"]}
        if found & {"readings-disagree", "off-volts-not-settled"}:
            continue  # a reading that is in doubt comes before any gain
        gains = {
            name: float(gain)
            for line in lines
            for name, gain in re.findall(rf"^  ([a-z-]+): gain ({NUMBER}) = sum", line)
        }
        if answer["next_test"]:
            assert gains[answer["next_test"]["id"]] == max(gains.values()) > 0.0005
        else:
            assert all(gain <= 0.0005 for gain in gains.values())


@pytest.mark.parametrize(
    ("check", "words"),
    [
        (UNPLUGGED, "  leaking-appliance: nothing was plugged in; open-ground takes its likelihood"),
        (HELD, "  neutral-ground-reversed: a device upstream tripped by its button, reset and held a load"),
        (RIGHT | {"continuity": {"n-g": "open"}}, "0.002 for a misread one"),
        (RIGHT | {"near": {"g": False}}, "  detector: g silent"),
        (RIGHT, "left out, not at the pedestal"),
        (RIGHT, "  meter: left out, made already"),
        (RIGHT, "left out, not for a supply by utility"),
    ],
)
def test_what_was_excluded_or_left_out_is_named_with_its_reason(
    explain: Explain, check: dict[str, Any], words: str
) -> None:
    assert words in explain(check).stdout


def test_a_dangerous_test_is_left_out_by_the_name_of_the_danger(explain: Explain) -> None:
    """An open ground with a leaking appliance: a load could pass its current through people."""
    swapped = {"outlet": "5-15", "look": [], "volts": {"h-n": 120, "h-g": 0.3, "n-g": 120}}

    assert re.search(r"  [a-z-]+: left out, dangerous under [a-z-]+", explain(swapped).stdout)


def test_a_look_alone_is_explained_without_explanations(explain: Explain) -> None:
    result = explain({"outlet": "TT-30", "look": ["burned"]})

    assert result.exit_code == 0
    assert "  burned, stop: [common practice]" in result.stdout
    assert "Verdict: do-not-use, because a finding says stop" in result.stdout
    assert "Next test: none" in result.stdout
