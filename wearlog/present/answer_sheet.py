"""What an answer is, once for all faces: its columns, its rows, its headline and its sentences. How a face draws it is not here.

Commands, screens, reports, files and JSON make their tables of the same columns (`sheet_faces` here, `list_rows` of the screens,
`sheet_files` of the exchange). A column that is added to an answer is added in one place and stands on every face.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Generic, TypeVar
from uuid import UUID

from wearlog.facts.plain_text import one_line, plain
from wearlog.ids import short_number
from wearlog.present.digits import Measures
from wearlog.present.json_form import money
from wearlog.present.tables import ONLY_WITH_ROOM as ONLY_WITH_ROOM

Row = TypeVar("Row")


def _no_value(row: Any, measures: Measures) -> None:
    """A column without a value of its own."""


def _no_words(row: Any, measures: Measures) -> str:
    return ""


@dataclass(frozen=True, slots=True)
class AnswerColumn(Generic[Row]):
    """One column of an answer: what stands in it as words, and as a value under a key of JSON.

    Parameters
    ----------
    title : str
        What stands over it; `{area}` stands for the farm's unit of area, `{money}` for its currency, in the legend too. A column
        without words is in JSON and files alone.
    words : callable
        `(row, measures) -> str`, the cell as people read it.
    key : str
        Its name in JSON; `{acres}` stands for acres or hectares, `{acre}` for one of them. Empty:
        words alone, such as a box to tick.
    value : callable
        `(row, measures)` -> the same as a plain value for JSON and workbooks. None is null.
    least, most : int
        Cells it needs, and cells beyond which it wraps or is cut.
    figures : bool
        Stands to the right.
    gives : int
        What gives way first where room is wanting: the heaviest number goes first, 0 never goes, `ONLY_WITH_ROOM` goes before
        any other column is cut.
    room : int
        Cells down to which it is cut before a column of `gives` 2 and more goes; 0: down to `least`, as the others. Words that
        have shorter forms are not cut then: they stay whole as long as the least widths of the others leave them the room.
    short : sequence of callable
        The same cell in fewer words, the longest first. Where the long ones find no room all rows have shorter ones.
    titles : sequence of str
        What stands over each shorter form, where the title fits the long one alone: a scale.
    order : callable or None
        `row -> something that can be compared`: by it a list is ordered. None: the list is not ordered by this column.
    sort : str
        The name of that order where the rows come from a query page by page; else empty.
    legend : str
        What the column means, for under the table.
    tells_more : bool
        The words say more than the value: a range, a unit of its own, a mark beside the figure.
    paper : bool
        Stands on paper only: what a hand fills in.
    inlaid : bool
        The value is a mapping whose keys stand in the row of JSON themselves: keys whose unit differs from row to row.
    drawn : bool
        The spaces before the words are part of them: a drawing, or words that stand clear of a mark.
    clauses : bool
        Where a list has no room for all the words, it says as many whole clauses of them as fit.
    """

    title: str
    words: Callable[[Row, Measures], str] = _no_words
    key: str = ""
    value: Callable[[Row, Measures], Any] = _no_value
    least: int = 6
    most: int = 40
    figures: bool = False
    gives: int = 0
    room: int = 0
    short: Sequence[Callable[[Row, Measures], str]] = ()
    titles: Sequence[str] = ()
    order: Callable[[Row], Any] | None = None
    sort: str = ""
    legend: str = ""
    tells_more: bool = False
    paper: bool = False
    inlaid: bool = False
    drawn: bool = False
    clauses: bool = False

    @property
    def is_shown(self) -> bool:
        """Whether it has words: columns without any are in JSON and files alone."""
        return self.words is not _no_words

    @property
    def order_name(self) -> str:
        """The name a list asks for this order by; empty when it cannot be ordered so."""
        return self.sort or (self.title or self.key if self.order is not None else "")

    def heading(self, measures: Measures) -> str:
        """Return the title in the farm's units."""
        return _in_units(self.title, measures)

    def meaning(self, measures: Measures) -> str:
        """Return the legend in the farm's units; empty where the title says all."""
        return _in_units(self.legend, measures)

    def json_key(self, measures: Measures) -> str:
        """Return the key in the farm's units."""
        many = measures.area_word
        return self.key.replace("{acres}", many).replace("{acre}", many.removesuffix("s"))

    def cell(self, row: Row, measures: Measures, shorter: int = 0) -> str:
        """Return the words of a row as one line that cannot act on a terminal; `shorter` counts how often they were shortened."""
        forms = (self.words, *self.short)
        words = forms[min(shorter, len(self.short))](row, measures)
        return as_drawn(words) if self.drawn else one_line(words)


def as_drawn(text: str) -> str:
    """Return the text plain and on one line, the spaces before it kept."""
    return " " * (len(text) - len(text.lstrip(" "))) + " ".join(plain(text).split("\n"))


def _in_units(text: str, measures: Measures) -> str:
    return text.replace("{area}", measures.area_unit).replace("{money}", measures.settings.currency)


def data(key: str, value: Callable[[Row, Measures], Any]) -> AnswerColumn[Row]:
    """Return a column that stands in JSON and files alone."""
    return AnswerColumn("", key=key, value=value)


def entry_number(row_id: Callable[[Row], UUID], *, gives: int, title: str = "no.") -> AnswerColumn[Row]:
    """Return the column of the number by which 'wearlog change' and 'wearlog undo' take the entry behind a row."""
    return AnswerColumn(
        title,
        lambda row, _: short_number(row_id(row)),
        "entry_number",
        lambda row, _: short_number(row_id(row)),
        least=6,
        most=6,
        gives=gives,
    )


def money_value(minor: Callable[[Row], float | None]) -> Callable[[Row, Measures], dict[str, str] | None]:
    """Return the value of a column of money: the amount with its currency, null where nobody knows it."""
    return lambda row, measures: money(minor(row), measures.settings.currency)


def box(title: str) -> AnswerColumn[Any]:
    """Return a column that stands on paper only, empty, for a hand to fill in."""
    return AnswerColumn(title, lambda _, __: "", paper=True)


def _row_itself(row: Any) -> Hashable:
    return row if isinstance(row, Hashable) else id(row)


def _never(row: Any) -> bool:
    return False


@dataclass(frozen=True, slots=True)
class RowRule(Generic[Row]):
    """Which rows are worth a look; the others are counted below them and shown when all are asked for.

    `more` says of so many rows what they are, `none` that no row is worth a look, as sentences.
    """

    is_worth: Callable[[Row], bool]
    more: Callable[[int], str]
    none: str = ""


@dataclass(frozen=True, slots=True)
class AnswerSheet(Generic[Row]):
    """One answer: rows of one sort under their columns.

    `name` is the key of the rows in JSON. `headline` is the answer and stands first on a screen: one sentence, or one and what
    belongs to it; `answer` is then the sentence that it begins with. `sentences` stand under the table; `empty` says why there is
    no row and what to do. `elsewhere` is a row of what belongs to none of the others: it stands last, and is no row of the JSON.
    `foot` is a row of sums under a rule. `beside` are further keys of the JSON. `rule` says which rows are worth a look, `rest`
    what is said of those that `short` leaves out. `made` has the words of rows that did not change since they were made. `key_of`
    tells rows apart, `about` says in a sentence or two what is known of the row under the cursor, `shouts` says whether the row
    wants a hand.

    Examples
    --------
    >>> from wearlog.facts.farm_settings import FarmSettings
    >>> columns = [
    ...     AnswerColumn("part", lambda row, _: row[0], "part", lambda row, _: row[0]),
    ...     AnswerColumn("on hand", lambda row, _: f"{row[1]}", "on_hand", lambda row, _: row[1], figures=True),
    ... ]
    >>> shelf = AnswerSheet("shelf", columns, [("knife section", 40)], Measures(FarmSettings()))
    >>> shelf.cells(shelf.rows[0])
    ('knife section', '40')
    """

    name: str
    columns: Sequence[AnswerColumn[Row]]
    rows: Sequence[Row]
    measures: Measures
    headline: str = ""
    answer: str = ""
    sentences: Sequence[str] = ()
    empty: str = ""
    elsewhere: Row | None = None
    foot: Row | None = None
    beside: Mapping[str, Any] = field(default_factory=dict)
    caption: str = ""
    rule: RowRule[Row] | None = None
    rest: str = ""
    made: Mapping[Row, tuple[str, ...]] = field(default_factory=dict)
    key_of: Callable[[Row], Hashable] = _row_itself
    about: Callable[[Row, Measures], str] = _no_words
    shouts: Callable[[Row], bool] = _never

    @property
    def halves(self) -> tuple[str, str]:
        """The answer as one sentence, and what else the headline says."""
        answer = self.answer or self.headline
        return answer, self.headline.removeprefix(answer).strip()

    @property
    def said(self) -> list[str]:
        """The headline as lines: the answer, and what else it says."""
        return [half for half in self.halves if half]

    @property
    def listed(self) -> list[Row]:
        """The rows and what belongs to none of them, without the sums."""
        return [*self.rows] if self.elsewhere is None else [*self.rows, self.elsewhere]

    @property
    def shown(self) -> list[AnswerColumn[Row]]:
        """The columns with words that a screen and a command show."""
        return [column for column in self.columns if column.is_shown and not column.paper]

    @property
    def printed(self) -> list[AnswerColumn[Row]]:
        """The columns of the page on paper."""
        return [column for column in self.columns if column.is_shown]

    def short(self) -> AnswerSheet[Row]:
        """Return the answer with the rows that are worth a look alone, and how many more there are."""
        if self.rule is None:
            return self
        worth = [row for row in self.rows if self.rule.is_worth(row)]
        left = len(self.rows) - len(worth)
        rest, empty = self.rule.more(left) if left else "", self.rule.none if left else self.empty
        return replace(self, rows=worth, rest=rest, empty=empty)

    def only(self, *keys: str) -> AnswerSheet[Row]:
        """Return the same answer with some of its columns alone, in their order; for a page that has no room for the rest."""
        return replace(self, columns=[column for column in self.columns if column.key in keys], made={})

    @property
    def legends(self) -> list[str]:
        """What the columns that are shown mean."""
        return legends(self.shown, self.measures) if self.rows else []

    def cells(self, row: Row) -> tuple[str, ...]:
        """Return the words of a row for the columns that are shown."""
        if self.made and row in self.made:
            return self.made[row]
        return tuple(column.cell(row, self.measures) for column in self.shown)

    def forms(self, row: Row) -> list[tuple[str, ...]]:
        """Return the same, and under it with the words shortened once, twice, ... as far as a column has shorter ones."""
        columns, cells = self.shown, self.cells(row)
        shorter = (
            tuple(
                column.cell(row, self.measures, times) if column.short else cell
                for column, cell in zip(columns, cells, strict=True)
            )
            for times in range(1, 1 + max(len(column.short) for column in columns))
        )
        return [cells, *shorter]


def legends(columns: Iterable[AnswerColumn[Any]], measures: Measures) -> list[str]:
    """Return what columns mean, for under a table."""
    return [column.meaning(measures) for column in columns if column.legend]
