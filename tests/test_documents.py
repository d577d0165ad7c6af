"""What the README and the commands' own help say is whole and true of the program."""

import ast
import importlib
import re
from collections.abc import Iterator, Mapping, Sequence

import click
import click.testing
import pytest

from fieldlog.cli.members import ASSESS, PLAN, PROTECT, TREND
from fieldlog.cli.settings import SETTINGS
from fieldlog.engine.intake import FIELDS
from fieldlog.engine.planning.intake import MEMBERS as PLAN_MEMBERS
from fieldlog.engine.protection.intake import MEMBERS
from fieldlog.engine.trend.intake import MEMBERS as TREND_MEMBERS
from tests.repository import ROOT, tree


def readme() -> str:
    return (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_every_picture_of_a_document_is_there(document: str) -> None:
    text = (ROOT / document).read_text(encoding="utf-8")
    pictures = re.findall(r"!\[[^]]*\]\(([^)]+)\)", text) + re.findall(r'<img src="([^"]+)"', text)

    assert document != "README.md" or len(pictures) == 3
    assert [picture for picture in pictures if not (ROOT / picture).is_file()] == []


def test_a_stranger_can_read_the_readme_to_its_end() -> None:
    assert len(readme().splitlines()) <= 120


def commands(group: click.Group, before: str) -> Iterator[tuple[str, click.Command]]:
    """Give every command with its path, such as "fieldlog user add"."""
    for word, command in group.commands.items():
        if isinstance(command, click.Group):
            yield from commands(command, f"{before} {word}")
        else:
            yield f"{before} {word}", command


def options_without_help(command: click.Command) -> list[str]:
    options = (each for each in command.params if isinstance(each, click.Option))
    return [str(option.name) for option in options if not option.help]


def test_every_command_and_each_of_its_options_says_what_it_does() -> None:
    group = importlib.import_module("fieldlog.cli").main
    assert isinstance(group, click.Group)
    found = dict(commands(group, "fieldlog"))

    assert len(found) > 10
    assert [path for path, command in found.items() if not command.help] == []
    assert {path: left for path, each in found.items() if (left := options_without_help(each))} == {}


@pytest.mark.parametrize(
    ("command", "told", "taken"),
    [
        ("assess", ASSESS, FIELDS),
        ("plan", PLAN, PLAN_MEMBERS),
        ("protect", PROTECT, MEMBERS),
        ("trend", TREND, TREND_MEMBERS),
    ],
)
def test_a_command_that_judges_tells_each_member_that_it_takes(
    command: str, told: Mapping[str, str], taken: Sequence[str]
) -> None:
    group = importlib.import_module("fieldlog.cli").main
    shown = click.testing.CliRunner().invoke(group, [command, "--help"]).output

    assert sorted(told) == sorted(taken)
    assert [member for member in taken if f"{member}: " not in shown] == []


def test_serve_tells_every_setting_and_no_other() -> None:
    constants = (
        node.value for node in ast.walk(tree(ROOT / "fieldlog/config.py")) if isinstance(node, ast.Constant)
    )
    read = {text for text in constants if isinstance(text, str) and re.fullmatch(r"[A-Z][A-Z_]{3,}", text)}
    shown = click.testing.CliRunner().invoke(
        importlib.import_module("fieldlog.cli").main, ["serve", "--help"]
    )

    assert {setting.name for setting in SETTINGS} == read
    assert [name for name in read if f"{name} (" not in shown.output] == []
