"""The season report printed by a real browser on A4 and Letter: whole tables, numbered pages, nothing from elsewhere."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.farm_fixtures import demo_file
from tests.paper.printing import SIZES, Printing, body_of, needs_chromium, pages_with, plain, print_page, tables
from wearlog.exchange.season_report.content import write_report
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.plan.season_plan import season_plan
from wearlog.store.location import Location
from wearlog.store.opening import open_store

__all__ = ["demo_file"]
WINTER = datetime(2026, 11, 20, 18, tzinfo=UTC)
pytestmark = needs_chromium


@pytest.fixture(scope="module")
def report(demo_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The report of the demo farm."""
    store = open_store(Location(file=demo_file))
    try:
        with store.reading() as connection:
            view = season_plan(connection, farm_from(connection, WINTER))
        return write_report(store, WINTER, tmp_path_factory.mktemp("report") / "season.html", view)
    finally:
        store.close()


@pytest.fixture(scope="module", params=sorted(SIZES))
def printing(request: pytest.FixtureRequest, report: Path, tmp_path_factory: pytest.TempPathFactory) -> Printing:
    """It, printed on one size of paper."""
    return print_page(report, request.param, tmp_path_factory.mktemp(request.param))


def test_every_page_has_farm_day_and_number_and_is_not_left_nearly_empty(printing: Printing) -> None:
    assert tuple(round(side) for side in printing.size) in SIZES.values()
    count = len(printing.pages)
    # cover, plan, two orders, seven machines, wear, costs, faults, services; some of them on two or three pages
    assert 20 <= count <= 34
    for number, page in enumerate(printing.pages, 1):
        assert f"page {number} of {count}" in page
        assert "Quillfeather Farm (invented), season 2027" in page
        assert "20 Nov 2026" in page
        # an order is as short as it is; else some rows or two sentences had no room on the page before
        least = 300 if "Orders, " in page else 600
        assert len(page) > least, f"page {number} stands nearly empty: {page}"


def test_no_error_is_told_and_nothing_asked_for_from_elsewhere(printing: Printing, report: Path) -> None:
    assert printing.console == []
    assert printing.asked == set()
    text = report.read_text("utf-8")
    assert not re.search(r"<script|<link|<img|@import|url\((?!#)|https?://(?!www\.w3\.org/2000/svg)", text)


def test_no_total_stands_without_its_last_rows_and_no_heading_without_its_first(
    printing: Printing, report: Path
) -> None:
    checked = 0
    for heading, *rows in tables(report.read_text("utf-8")):
        assert rows
        first = [cell for row in rows[:3] for cell in row]
        last = [cell for row in rows[-3:] for cell in row]
        named = [title for title in heading if title]
        assert pages_with(printing, [*named, *first]), (named, first)
        assert pages_with(printing, last), last
        for row in rows:
            assert pages_with(printing, row), row
        checked += 1
    assert checked >= 18


def test_a_short_table_with_a_total_stands_whole_on_one_page(printing: Printing, report: Path) -> None:
    whole = [rows for rows in tables(report.read_text("utf-8")) if rows[-1][0] == "total" or "together" in rows[-1]]
    # two suppliers; costs by season, by subsystem, by machine
    assert len(whole) >= 5
    for heading, *rows in whole:
        assert len(rows) <= 17
        assert pages_with(printing, [*(title for title in heading if title), *(cell for row in rows for cell in row)])


def test_no_text_reaches_beyond_the_margin(printing: Printing) -> None:
    # 12 mm are 34 points; the last letter may lean a little out of its box
    assert max(printing.reaches) <= printing.size[0] - 33


def test_each_supplier_has_a_page_of_his_own(printing: Printing) -> None:
    pages = {name: pages_with(printing, [f"{name} (order"]) for name in ("Hollow Road Parts", "Millpond Supply")}
    assert all(len(found) == 1 for found in pages.values())
    assert len(set.union(*pages.values())) == 2


def test_a_heading_is_never_the_last_thing_on_a_page(printing: Printing, report: Path) -> None:
    headings = [plain(one) for one in re.findall(r"<h[23]>(.*?)</h[23]>", report.read_text("utf-8"), re.DOTALL)]
    for page in printing.pages:
        assert not any(body_of(page).endswith(one) for one in headings if len(one) > 12), page[-80:]


def test_the_cover_has_the_three_answers_and_what_is_broken_alone(printing: Printing) -> None:
    cover = printing.pages[0]
    for asked in ("WHAT TO DO BEFORE 2027", "WHAT WILL BREAK IN 2027", "WHAT AN ACRE COST"):
        assert asked.casefold() in cover.casefold()
    assert "BROKEN and still on: Kestrel, knife section 46" in cover
    assert "Before the season: replace or run" not in cover


def test_the_browser_would_tell_of_an_error_and_of_a_request(tmp_path: Path) -> None:
    bad = tmp_path / "bad.html"
    bad.write_text(
        '<!doctype html><p>x</p><img src="http://example.invalid/x.png"><script>throw new Error("no")</script>'
    )
    found = print_page(bad, "A4", tmp_path)
    assert any("no" in one for one in found.console)
    assert found.asked == {"http://example.invalid/x.png"}
