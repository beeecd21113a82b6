"""The lines of the season plan as an answer: what to replace or run, what that saves and how sure it is; and the undecided."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final
from uuid import UUID

from wearlog.facts.days import date_said
from wearlog.facts.positions import format_positions, one_of
from wearlog.plan.decide import Verdict
from wearlog.plan.positions import Saving
from wearlog.present.answer_sheet import ONLY_WITH_ROOM, AnswerColumn, AnswerSheet, RowRule, data, money_value
from wearlog.present.digits import NOTHING, Measures, amount, percent
from wearlog.present.json_form import rounded
from wearlog.present.plan.plan_words import gain_words, line_name, sure, undecided_sentence, verdict_words, which_words
from wearlog.present.sheet_faces import row_json
from wearlog.present.words import capital, counted
from wearlog.reckoning.plan.line import PlanLine
from wearlog.reckoning.plan.order_dates import OrderBy, first_acre, order_by
from wearlog.reckoning.plan.season_plan import SeasonPlanView

_NOTHING_PAYS: Final = "Nothing pays to replace before the season."


@dataclass(frozen=True, slots=True, eq=False)
class PlanRow:
    """A line of the plan as it stands.

    Attributes
    ----------
    number : int
        Its place among the plan's lines.
    line : PlanLine
    done : tuple of int
        Positions that the plan replaces.
    positions : tuple of int
        Those that the row speaks of: done ones, else those proposed.
    saving : Saving or None
        What replacing them saves.
    changed : bool
        What a person chose is not saved yet.
    leads : bool
        The log has it as chosen by hand to be replaced: whatever it saves or loses, it must not be out of sight.
    order : OrderBy or None
        The last day to order its part, where the plan replaces it and orders that.
    """

    number: int
    line: PlanLine
    done: tuple[int, ...]
    positions: tuple[int, ...]
    saving: Saving | None
    changed: bool
    leads: bool = False
    order: OrderBy | None = None

    @property
    def component_id(self) -> UUID:
        return self.line.component.id

    @property
    def loses(self) -> bool:
        """Whether replacing costs more than running, on the mean."""
        return self.saving is not None and self.saving.mean_minor < 0

    @property
    def is_weighed(self) -> bool:
        """Whether figures or a person have decided on it."""
        line = self.line
        return bool(self.done or line.decision is not None or line.by_hand is not None or line.by_hand_done)

    @property
    def is_worth(self) -> bool:
        """Whether it is in the plan, pays, is so close that it may save nothing, or was chosen by hand."""
        line = self.line
        by_hand = line.by_hand is not None or bool(line.by_hand_done)
        return bool(self.done) or by_hand or self.changed or line.saving_minor(line.best) > 0


def plan_rows(
    view: SeasonPlanView, saved: SeasonPlanView | None = None, known: Mapping[UUID, PlanRow] | None = None
) -> list[PlanRow]:
    """Return every line as a row, the largest saving first.

    Parameters
    ----------
    view : SeasonPlanView
    saved : SeasonPlanView, optional
        The plan as it is in the log, where `view` may hold choices made since.
    known : mapping of UUID to PlanRow, optional
        Rows shown before: what has not changed of them is not worked out again.
    """
    rows = []
    days = order_days(view)
    for number, (line, done) in enumerate(zip(view.lines, view.found.replaced, strict=True)):
        before = line if saved is None else saved.lines[number]
        changed = (line.by_hand_replace, line.by_hand_run) != (before.by_hand_replace, before.by_hand_run)
        old = known.get(line.component.id) if known is not None else None
        leads = bool(before.by_hand_replace)
        order = days.get(line.part.part.id) if done and line.part is not None else None
        now = (number, done, changed, leads, order)
        same = (old.number, old.done, old.changed, old.leads, old.order) == now if old else False
        if old is not None and old.line is line and same:
            rows.append(old)
            continue
        positions = done or line.proposed or line.best
        rows.append(PlanRow(number, line, done, positions, line.saving(positions), changed, leads, order))
    return rows


def plan_line_sheet(
    view: SeasonPlanView, measures: Measures, rows: list[PlanRow] | None = None
) -> AnswerSheet[PlanRow]:
    """Return the answer of the lines that figures or a person have decided on; `rows` where they are worked out already.

    What was chosen by hand to be replaced stands first. One that loses would else be the last of the list: it stands behind the
    first that saves. What is not saved yet stays in its place, so that no line jumps under the key that chooses.
    """
    rows = plan_rows(view) if rows is None else rows
    return AnswerSheet(
        name="replace",
        columns=COLUMNS,
        rows=_in_order([row for row in rows if row.is_weighed]),
        measures=measures,
        empty=_NOTHING_PAYS,
        rule=RowRule(lambda row: row.is_worth, _best_run, _NOTHING_PAYS),
        key_of=lambda row: row.component_id,
        about=_about,
    )


def _in_order(rows: Sequence[PlanRow]) -> list[PlanRow]:
    """What leads before the others, as they come; a line that loses money never stands first."""
    saving = [row for row in rows if row.leads and not row.loses]
    losing = [row for row in rows if row.leads and row.loses]
    others = [row for row in rows if not row.leads]
    first = saving or others[:1]
    return [*first, *losing, *others[len(first) if not saving else 0 :]]


def undecided_line_sheet(
    view: SeasonPlanView, measures: Measures, rows: list[PlanRow] | None = None
) -> AnswerSheet[PlanRow]:
    """Return the answer of the lines of which nothing can be said; why stands in `about`."""
    rows = plan_rows(view) if rows is None else rows
    return AnswerSheet(
        name="undecided",
        columns=_UNDECIDED_COLUMNS,
        rows=[row for row in rows if not row.is_weighed],
        measures=measures,
        headline="Not decided",
        rule=RowRule(lambda row: row.changed, lambda left: f"Of {counted(left, 'component')} the figures say nothing."),
        key_of=lambda row: row.component_id,
        about=lambda row, measures: undecided_sentence(row.line, measures),
    )


def line_json(view: SeasonPlanView, number: int, measures: Measures) -> dict[str, Any]:
    """Return one line as JSON, whether or not it is decided on."""
    return row_json(COLUMNS, plan_rows(view)[number], measures)


def _best_run(left: int) -> str:
    more = "more is best run as it is" if left == 1 else "more are best run as they are"
    return f"{capital(counted(left, 'component'))} {more}."


def in_number(row: PlanRow, name: str) -> str:
    """Return a name as it stands before the positions of a row: in the singular where it is one of several."""
    return one_of(name) if len(row.positions) == 1 < row.line.component.positions else name


def _about(row: PlanRow, measures: Measures) -> str:
    line, decision, saving = row.line, row.line.decision, row.saving
    if decision is None or saving is None:
        return undecided_sentence(line, measures)
    words = (
        f"{capital(in_number(row, line_name(line)))} {which_words(line, row.positions)}".rstrip()
        + f": it {_gains(saving, measures)}; {sure(saving.chance)} sure that it saves."
    )
    if saving.verdict is Verdict.EITHER_WAY:
        words = f"{words} It may save nothing: unsure."
    if row.order is not None and line.part is not None:
        words = f"{words} {line.part.part.number}: {day_said(row.order)}."
    run, replaced = (amount(one, cents=False) for one in (_cost_keep(row), _cost_replace(row)))
    return f"{words} Running on costs {run} over the seasons to come, replacing {replaced}."


def _gains(saving: Saving, measures: Measures) -> str:
    low, high = saving.low_minor, saving.high_minor
    if amount(low, cents=False) == amount(high, cents=False):
        # what is broken breaks no more: nothing of it is a matter of chance
        return f"{'saves' if low >= 0 else 'costs'} {measures.money(abs(low), cents=False)}"
    return f"{gain_words(low, high)} {measures.settings.currency} in 8 of 10 cases"


def _saves(row: PlanRow, measures: Measures) -> str:
    if row.line.decision is None:
        return NOTHING
    return amount(0 if row.saving is None else row.saving.mean_minor, cents=False)


def _worst(row: PlanRow) -> float | None:
    """The chance that the weakest position fails in the season."""
    decision = row.line.decision
    return None if decision is None else 1 - min(one.lasts_season for one in decision.by_position)


def _fails(row: PlanRow, measures: Measures) -> str:
    worst = _worst(row)
    return NOTHING if worst is None else percent(worst)


def _usage(of: Callable[[PlanLine], float | None]) -> tuple[Callable[[PlanRow, Measures], str], Callable[..., Any]]:
    """A usage of the kind's meter in words, and as a value."""

    def words(row: PlanRow, measures: Measures) -> str:
        return measures.usage(row.line.kind.meter_kind, of(row.line))

    def value(row: PlanRow, measures: Measures) -> float | None:
        usage = of(row.line)
        return None if usage is None else rounded(measures.usage_number(row.line.kind.meter_kind, usage), 1)

    return words, value


def _cost_keep(row: PlanRow) -> int | None:
    return None if row.line.decision is None else row.line.decision.cost_run_minor


def _cost_replace(row: PlanRow) -> int | None:
    run = _cost_keep(row)
    return None if run is None or row.saving is None else run - row.saving.mean_minor


def row_says(row: PlanRow, measures: Measures) -> str:
    """Return what is said of a row; a star marks what is not saved yet."""
    return f"{verdict_words(row.line, in_plan=bool(row.done))}{' *' if row.changed else ''}"


#: the same where the words find no room
_SHORT: Final = {"keep running": "keep", "kept by hand": "kept", "not decided": "undecided"}


def _says_short(row: PlanRow, measures: Measures) -> str:
    said = row_says(row, measures)
    words = said.removesuffix(" *")
    return _SHORT.get(words, words) + said[len(words) :]


_AGE, _LIMIT = _usage(lambda line: max(line.ages) if line.ages else None), _usage(lambda line: line.limit_age)
_MEDIAN = _usage(lambda line: None if line.life.median is None else line.life.median.median)
_LOW = _usage(lambda line: None if line.life.median is None else line.life.median.low)
_HIGH = _usage(lambda line: None if line.life.median is None else line.life.median.high)

_SHOWN: Final[tuple[AnswerColumn[PlanRow], ...]] = (
    AnswerColumn(
        "", lambda row, _: "[x]" if row.done else "[ ]", "in_plan", lambda row, _: bool(row.done), least=3, most=3
    ),
    AnswerColumn(
        "part",
        lambda row, _: in_number(row, line_name(row.line)),
        "component",
        lambda row, _: line_name(row.line),
        least=19,
        most=60,
    ),
    AnswerColumn(
        "which",
        lambda row, _: which_words(row.line, row.positions),
        "positions",
        lambda row, _: format_positions(row.positions),
        least=12,
        most=16,
        gives=3,
    ),
    AnswerColumn("age", _AGE[0], "age", _AGE[1], least=9, most=10, figures=True, gives=2),
    AnswerColumn("limit", _LIMIT[0], "limit_age", _LIMIT[1], least=9, most=10, figures=True, gives=4),
    AnswerColumn(
        "may fail",
        _fails,
        "fails_in_season",
        lambda row, _: rounded(_worst(row)),
        least=9,
        most=9,
        figures=True,
        gives=ONLY_WITH_ROOM,
        legend="May fail: the chance that the most worn one fails in the season.",
    ),
    AnswerColumn(
        "saves",
        _saves,
        "saving",
        money_value(lambda row: None if row.saving is None else row.saving.mean_minor),
        least=7,
        most=10,
        figures=True,
        legend="Saves: in {money} over the seasons to come, on the mean.",
    ),
    AnswerColumn(
        "sure",
        lambda row, _: NOTHING if row.saving is None else sure(row.saving.chance),
        "chance_saves",
        lambda row, _: None if row.saving is None else rounded(row.saving.chance),
        least=9,
        most=9,
        figures=True,
        gives=1,
        legend='Sure: belief that it saves at all. Where it may save nothing it says "unsure".',
    ),
    AnswerColumn(
        "says",
        row_says,
        "do",
        lambda row, _: row.line.by_hand or row.line.verdict,
        least=11,
        most=14,
        short=(_says_short,),
    ),
)
COLUMNS: Final[tuple[AnswerColumn[PlanRow], ...]] = (
    *_SHOWN,
    data("kind", lambda row, _: row.line.kind.name),
    data("cost_keep", money_value(_cost_keep)),
    data("cost_replace", money_value(_cost_replace)),
    data("by_hand", lambda row, _: row.line.by_hand is not None),
    data(
        "done_by_hand",
        lambda row, _: format_positions(row.line.by_hand_done) if row.line.by_hand_done else None,
    ),
    data("unit", lambda row, measures: measures.usage_unit(row.line.kind.meter_kind)),
    data("saving_low", money_value(lambda row: None if row.saving is None else row.saving.low_minor)),
    data("saving_high", money_value(lambda row: None if row.saving is None else row.saving.high_minor)),
    data("stops_run", lambda row, _: rounded(row.line.stops(()))),
    data("stops_replaced", lambda row, _: rounded(row.line.stops(row.positions))),
    data("life_median", _MEDIAN[1]),
    data("life_low", _LOW[1]),
    data("life_high", _HIGH[1]),
    data("failures", lambda row, _: rounded(row.line.life.failures, 1)),
    data("lives", lambda row, _: rounded(row.line.life.lives, 1)),
    data("starting_guess", lambda row, _: row.line.life.has_guess),
    data("failed_positions", lambda row, _: format_positions(row.line.failed)),
    data("measurements", lambda row, _: row.line.life.measured),
    data("part", lambda row, _: None if row.line.part is None else row.line.part.part.number),
    data("order_by", lambda row, _: None if row.order is None else row.order.day.isoformat()),
    data("standing_from", lambda row, _: row.line.basis.habits.standing.source),
)
_UNDECIDED_COLUMNS: Final[tuple[AnswerColumn[PlanRow], ...]] = (
    *(replace(column, key=column.key if column.key == "component" else "") for column in _SHOWN),
    data("kind", lambda row, _: row.line.kind.name),
    data("why", lambda row, _: row.line.undecided),
    data("said", lambda row, measures: undecided_sentence(row.line, measures)),
    data("worth_below", money_value(lambda row: row.line.worth_below_minor)),
)


def order_days(view: SeasonPlanView) -> Mapping[UUID, OrderBy]:
    """Return the last day to order of every part that the plan orders; nothing where nobody knows when cutting begins."""
    first, today = first_acre(view.farm, view.season), view.farm.now.date()
    if first is None:
        return {}
    replaced = {line.need for line in view.found.spares if line.for_replacement}
    shop = view.found.totals.shop_seconds
    found = {}
    for order in view.found.orders.orders:
        for line in order.lines:
            part = view.needs[line.part].shelf.part.id
            by = order_by(first, view.times[part], today, shop_seconds=shop if line.part in replaced else None)
            if by is not None:
                found[part] = by
    return found


def day_said(by: OrderBy) -> str:
    """Return "order it by 2 May 2027", or that it is late."""
    if by.is_late:
        return "order it today: late already"
    return (
        f"order it by {date_said(by.day)} (here 9 times in 10 before {'the work' if by.for_work else 'the first acre'})"
    )
