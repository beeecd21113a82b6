"""Tab in a shell: what `wearlog completion` prints, read by a real bash."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

BASH = shutil.which("bash")


def completed(*words: str) -> list[str]:
    """What bash offers for the last of these words."""
    assert BASH is not None, "the test command itself is run by bash"
    line = f"""
        eval "$(wearlog completion bash)"
        COMP_WORDS=({" ".join(words)}); COMP_CWORD={len(words) - 1}
        _wearlog_completion wearlog
        printf '%s\\n' "${{COMPREPLY[@]}}"
    """
    here = Path(sys.executable).parent
    ran = subprocess.run(
        [BASH, "-c", line],
        env={**os.environ, "PATH": f"{here}{os.pathsep}{os.environ['PATH']}"},
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return ran.stdout.split()


@pytest.mark.parametrize(
    ("words", "offered"),
    [
        (("wearlog", "rai"), ["rain-day"]),
        (("wearlog", "plan", "--bud"), ["--budget"]),
        (("wearlog", "plan", "rec"), ["receive"]),
        (("wearlog", "add", "fiel"), ["field"]),
    ],
)
def test_tab_finishes_commands_options_and_choices(words: tuple[str, ...], offered: list[str]) -> None:
    assert completed(*words) == offered
