"""The counts of the table of sizes, each of a text that is counted by hand."""

from pathlib import Path

from tests.sizes import Size, functions_in, lines_twice, size_of

SIX = "\n".join(f"put({number})" for number in range(6))


def test_six_lines_that_stand_in_two_files_are_written_twice() -> None:
    assert lines_twice([f"a = 1\n{SIX}\n", f"{SIX}\nb = 2\n"]) == 12


def test_five_lines_or_comments_and_imports_are_not() -> None:
    five = SIX.rpartition("\n")[0]
    plain = "\n".join([*["# said"] * 6, *["import this"] * 6, *["}"] * 6])

    assert lines_twice([f"a = 1\n{five}\nb = 1", f"c = 1\n{five}\nd = 1"]) == 0
    assert lines_twice([plain, plain]) == 0


def test_a_function_of_a_script_is_one_with_a_name() -> None:
    script = """export function one() {
  return [1].map((each) => each);
}
const two = (a) => a;
class Three {
  async #four(a, b) {
    if (a) {
      return b;
    }
  }
}
"""
    assert functions_in(Path("a.js"), script) == 3


def test_what_a_command_makes_is_counted_by_itself(tmp_path: Path) -> None:
    (tmp_path / "own.py").write_text("def one() -> None: ...\n", encoding="utf-8")
    (tmp_path / "made.py").write_text('"""Made; not edited by hand."""\nA = 1\n', encoding="utf-8")

    assert size_of(tmp_path, (".py",)) == Size(functions=1, modules=1, files=1, lines=1, twice=0, made=2)
