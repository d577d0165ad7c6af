"""What Lighthouse says of a page."""

import json
import subprocess
from typing import Any, Final

from tests.node import ROOT, node_program

PARTS: Final = ("accessibility", "best-practices")
PROGRAM: Final = ROOT / "deploy/node_modules/lighthouse/cli/index.js"


def scores(address: str) -> list[float]:
    """Give the score of each part, out of 100."""
    report = _report(address)
    return [100 * float(report["categories"][part]["score"]) for part in PARTS]


def lost(address: str) -> list[str]:
    """Name the audits in which a page lost."""
    audits = _report(address)["audits"]
    return sorted(name for name, audit in audits.items() if audit["score"] not in (None, 1))


def _report(address: str) -> dict[str, Any]:
    done = subprocess.run(
        [
            node_program(),
            str(PROGRAM),
            address,
            "--quiet",
            "--output=json",
            f"--only-categories={','.join(PARTS)}",
            "--no-enable-error-reporting",
            "--chrome-flags=--headless=new --no-sandbox --disable-background-networking",
        ],
        capture_output=True,
        text=True,
        check=True,
        env={"CHROME_PATH": "/usr/bin/chromium", "PATH": "/usr/bin:/bin"},
    )
    report: dict[str, Any] = json.loads(done.stdout)
    return report
