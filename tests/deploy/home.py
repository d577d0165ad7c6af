"""The script of deploy/home as the tests call it: as a module, and as a program."""

import importlib.util
import os
import subprocess
import sys
from functools import cache
from pathlib import Path
from types import ModuleType

from tests.repository import ROOT

SCRIPT = ROOT / "deploy/home/authority.py"


@cache
def authority() -> ModuleType:
    """Load the script, which is part of no package."""
    spec = importlib.util.spec_from_file_location("authority", SCRIPT)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["authority"] = module  # its dataclasses look themselves up there
    spec.loader.exec_module(module)
    return module


def run_authority(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the script with everything that it may write inside a folder."""
    places = {"FIELDLOG_DATA": str(folder), "HOME": str(folder), "TMPDIR": str(folder)}
    return subprocess.run(
        [sys.executable, SCRIPT, *arguments],
        env={**os.environ, **places, "PYTHONDONTWRITEBYTECODE": "1"},
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )
