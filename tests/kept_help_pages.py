"""Writes the kept helps of the commands anew: python -m tests.kept_help_pages."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from wearlog.cli import overview
from wearlog.cli.main import KEPT_IN, WIDTH

#: the pages are made by one process, by click, whatever is kept
MAKING = """
import sys
from wearlog.cli.app import run_command
from wearlog.cli.main import HEAD
for name in sys.argv[1:]:
    sys.stdout.write("\\n" + HEAD + name + "\\n")
    run_command([name, "-h"])
"""


def made() -> str:
    """Return the file of all pages as a process of its own writes it."""
    env = {**os.environ, "COLUMNS": str(WIDTH), "PYTHONIOENCODING": "utf-8"}
    words = [sys.executable, "-c", MAKING, *overview.names()]
    return subprocess.run(words, env=env, capture_output=True, encoding="utf-8", check=True).stdout


if __name__ == "__main__":
    Path(KEPT_IN).write_text(made(), "utf-8", newline="\n")
