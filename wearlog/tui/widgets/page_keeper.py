"""The pages of a long list that have been fetched: which rows are here, which are missing, which may go. Draws and asks nothing."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Final

from wearlog.tui.widgets.list_rows import ListRow

#: rows fetched at once; a screen shows far fewer, so the rows around it are there before they are needed
PAGE: Final = 200
#: pages kept; older ones are fetched again
PAGES_KEPT: Final = 12


class PageKeeper:
    """Pages of `PAGE` rows by their number; every page but the last is full."""

    def __init__(self) -> None:
        self._pages: dict[int, Sequence[ListRow]] = {}

    def clear(self) -> None:
        """Forget all pages: the order has changed, or something was entered."""
        self._pages = {}

    def keep(self, first: int, rows: Sequence[ListRow], near: int | None = None) -> None:
        """Keep rows from number `first` on (the beginning of a page); with `near` the pages farthest from that row may go."""
        for start in range(0, len(rows), PAGE):
            self._pages[(first + start) // PAGE] = rows[start : start + PAGE]
        while near is not None and len(self._pages) > PAGES_KEPT:
            del self._pages[max(self._pages, key=lambda number: abs(number * PAGE - near))]

    def row_at(self, number: int) -> ListRow | None:
        """Return a row if it is here."""
        page = self._pages.get(number // PAGE)
        place = number % PAGE
        return page[place] if page is not None and 0 <= place < len(page) else None

    def number_of(self, key: Hashable) -> int | None:
        """Return the number of the row of a key, if it is here."""
        for page_number, page in self._pages.items():
            for place, row in enumerate(page):
                if row.key == key:
                    return page_number * PAGE + place
        return None

    def missing(self, top: int, bottom: int) -> tuple[int, int] | None:
        """Return (first row, how many) to fetch so that rows top to bottom are here; None when they are.

        One page more on either side comes along, so that the next step finds its rows.
        """
        first_page, last_page = top // PAGE, bottom // PAGE
        if all(number in self._pages for number in range(first_page, last_page + 1)):
            return None
        first_page = max(0, first_page - 1)
        return first_page * PAGE, (last_page + 2 - first_page) * PAGE
