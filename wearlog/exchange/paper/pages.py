"""How a page on paper is put together: the template, the style, and tables in groups of rows that stay together."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from wearlog.exchange.paper.drawing import fills
from wearlog.exchange.sheet_files import Heading, page_table
from wearlog.facts.cautions import BOOK_COMES_FIRST, CAUTIONS
from wearlog.facts.closed_lists import Hazard
from wearlog.present.answer_sheet import AnswerSheet, Row
from wearlog.present.words import capital, word

if TYPE_CHECKING:
    from markupsafe import Markup

#: rows that stay with the heading, and with the total
_TOGETHER: Final = 3


@dataclass(frozen=True, slots=True)
class PrintedTable:
    """A table on paper. The rows of a group are on one page: the first ones with the heading, the last ones with the total.

    `strips` are drawings that stand at the end of each row, under `strip_title`; empty where there are none.
    """

    headings: tuple[Heading, ...]
    groups: tuple[tuple[tuple[str, ...], ...], ...]
    foot: tuple[str, ...] = ()
    caption: str = ""
    strip_title: str = ""
    strips: tuple[Markup, ...] = ()

    @property
    def is_empty(self) -> bool:
        return not self.groups


@dataclass(frozen=True, slots=True)
class Warned:
    """A danger in the work and what to do before it."""

    title: str
    sentences: tuple[str, ...]


def printed(
    sheet: AnswerSheet[Row],
    *,
    strip_title: str = "",
    strip: Callable[[Row], str] | None = None,
    caption: str | None = None,
) -> PrintedTable:
    """Return the table of an answer for paper; `strip` draws something for each row out of figures and escaped words."""
    from markupsafe import Markup

    table = page_table(sheet)
    strips = tuple(Markup(strip(row)) for row in sheet.listed) if strip is not None else ()  # noqa: S704 - drawn by us
    return PrintedTable(
        table.headings,
        in_groups(table.rows),
        table.foot,
        table.caption if caption is None else caption,
        strip_title,
        strips,
    )


def in_groups(rows: Sequence[tuple[str, ...]]) -> tuple[tuple[tuple[str, ...], ...], ...]:
    """Part rows so that no page begins or ends with one or two of them alone."""
    rows = tuple(rows)
    if len(rows) <= 2 * _TOGETHER:
        return (rows,) if rows else ()
    first, last = rows[:_TOGETHER], rows[-_TOGETHER:]
    between = tuple((row,) for row in rows[_TOGETHER:-_TOGETHER])
    return (first, *between, last)


def warned(hazards: Sequence[Hazard]) -> tuple[Warned, ...]:
    """Return the cautions of dangers, each once; the machine's own book is said under all of them."""
    return tuple(
        Warned(capital(word(hazard)), tuple(one for one in CAUTIONS[hazard] if one != BOOK_COMES_FIRST))
        for hazard in dict.fromkeys(hazards)
    )


def html_page(template: str, content: Mapping[str, Any]) -> str:
    """Return a page as HTML that needs nothing from elsewhere; every text is escaped."""
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    places = Environment(
        loader=PackageLoader("wearlog.exchange.paper", "."),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    places.filters["said_in_style"] = said_in_style
    return places.get_template(template).render(
        fills=Markup(fills()),  # noqa: S704 - written by us
        book_first=BOOK_COMES_FIRST,
        **content,
    )


def said_in_style(said: str) -> Markup:
    """Return words as a string of CSS that cannot end the style or the page."""
    from markupsafe import Markup

    safe = "".join(one if one.isalnum() or one in " .,:()+-%" else f"\\{ord(one):x} " for one in said)
    return Markup(f'"{safe}"')  # noqa: S704 - all but letters, figures and harmless signs are escaped


def as_drawn(svg: str) -> Markup:
    """Return a drawing as markup; it is made by us out of figures and escaped words."""
    from markupsafe import Markup

    return Markup(svg)  # noqa: S704 - see above
