"""Writes the kept helps of the commands anew: python -m tests.kept_help_pages."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import wearlog
from wearlog.cli import overview
from wearlog.cli.kept_helps import HEAD, WIDTH, digest_of, page_file

PACKAGE = Path(wearlog.__file__).parent
#: loaded for every help, and say nothing in it: a new command would outdate all pages
NOT_IN_IT = {"cli/overview.py", "errors.py"}
MAKING = """
import sys
from wearlog.cli.app import run_command
run_command([sys.argv[1], "-h"])
loaded = [module.__file__ for name, module in sorted(sys.modules.items()) if name.partition(".")[0] == "wearlog"]
sys.stderr.write("\\n".join(filter(None, loaded)))
"""


def made(command: str) -> str:
    """Return the page of a command as a process of its own writes it, its head included."""
    env = {**os.environ, "COLUMNS": str(WIDTH), "PYTHONIOENCODING": "utf-8"}
    words = [sys.executable, "-c", MAKING, command]
    done = subprocess.run(words, env=env, capture_output=True, encoding="utf-8", check=True)
    files = [Path(file).relative_to(PACKAGE).as_posix() for file in done.stderr.splitlines()]
    said = [name for name in files if name not in NOT_IN_IT]
    return f"{HEAD}{digest_of(said)} {' '.join(said)}\n{done.stdout}"


def keep_all() -> None:
    """Write the page of every command."""
    for command in overview.names():
        file = Path(page_file(command))
        file.parent.mkdir(exist_ok=True)
        file.write_text(made(command), "utf-8", newline="\n")


if __name__ == "__main__":
    keep_all()
