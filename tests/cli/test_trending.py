"""What has drifted, on the command line."""

import json

import click.testing

from fieldlog.cli import main
from fieldlog.model.canonical import canonical

STEADY = [{"at": f"2026-0{month}-05", "value": 0.25, "uncertainty": 0.05} for month in range(1, 5)]


def test_each_series_is_answered_in_its_line_and_a_bad_one_by_its_problems() -> None:
    lines = [
        {"quantity": "loop-ohms", "readings": STEADY},
        {"quantity": "loop-ohms"},
        {"quantity": "volts", "readings": STEADY[:3], "changes": ["2026-02-01"]},
    ]
    done = click.testing.CliRunner().invoke(
        main, ["trend"], input="\n".join(json.dumps(line) for line in lines)
    )
    steady, bad, few = done.output.splitlines()

    assert done.exit_code == 1
    assert canonical(json.loads(steady)).decode() == steady
    assert (json.loads(steady)["state"], json.loads(steady)["count"]) == ("steady", 4)
    assert json.loads(bad)["error"] == {
        "line": 2,
        "problems": [{"at": "/readings", "problem": "is needed."}],
    }
    assert (json.loads(few)["state"], json.loads(few)["count"]) == ("too-few", 2)
