"""A section of a screen as an answer: sentences, a list, a picture that is made when its row is looked at. Draws nothing."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from wearlog.facts.cautions import BOOK_COMES_FIRST, sentences_of
from wearlog.facts.plain_text import one_line
from wearlog.present.answer_sheet import AnswerSheet, Row
from wearlog.present.sheet_faces import said_under
from wearlog.present.words import by_keys
from wearlog.tui.widgets.list_rows import ListColumn, ListRow, list_with_sums

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import Hazard
    from wearlog.present.charts import Chart

#: the name of the section that `!` opens
CAUTIONS: Final = "Before you touch it"


@dataclass(frozen=True, slots=True)
class Picture:
    """A chart and the lines of its table twin; without a chart the lines `drawn`, or those that `drawn_in` makes for a size."""

    chart: Chart | None
    twin: tuple[str, ...] = ()
    drawn: tuple[str, ...] = ()
    drawn_in: Callable[[int, int], Sequence[str]] | None = None


@dataclass(frozen=True, slots=True)
class Section:
    """One section.

    Attributes
    ----------
    name : str
        In the line of sections.
    before, after : tuple of str
        Sentences above and below the picture.
    columns, rows : sequences
        A list; none without columns. `empty` stands there while it has no row.
    picture : callable or None
        Takes the key of the row under the cursor (None without a list); runs in a thread on frozen answers alone.
    picture_lines : int
        Lines that the picture wants; the list beside it gets the rest.
    about : str
        What it means, for the screen's page of keys and words.
    """

    name: str
    before: tuple[str, ...] = ()
    columns: Sequence[ListColumn] = ()
    rows: Sequence[ListRow] = ()
    empty: str = "Nothing here yet."
    picture: Callable[[Hashable | None], Picture | None] | None = None
    after: tuple[str, ...] = ()
    picture_lines: int = 14
    about: str = ""


def sheet_section(
    name: str,
    sheet: AnswerSheet[Row],
    *,
    before: Sequence[str] = (),
    after: Sequence[str] | None = None,
    picture: Callable[[Hashable | None], Picture | None] | None = None,
    picture_lines: int = 14,
    about: str = "",
) -> Section:
    """Return the section of this name, with sentences `before` its list; `after` stands for those of the answer itself.

    `picture` takes the answer's key of the row under the cursor; `about` says on the screen's page of keys what the section means.
    """
    columns, rows = list_with_sums(sheet)
    under = said_under(sheet) if after is None else after
    return Section(
        name,
        before=one_liners(before),
        columns=columns,
        rows=rows,
        empty=by_keys(sheet.empty),
        picture=picture if sheet.listed else None,
        after=one_liners(under) if sheet.listed or after is not None else (),
        picture_lines=picture_lines,
        about=about,
    )


def cautions_section(hazards: Iterable[Hazard]) -> Section:
    """Return the section of what to read before the work; the machine's own book stands last."""
    return Section(CAUTIONS, (*sentences_of(hazards), BOOK_COMES_FIRST))


def one_liners(sentences: Iterable[str]) -> tuple[str, ...]:
    """Return sentences as lines that a screen folds to its own width."""
    return tuple(one_line(by_keys(sentence)) for sentence in sentences)
