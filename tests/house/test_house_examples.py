"""Property tests take the same examples on every run, whichever tests ran before them in the same process."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st


def drawn() -> list[str]:
    """Run a property test and return the examples that it was given."""
    seen: list[str] = []

    @given(st.integers(), st.floats(), st.text())
    def a_property(number: int, measure: float, text: str) -> None:
        seen.append(repr((number, measure, text)))

    a_property()
    return seen


def test_examples_are_the_same_on_every_run_unless_the_run_explores(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = drawn()
    assert len(first) > 50
    # what another test would load: a module of the program with numbers and words of its own
    file = tmp_path / "loaded_later.py"
    file.write_text("\n".join(f'one_{n} = {n}000.25, {n}000, "word {n}"' for n in range(1, 200)), "utf-8")
    spec = importlib.util.spec_from_file_location("loaded_later", file)
    assert spec is not None
    monkeypatch.setitem(sys.modules, "loaded_later", importlib.util.module_from_spec(spec))
    assert (drawn() == first) == settings.default.derandomize
