"""The windowed list: it fetches what is in view, keeps its cursor on the row, and leaves filter and order to the source."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Hashable, Sequence
from typing import Any

from textual.app import App, ComposeResult
from textual.pilot import Pilot

from tests.tui.piloting import press, screen_lines, settled
from wearlog.errors import RefusedError
from wearlog.present.answer_sheet import ONLY_WITH_ROOM
from wearlog.tui.door import Door
from wearlog.tui.gateway import AnswerCame, Gateway
from wearlog.tui.widgets.list_face import PAGE
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListOrder, ListRow, column_widths
from wearlog.tui.widgets.windowed_list import WindowedList

COLUMNS = (ListColumn("number", 10, 12, sort="number"), ListColumn("square", 12, 20, figures=True, weight=1))


class Numbers:
    """So many numbers as rows; writes down what was asked of it."""

    columns = COLUMNS

    def __init__(self, count: int, first: int = 0) -> None:
        self.total = count
        self.first = first
        self.asked: list[tuple[int, int]] = []
        self.may_answer = threading.Event()
        self.may_answer.set()

    def _numbers(self, order: ListOrder) -> Sequence[int]:
        found: Sequence[int] = range(self.first, self.first + self.total)
        if order.words:
            found = [one for one in found if order.words in str(one)]
        return found[::-1] if order.backwards else found

    def count(self, door: Door, order: ListOrder) -> int:
        return len(self._numbers(order))

    def page(self, door: Door, order: ListOrder, first: int, size: int) -> Sequence[ListRow]:
        self.may_answer.wait(10)
        self.asked.append((first, size))
        return [ListRow(one, (f"n{one}", str(one * one))) for one in self._numbers(order)[first : first + size]]

    def place_of(self, door: Door, order: ListOrder, key: Hashable) -> int | None:
        numbers = self._numbers(order)
        return numbers.index(key) if key in numbers else None  # type: ignore[arg-type]


class Bench(App[None]):
    """An app with nothing but the list."""

    CSS = "Screen { layers: base; }"

    def __init__(self, source: Numbers) -> None:
        super().__init__()
        self.gateway = Gateway("")
        self.source = source
        self.told: list[str] = []
        from wearlog.tui.themes import THEMES

        for theme in THEMES:
            self.register_theme(theme)
        self.theme = "daylight"

    def compose(self) -> ComposeResult:
        yield WindowedList(empty="Nothing here.")

    def on_mount(self) -> None:
        self.query_one(WindowedList).show(self.source)

    def ask(self, *asked: Any) -> None:
        self.gateway.ask(*asked)

    def say(self, sentence: str, *, alarm: bool = False) -> None:
        self.told.append(sentence)

    def on_answer_came(self, message: AnswerCame) -> None:
        message.deliver()


def with_list(source: Numbers, steps: object, size: tuple[int, int] = (60, 12)) -> None:
    async def run() -> None:
        app = Bench(source)
        async with app.run_test(size=size) as pilot:
            await settled(pilot)
            await steps(pilot, app.query_one(WindowedList))  # type: ignore[operator]

    asyncio.run(run())


def test_of_a_million_rows_only_the_pages_in_view_are_fetched() -> None:
    source = Numbers(1_000_000)

    async def steps(pilot: Pilot[None], rows: WindowedList) -> None:
        assert rows.count == 1_000_000
        assert "n0 " in screen_lines(pilot.app)[1]
        await press(pilot, "end")
        assert rows.cursor == 999_999
        assert "n999999" in screen_lines(pilot.app)[-1]
        await press(pilot, "pageup")
        assert rows.row is not None
        assert rows.row.key == 999_989
        assert sum(size for _, size in source.asked) <= 6 * PAGE

    with_list(source, steps)


def test_a_key_press_does_not_wait_for_rows_that_are_still_being_fetched() -> None:
    source = Numbers(100_000)

    async def steps(pilot: Pilot[None], rows: WindowedList) -> None:
        source.may_answer.clear()
        await pilot.press("end")
        await pilot.press("up")
        assert rows.cursor == 99_998
        await pilot.pause(0.05)
        assert screen_lines(pilot.app)[-1].strip() == "..."
        source.may_answer.set()
        await settled(pilot)
        assert "n99999" in screen_lines(pilot.app)[-1]

    with_list(source, steps)


def test_the_cursor_stays_on_its_row_when_rows_come_in_before_it() -> None:
    source = Numbers(1_000, first=500)

    async def steps(pilot: Pilot[None], rows: WindowedList) -> None:
        await press(pilot, *["down"] * 7)
        assert rows.row is not None
        assert rows.row.key == 507
        source.first, source.total = 0, 1_500
        rows.reload()
        await settled(pilot)
        assert rows.row.key == 507
        assert rows.cursor == 507
        assert any(line.startswith(">n507") for line in screen_lines(pilot.app))

    with_list(source, steps)


def test_filter_and_order_are_the_sources_work_and_keep_the_cursors_row() -> None:
    source = Numbers(5_000)

    async def steps(pilot: Pilot[None], rows: WindowedList) -> None:
        await press(pilot, *["down"] * 9)
        rows.sort_by(ListOrder(words="9"))
        await settled(pilot)
        assert rows.row is not None
        assert (rows.row.key, rows.cursor) == (9, 0)
        rows.sort_by(ListOrder(sort="number", backwards=True))
        await settled(pilot)
        assert (rows.row.key, rows.cursor) == (9, 4_990)
        assert "number v" in screen_lines(pilot.app)[0]

    with_list(source, steps)


def test_rows_of_the_old_order_never_stand_among_those_of_the_new_one() -> None:
    source = Numbers(10_000)

    async def steps(pilot: Pilot[None], rows: WindowedList) -> None:
        source.may_answer.clear()
        rows.sort_by(ListOrder(sort="number", backwards=True))
        await pilot.press("end")
        await pilot.pause(0.05)
        source.may_answer.set()
        await settled(pilot)
        await press(pilot, "home")
        assert screen_lines(pilot.app)[1].startswith(">n9999 ")
        await press(pilot, "end")
        assert screen_lines(pilot.app)[-1].startswith(">n0 ")

    with_list(source, steps)


def test_rows_that_could_not_be_fetched_are_asked_for_again() -> None:
    source = Numbers(10_000)
    really = source.page

    def refuse(*_: object) -> Sequence[ListRow]:
        raise RefusedError("The disk has gone.", "Put it back.")

    async def steps(pilot: Pilot[None], rows: WindowedList) -> None:
        source.page = refuse  # type: ignore[method-assign]
        await press(pilot, "end")
        assert pilot.app.told == ["The disk has gone. Put it back."]  # type: ignore[attr-defined]
        source.page = really  # type: ignore[method-assign]
        await press(pilot, "up")
        assert "n9998" in screen_lines(pilot.app)[-2]

    with_list(source, steps)


def test_a_filter_that_lets_nothing_through_says_so() -> None:
    async def steps(pilot: Pilot[None], rows: WindowedList) -> None:
        rows.sort_by(ListOrder(words="x"))
        await settled(pilot)
        assert screen_lines(pilot.app)[1] == "Nothing here."
        await press(pilot, "down", "end", "enter")
        assert rows.row is None

    with_list(Numbers(50), steps)


def test_a_heading_is_passed_over_by_the_cursor() -> None:
    rows_shown = (
        ListRow("h1", ("FIRST",), heading=True),
        ListRow(1, ("one", "1")),
        ListRow("h2", ("SECOND",), heading=True),
        ListRow(2, ("two", "4")),
    )

    async def steps(pilot: Pilot[None], rows: WindowedList) -> None:
        rows.show(FixedSource(COLUMNS, rows_shown))
        await settled(pilot)
        keys = []
        for key in ("down", "down", "up", "up", "home", "end"):
            await press(pilot, key)
            assert rows.row is not None
            keys.append(rows.row.key)
        assert keys == [2, 2, 1, 1, 1, 2]

    with_list(Numbers(3), steps)


def test_columns_leave_by_weight_when_the_screen_is_narrow_and_share_what_is_left() -> None:
    columns = (ListColumn("a", 10, 20), ListColumn("b", 8, 8, weight=2), ListColumn("c", 5, 9, weight=1))
    assert column_widths(columns, 60) == [(0, 20), (1, 8), (2, 9)]
    assert column_widths(columns, 26) == [(0, 11), (1, 8), (2, 5)]
    assert column_widths(columns, 20) == [(0, 14), (2, 5)]
    assert column_widths(columns, 12) == [(0, 12)]
    # one that stands only with room cuts no other
    columns = [ListColumn("name", 4, 20), ListColumn("more", 4, 9, weight=ONLY_WITH_ROOM)]
    assert column_widths(columns, 30) == [(0, 20), (1, 9)]
    assert column_widths(columns, 29) == [(0, 20)]
