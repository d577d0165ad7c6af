"""The rules of the house that a machine can check; each test is one rule."""

import ast
import json
import re
import subprocess
import tomllib
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from tests.repository import ROOT, Inline, functions, imported, lines_that, name, tracked, tree, under

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "LICENSE",
    "fieldlog",
    "schemas",
    "tests",
    "static",
    "deploy",
}
VAGUE_NAMES = {"util", "helper", "common", "misc", "manager", "processor", "service", "data", "info"}
MOST_LINES = 400
MOST_FUNCTION_LINES = 40
MOST_LETTERS = 120
# Split, so that this file does not name what it forbids.
REGISTRY_HOSTS = [
    "py" + "pi.org",
    "python" + "hosted.org",
    "npm" + "js.",
    "debian" + ".org",
    "node" + "source.com",
    "un" + "pkg.com",
    "js" + "delivr.net",
]
CLAIMS = re.compile(r"\b(safe|safely|certified|passed inspection)\b(?!-area)", re.IGNORECASE)
LAMP_CODES = re.compile(r"\b(amber|yellow|red|green|white)\s+(lamps?|lights?|leds?|neons?)\b", re.IGNORECASE)
DOCSTRING_ORDER = [
    "Parameters",
    "Attributes",
    "Returns",
    "Yields",
    "Raises",
    "Notes",
    "Examples",
    "References",
]
SOURCE = re.compile(
    r"common practice|from memory|\b(RFC|NEC|ANSI|NEMA|IEEE|IEC|UL|W3C|Kirchhoff|Ohm|ngspice)\b|\bsource\b",
    re.IGNORECASE,
)


def pyproject() -> dict[str, object]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


# What is where


def test_the_top_level_holds_only_the_names_it_should() -> None:
    tops = {path.relative_to(ROOT).parts[0] for path in tracked()}

    assert {top for top in tops if not top.startswith(".")} <= TOP_LEVEL


def test_no_file_has_a_name_that_says_nothing() -> None:
    assert [
        name(path)
        for path in under(".", ".py .js .css .html .sh")
        if path.stem.removesuffix("s") in VAGUE_NAMES
    ] == []


def test_no_source_file_is_longer_than_four_hundred_lines() -> None:
    sizes = {
        name(path): len(path.read_text(encoding="utf-8").splitlines())
        for path in under(".", ".py .js .css .html")
    }

    assert {path: size for path, size in sizes.items() if size > MOST_LINES} == {}


def test_no_line_of_a_script_is_longer_than_a_hundred_and_twenty() -> None:
    scripts = set(under(".", ".js .mjs .cjs")) - set(under("static/joined", ".js"))

    assert lines_that(re.compile(rf".{{{MOST_LETTERS + 1}}}"), sorted(scripts)) == []


def test_a_function_over_forty_lines_says_why() -> None:
    assert [where for path in under(".", ".py") for where in overlong(path)] == []


def overlong(path: Path) -> Iterator[str]:
    """Name each function with too many lines, docstring left out, and no "# long: reason" by it."""
    lines = path.read_text(encoding="utf-8").splitlines()
    if path.parent == ROOT / "fieldlog/store/migrations/versions":
        return  # a migration is a table
    for function in functions(path):
        body = function.body[1:] if ast.get_docstring(function, clean=False) is not None else function.body
        size = (function.end_lineno or 0) - body[0].lineno + 1 if body else 0
        reasons = lines[max(function.lineno - 2, 0) : function.lineno]
        if size > MOST_FUNCTION_LINES and not any("# long: " in line for line in reasons):
            yield f"{name(path)}:{function.lineno} {function.name} has {size} lines"


def test_any_node_loads_the_page_s_modules() -> None:
    assert json.loads((ROOT / "static/js/package.json").read_text()) == {"type": "module"}


def test_the_server_runs_what_a_laptop_runs() -> None:
    assert "deploy/check" in (ROOT / ".ci/run").read_text()


@pytest.mark.parametrize("script", ["deploy/start", "deploy/check", "deploy/prepare.sh", ".ci/run"])
def test_a_script_is_well_formed_bash(script: str) -> None:
    assert subprocess.run(["bash", "-n", ROOT / script], check=False).returncode == 0


# Who may import whom (the contracts themselves are run by the step lint)


def test_every_use_case_stands_in_the_independence_contract() -> None:
    contracts = pyproject()["tool"]["importlinter"]["contracts"]  # type: ignore[index] # a table by its form
    (contract,) = (each for each in contracts if each["id"] == "use-cases")
    shared = {each.split(" -> ")[1] for each in contract["ignore_imports"]}

    assert contract["modules"] == ["fieldlog.web.*"]
    assert shared == {"fieldlog.web.layout.**", "fieldlog.web.security", "fieldlog.web.use_cases"}


def test_engine_and_model_know_no_clock_disk_or_randomness() -> None:
    forbidden = {
        "io",
        "os",
        "pathlib",
        "random",
        "secrets",
        "shutil",
        "socket",
        "subprocess",
        "tempfile",
        "time",
        "uuid",
    }
    found = {
        name(path): imported(path) & forbidden
        for path in under("fieldlog/engine", ".py") + under("fieldlog/model", ".py")
    }

    assert {path: names for path, names in found.items() if names} == {}


# Pages


def test_no_template_has_inline_script_or_style() -> None:
    found = {}
    for path in set(under(".", ".html")) - set(under("fieldlog/web/verify", ".html")):
        parser = Inline()
        parser.feed(re.sub(r"{#.*?#}|{%.*?%}", "", path.read_text(encoding="utf-8"), flags=re.DOTALL))
        found[name(path)] = parser.found

    assert {path: what for path, what in found.items() if what} == {}


def test_no_page_fetches_from_another_host() -> None:
    elsewhere = re.compile(r"https?://(?!www\.w3\.org/|127\.0\.0\.1)")

    assert lines_that(elsewhere, under(".", ".html") + under("static", ".js .css .svg .webmanifest")) == []


def test_text_enters_the_page_only_as_text() -> None:
    markup = re.compile(r"\.(inner|outer)HTML\b|insertAdjacentHTML|document\.write|\beval\(|new Function\(")
    scripts = {path for path in under("static", ".js") if name(path) != "static/js/lib/html.js"}
    sources = scripts - set(under("static/joined", ".js"))

    assert lines_that(markup, sorted(sources)) == []


# Words


def sentences() -> list[tuple[str, str]]:
    """Give all that a person may read, with where it stands."""
    plain = [
        *under(".", ".html"),
        *under("static", ".js .css .webmanifest"),
        *under("schemas", ".json"),
        ROOT / "README.md",
    ]
    found = [(name(path), line) for path in plain for line in path.read_text(encoding="utf-8").splitlines()]
    for path in under("fieldlog", ".py"):
        constants = (node for node in ast.walk(tree(path)) if isinstance(node, ast.Constant))
        found += [
            (f"{name(path)}:{node.lineno}", node.value) for node in constants if isinstance(node.value, str)
        ]
    return found


def test_no_word_claims_more_than_readings_can_show() -> None:
    assert [f"{where} {text.strip()[:90]}" for where, text in sentences() if CLAIMS.search(text)] == []


def test_a_lamp_is_named_by_its_contacts_and_never_by_its_colour() -> None:
    assert [f"{where} {text.strip()[:90]}" for where, text in sentences() if LAMP_CODES.search(text)] == []


def test_no_file_names_the_host_of_a_package_registry() -> None:
    hosts = re.compile("|".join(re.escape(host) for host in REGISTRY_HOSTS))
    text_files = [path for path in tracked() if b"\0" not in path.read_bytes()[:4096]]

    assert lines_that(hosts, text_files) == []


def test_every_to_do_has_a_number() -> None:
    assert (
        lines_that(
            re.compile(r"\b(TO" + r"DO|FIX" + r"ME|XX" + r"X)\b(?! ?#\d)"),
            under(".", ".py .js .css .html .sh"),
        )
        == []
    )


def test_every_ignored_warning_says_why_on_its_line() -> None:
    bare = re.compile(
        r"(#\s*(noqa|type:\s*ignore|pyright:\s*ignore)(:\s*[A-Z]+\d+(,\s*[A-Z]+\d+)*|\[[^]]*\])?"
        r"|@ts-(ignore|expect-error|nocheck)|biome-ignore[^:]*:?)\W*$"
    )

    assert lines_that(bare, under(".", ".py .js .mjs .cjs")) == []


def test_docstring_sections_of_engine_and_model_keep_their_order() -> None:
    found = []
    for path in under("fieldlog/engine", ".py") + under("fieldlog/model", ".py"):
        for function in functions(path):
            ruled = re.findall(r"^(\w+)\n-{3,}$", ast.get_docstring(function) or "", flags=re.MULTILINE)
            if ruled != [section for section in DOCSTRING_ORDER if section in ruled]:
                found.append(f"{name(path)}:{function.lineno} {function.name}: {ruled}")

    assert found == []


# Tables


def entries(path: Path) -> list[dict[str, object]]:
    table = json.loads(path.read_text(encoding="utf-8"))
    found = table["entries"]
    assert isinstance(found, list)
    return found


TABLES = [*under("schemas/limits", ".json"), *under("schemas/facts", ".json")]


@pytest.mark.parametrize("table", TABLES, ids=name)
def test_every_entry_of_a_table_has_unit_source_and_date(table: Path) -> None:
    wanting = [
        entry.get("id")
        for entry in entries(table)
        if not all(entry.get(key) for key in ("id", "unit", "source", "valid_from"))
    ]

    assert wanting == []


@pytest.mark.parametrize("table", TABLES, ids=name)
def test_a_newer_entry_comes_after_the_one_it_supersedes(table: Path) -> None:
    stamps = [(str(entry["id"]), date.fromisoformat(str(entry["valid_from"]))) for entry in entries(table)]

    assert len(set(stamps)) == len(stamps)
    for identity in {identity for identity, _ in stamps}:
        dates = [valid_from for known, valid_from in stamps if known == identity]
        assert dates == sorted(dates)


@pytest.mark.parametrize("schema", under("schemas", ".json"), ids=name)
def test_every_schema_is_a_valid_schema(schema: Path) -> None:
    if schema.name.endswith(".schema.json"):
        Draft202012Validator.check_schema(json.loads(schema.read_text(encoding="utf-8")))


# Tests


def checks_in(folder: str) -> Iterator[tuple[Path, ast.FunctionDef | ast.AsyncFunctionDef]]:
    for path in under(folder, ".py"):
        yield from ((path, function) for function in functions(path) if function.name.startswith("test_"))


def test_the_name_of_a_test_is_a_sentence() -> None:
    assert [
        f"{name(path)} {test.name}" for path, test in checks_in("tests") if len(test.name.split("_")) < 4
    ] == []


def test_every_reference_check_names_its_source() -> None:
    found = []
    for path, test in checks_in("tests/reference"):
        own = ast.get_source_segment(path.read_text(encoding="utf-8"), test) or ""
        decorators = " ".join(ast.unparse(decorator) for decorator in test.decorator_list)
        if not SOURCE.search(" ".join([own, decorators, ast.get_docstring(tree(path)) or ""])):
            found.append(f"{name(path)} {test.name}")

    assert found == []


def test_no_test_sleeps_or_replaces_our_own_functions() -> None:
    calls = re.compile(r"\bsleep\(|wait_for_timeout\(|setattr\(\"?fieldlog|\bmocker\b")
    checked = [path for path in under("tests", ".py") if path != Path(__file__)]

    assert lines_that(calls, checked) == []
    assert [name(path) for path in checked if "unittest.mock" in imported(path)] == []


# Set-up


@pytest.mark.parametrize("lock", ["requirements", "requirements-test"])
def test_every_locked_package_has_one_version_and_a_hash(lock: str) -> None:
    text = (ROOT / f"deploy/{lock}.txt").read_text()
    packages = [
        block for block in re.split(r"^(?=[a-z])", text, flags=re.MULTILINE) if re.match(r"[a-z]", block)
    ]

    assert packages
    assert [
        block.split()[0]
        for block in packages
        if not re.match(r"[\w.-]+==\S+[^\n]*\\\n +--hash=sha256:", block)
    ] == []


@pytest.mark.parametrize("lock", ["requirements", "requirements-test"])
def test_the_lock_holds_all_that_is_asked_for(lock: str) -> None:
    asked = re.findall(r"^([a-z][\w-]*)", (ROOT / f"deploy/{lock}.in").read_text(), flags=re.MULTILINE)
    locked = re.findall(r"^([a-z][\w-]*)==", (ROOT / f"deploy/{lock}.txt").read_text(), flags=re.MULTILINE)

    assert set(asked) <= set(locked)


def test_the_project_asks_for_what_the_lock_installs() -> None:
    asked = (ROOT / "deploy/requirements.in").read_text().splitlines()
    dependencies = pyproject()["project"]["dependencies"]  # type: ignore[index] # a table by its form

    assert sorted(dependencies) == sorted(line for line in asked if not line.startswith(("#", "setuptools")))
