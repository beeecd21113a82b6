"""The page of faults and promises says what the tests say."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.promises_page import ABOUT, ROOT, page, promises, promises_in


def test_the_page_of_promises_is_up_to_date() -> None:
    """`python -m tests.promises_page > docs/promises.md` makes it anew."""
    assert (ROOT / "docs/promises.md").read_text("utf-8") == page()


def test_every_subject_has_promises_and_none_is_said_twice() -> None:
    said = promises()
    assert {one.about for one in said} == set(ABOUT)
    assert len({(one.fault, one.on) for one in said}) == len(said)


@pytest.mark.parametrize(
    "words",
    ["about='luck', fault='f', holds='h', on='both'", "about='a server', fault='f', holds='h'", "fault='f'"],
)
def test_a_promise_in_another_form_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: str) -> None:
    monkeypatch.setattr("tests.promises_page.ROOT", tmp_path)
    (tmp_path / "test_one.py").write_text(f"@pytest.mark.promise({words})\ndef test_it() -> None: ...\n")
    with pytest.raises(ValueError, match="in another form"):
        list(promises_in(tmp_path / "test_one.py"))
