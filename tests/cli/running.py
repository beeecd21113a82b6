"""Running wearlog in the test's own process, and what it said."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, NamedTuple, TypeAlias

import pytest

from wearlog.cli.main import run


class Ran(NamedTuple):
    code: int
    out: str
    err: str

    @property
    def json(self) -> dict[str, Any]:
        """The answer as a document of this schema."""
        found: dict[str, Any] = json.loads(self.out)
        assert found["schema"] == 1
        return found


Wearlog: TypeAlias = Callable[..., Ran]


def runner(capture: pytest.CaptureFixture[str]) -> Wearlog:
    """Return the function that runs a command line; `capture` is capsys, or capfd where C code may write too."""

    def ran(*words: str) -> Ran:
        code = run(list(words))
        said = capture.readouterr()
        return Ran(code, said.out, said.err)

    return ran


def on_log(wearlog: Wearlog, file: object) -> Wearlog:
    """Return wearlog on one log."""
    return lambda *words: wearlog(*words, "--db", str(file))
