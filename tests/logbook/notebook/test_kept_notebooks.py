"""Notebooks as farms keep them come out as the files beside them say."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.logbook.notebook.kept_notebooks import enter_farm, expected_of, kinds_of, measured, read_book
from wearlog.store.location import locate
from wearlog.store.opening import create_store

_LEAST = 0.95
_TOLD = ("header_book", "shop_ledger")
#: in other styles; what is right in them was written down before the program had read one
_OTHERS = ("phone_notes", "metric_farm", "by_machine", "seasons_grid", "counter_export")
#: read wrong or not at all when they were tried: decimal commas typed as text, headings over headings, figures that mean others
_MENDED = ("comma_ledger", "comma_workbook", "doubtful_places")


@pytest.mark.parametrize("name", [*_TOLD, *_OTHERS, *_MENDED])
def test_a_notebook_is_read_as_the_file_beside_it_says(tmp_path: Path, name: str) -> None:
    expected = expected_of(name)
    store = create_store(locate(str(tmp_path / "log.db")))
    try:
        enter_farm(store, expected)
        got = read_book(store, name)
    finally:
        store.close()
    result = measured(got, expected)
    print(f"{name}: {result.right} of {len(expected['rows'])} rows")
    assert result.share >= _LEAST, result.wrong
    assert not result.not_asked
    assert not result.silent
    assert (got["date_order"] or "") in (expected["date_order"], "")
    assert got["entries_by_kind"] == expected["entries_by_kind"] == dict(sorted(kinds_of(got["rows"]).items()))
    assert got["ask"] == expected["ask"]
