"""Sets the goals of the bench to what runs of it took: python -m tests.bench_goals FILE… (of .venv/bench)."""

import json
import sys
from datetime import UTC, datetime
from pathlib import Path
from statistics import median

from tests.bench_rows import GOALS


def goals(runs: list[dict[str, list[float]]]) -> dict[str, dict[str, float]]:
    """Give the median turns of each row, and the noise, a share."""
    found = {}
    for what in runs[-1]:
        turns = [each for run in runs for each in run[what]]
        middle = median(turns)
        found[what] = {"turns": float(f"{middle:.3g}"), "noise": round(noise(runs, what), 2)}
    return found


def noise(runs: list[dict[str, list[float]]], what: str) -> float:
    """Give half the span of five runs, or half that of several benches' medians where it is larger."""
    within = max((max(run[what]) - min(run[what])) / 2 / median(run[what]) for run in runs)
    medians = [median(run[what]) for run in runs]
    return max(within, (max(medians) - min(medians)) / 2 / median(medians))


def main() -> None:
    """Write the goals."""
    runs = [json.loads(Path(name).read_text(encoding="utf-8")) for name in sys.argv[1:]]
    assert runs, "name the runs: files of .venv/bench"
    table = {"set": datetime.now(UTC).date().isoformat(), "goals": goals(runs)}
    GOALS.write_text(json.dumps(table, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
