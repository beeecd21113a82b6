"""The sheets for the clipboard printed by a real browser on A4 and Letter: whole rows and maps, headings above, nothing alone."""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.farm_fixtures import demo_file
from tests.paper.printing import SIZES, Printing, body_of, needs_chromium, pages_with, plain, print_page, tables
from wearlog.cli.main import run
from wearlog.facts.cautions import BOOK_COMES_FIRST

__all__ = ["demo_file"]
pytestmark = needs_chromium
SHEETS = {
    "before": ("before-season",),
    "after": ("after-season",),
    "service": ("service",),
}
#: what stands on every page, above and below
_AROUND = 130


@dataclass(frozen=True)
class Sheet:
    """One file of sheets as it was written, and as it was printed."""

    html: str
    printing: Printing

    @property
    def maps(self) -> list[tuple[str, str]]:
        """The title of each map of positions, and all that is said in it."""
        figures = re.findall(r"<figure>(.*?)</figure>", self.html, re.DOTALL)
        titles = [re.findall(r"<h3>(.*?)</h3>", one, re.DOTALL)[0] for one in figures]
        return [(plain(title), plain(one)) for title, one in zip(titles, figures, strict=True)]


@pytest.fixture(scope="module", params=[(name, size) for name in SHEETS for size in sorted(SIZES)], ids="-".join)
def sheet(request: pytest.FixtureRequest, demo_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Sheet:
    """A sheet of the demo farm, printed on one size of paper."""
    name, size = request.param
    folder = tmp_path_factory.mktemp(f"{name}{size}")
    log = shutil.copyfile(demo_file, folder / "demo.db")
    page = folder / "sheet.html"
    assert run(["sheet", *SHEETS[name], "--save", str(page), "--db", str(log)]) == 0
    return Sheet(page.read_text("utf-8"), print_page(page, size, folder))


def test_no_error_is_told_and_nothing_asked_for_from_elsewhere(sheet: Sheet) -> None:
    assert sheet.printing.console == []
    assert sheet.printing.asked == set()
    assert tuple(round(side) for side in sheet.printing.size) in SIZES.values()


def test_no_text_reaches_beyond_the_margin(sheet: Sheet) -> None:
    # 12 mm are 34 points; the last letter may lean a little out of its box
    assert max(sheet.printing.reaches) <= sheet.printing.size[0] - 33


def test_no_row_is_cut_and_the_headings_stand_above_it_on_its_page(sheet: Sheet) -> None:
    found = tables(sheet.html)
    assert found
    for heading, *rows in found:
        titles = [title for title in heading if title]
        for row in rows:
            assert pages_with(sheet.printing, [*titles, *row]), row


def test_no_page_holds_one_row_or_one_small_map_alone(sheet: Sheet) -> None:
    count = len(sheet.printing.pages)
    for number, page in enumerate(sheet.printing.pages, 1):
        assert f"page {number} of {count}" in page
        assert len(page) > 300 + _AROUND, f"page {number} stands nearly empty: {page}"


def test_a_map_of_positions_stands_whole_on_one_page(sheet: Sheet) -> None:
    for title, said in sheet.maps:
        assert pages_with(sheet.printing, [title, *said.split()[-3:]]), title


def test_a_heading_is_never_the_last_thing_on_a_page(sheet: Sheet) -> None:
    headings = [plain(one) for one in re.findall(r"<h[23]>(.*?)</h[23]>", sheet.html, re.DOTALL)]
    assert headings
    for page in sheet.printing.pages:
        assert not any(body_of(page).endswith(one) for one in headings if len(one) > 12), page[-80:]


def test_each_machine_has_pages_of_its_own_beginning_with_the_cautions(sheet: Sheet) -> None:
    titles = [plain(one) for one in re.findall(r"<h2>(.*?)</h2>", sheet.html, re.DOTALL)]
    begun = [min(pages_with(sheet.printing, [title])) for title in titles]
    assert begun == sorted(set(begun))
    for at in begun:
        assert at in pages_with(sheet.printing, [BOOK_COMES_FIRST])
