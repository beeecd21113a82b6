"""What the money of a season plan buys, part by part, the largest saving first, and what it does not reach: bars that fall off."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from wearlog.facts.short_names import MOST, short_name
from wearlog.harvest.by_line import Bools
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data, money_value
from wearlog.present.digits import NOTHING, Measures, amount, number
from wearlog.present.drawing.drawn import EMPTY_BOX, FULL_BOX, joined
from wearlog.present.drawing.sum_strip import bar
from wearlog.present.plan.plan_words import line_name
from wearlog.reckoning.plan.season_plan import SeasonPlanView

#: cells of a bar where there is room, on a usual terminal, on a phone
_WIDE, _NARROW, _PHONE = 30, 18, 9
#: boxes leave air between the rows: bars of blocks would run together to one dark mass
_FULL, _BEYOND = FULL_BOX, EMPTY_BOX
#: in the place of a bar
_BY_HAND: Final = "chosen by hand"


@dataclass(frozen=True, slots=True)
class MoneyRow:
    """One part: what is paid for it and what that saves.

    Attributes
    ----------
    need : int
        The part's place in the needs; below nothing for lines that take none.
    name : str
    pieces, fitted : int
        Pieces bought, and positions fitted before the season (also from the shelf).
    pays_minor : int
    saves_minor : int or None
        On the mean, not waiting and replacing together. None for what is bought only because the farm keeps so many.
    within : bool
        The money reaches it. Else the row is what more of it the plan would take without limits.
    by_hand : bool
        Somebody chose by hand to fit it.
    """

    need: int
    name: str
    pieces: int
    fitted: int
    pays_minor: int
    saves_minor: int | None
    within: bool
    by_hand: bool = False


def money_rows(view: SeasonPlanView) -> tuple[list[MoneyRow], list[MoneyRow]]:
    """Return what the money buys and what it does not reach, each with the largest saving first.

    Notes
    -----
    What is not reached is what would be chosen without limits, less what is chosen: both are ways of one choice, so that a part's
    saving is counted once, its waiting and its replacing together.
    """
    wishes = view.found.ways.wishes
    now, then = _by_need(view, view.found.choice.chosen), _by_need(view, wishes.must | wishes.best)
    within = [_row(view, need, one, within=True) for need, one in now.items() if one.pieces or one.fitted]
    beyond = [
        _row(view, need, one.less(now.get(need, _NONE)), within=False)
        for need, one in then.items()
        if one.gain > now.get(need, _NONE).gain
    ]
    return _ordered([*within, *_kept_up(view)]), _ordered(beyond)


@dataclass(frozen=True, slots=True)
class _OfPart:
    """What is bought and fitted of one part, and what that saves."""

    pieces: int = 0
    fitted: int = 0
    spend: int = 0
    gain: int = 0
    by_hand: bool = False

    def less(self, other: _OfPart) -> _OfPart:
        return _OfPart(
            max(self.pieces - other.pieces, 0),
            max(self.fitted - other.fitted, 0),
            self.spend - other.spend,
            self.gain - other.gain,
        )


_NONE: Final = _OfPart()


def _by_need(view: SeasonPlanView, chosen: Bools) -> dict[int, _OfPart]:
    ways, found = view.found.ways, {}
    for need, (done, packs) in ways.settled(chosen).items():
        rows = chosen & (ways.need == need)
        size = view.needs[need].shelf.part.pack_size if need >= 0 else 0
        found[need] = _OfPart(
            packs * size,
            sum(len(positions) for positions in done.values()),
            int(ways.wishes.spend_minor[rows].sum()),
            int(ways.wishes.gain_minor[rows].sum()),
            any(view.lines[line].by_hand_replace for line, positions in done.items() if positions),
        )
    return found


def _row(view: SeasonPlanView, need: int, one: _OfPart, *, within: bool) -> MoneyRow:
    return MoneyRow(need, _name(view, need), one.pieces, one.fitted, one.spend, one.gain, within, one.by_hand)


def _name(view: SeasonPlanView, need: int) -> str:
    if need >= 0:
        name = view.needs[need].shelf.part.name
        return name if len(name) <= MOST else short_name(name)
    done = [
        line for line, positions in zip(view.lines, view.found.replaced, strict=True) if positions and not line.part
    ]
    return line_name(done[0]) if len(done) == 1 else "parts not in the log"


def _kept_up(view: SeasonPlanView) -> list[MoneyRow]:
    """What is bought up to the number that the farm keeps, though no saving is reckoned of it."""
    found = []
    for need, packs in view.found.kept_up:
        shelf = view.needs[need].shelf
        pieces = packs * shelf.part.pack_size
        found.append(MoneyRow(need, _name(view, need), pieces, 0, pieces * (shelf.price_minor or 0), None, within=True))
    return found


def _ordered(rows: Sequence[MoneyRow]) -> list[MoneyRow]:
    return sorted(rows, key=lambda row: (-(row.saves_minor or 0), row.saves_minor is None, row.name))


def money_sheets(view: SeasonPlanView, measures: Measures) -> tuple[AnswerSheet[MoneyRow], AnswerSheet[MoneyRow]]:
    """Return what the money buys, and what it does not reach; one scale of bars for both."""
    return buys_sheet(view, measures), ends_sheet(view, measures)


def buys_sheet(view: SeasonPlanView, measures: Measures) -> AnswerSheet[MoneyRow]:
    """Return what the money buys."""
    within, beyond = money_rows(view)
    budget = view.limits_left.budget_minor
    of_budget = "" if budget is None else f" of {amount(budget, cents=False)}"
    paid = amount(view.found.orders.sum_minor, cents=False)
    return AnswerSheet(
        "money_buys",
        _columns([*within, *beyond]),
        within,
        measures,
        headline=f"THE MONEY BUYS, {paid}{of_budget} {measures.settings.currency}",
        **_WORDS,
    )


def ends_sheet(view: SeasonPlanView, measures: Measures) -> AnswerSheet[MoneyRow]:
    """Return what would pay too and is not reached; the first of it saves most."""
    within, beyond = money_rows(view)
    takes = amount(sum(row.pays_minor for row in beyond), cents=False)
    return AnswerSheet(
        "money_ends_before",
        _columns([*within, *beyond]),
        beyond,
        measures,
        headline=f"HERE IT ENDS; {takes} {measures.settings.currency} more would pay too",
        **_WORDS,
    )


def _about(row: MoneyRow, measures: Measures) -> str:
    took = [f"buys {number(row.pieces)}"] if row.pieces else []
    took += [f"fits {number(row.fitted)} before the season"] if row.fitted else []
    what = (
        f"{row.name}: {' and '.join(took) or 'changes what is taken'} for {measures.money(row.pays_minor, cents=False)}"
    )
    if row.saves_minor is None:
        return f"{what}: so many the farm keeps; no saving is reckoned of it."
    by_hand = ", since it was chosen by hand," if row.by_hand else ""
    saves = "saves" if row.saves_minor >= 0 else f"costs{by_hand}"
    sum_said = measures.money(abs(row.saves_minor), cents=False)
    return f"{what}: {saves} {sum_said} on the mean{'' if row.within else ' more, but the limits end before it'}."


_WORDS: Final[dict[str, Any]] = {"key_of": lambda row: (row.need, row.within), "about": _about}


def _columns(rows: Sequence[MoneyRow]) -> tuple[AnswerColumn[MoneyRow], ...]:
    most = max([*(row.saves_minor or 0 for row in rows), 1])
    return (
        AnswerColumn("part", lambda row, _: row.name, "part", lambda row, _: row.name, least=16, most=24),
        AnswerColumn(
            "buys",
            lambda row, _: number(row.pieces) if row.pieces else NOTHING,
            "pieces",
            lambda row, _: row.pieces,
            least=5,
            most=6,
            figures=True,
            gives=3,
        ),
        AnswerColumn(
            "fits",
            lambda row, _: number(row.fitted) if row.fitted else NOTHING,
            "fitted",
            lambda row, _: row.fitted,
            least=5,
            most=6,
            figures=True,
            gives=4,
        ),
        AnswerColumn(
            "pays",
            lambda row, _: amount(row.pays_minor, cents=False),
            "pays",
            money_value(lambda row: row.pays_minor),
            least=6,
            most=8,
            figures=True,
            gives=1,
        ),
        AnswerColumn(
            "saves",
            lambda row, _: amount(row.saves_minor, cents=False),
            "saves",
            money_value(lambda row: row.saves_minor),
            least=6,
            most=8,
            figures=True,
        ),
        data("by_hand", lambda row, _: row.by_hand),
        AnswerColumn(
            f"{_FULL} bought  {_BEYOND} beyond the money",
            _bar(most, _WIDE),
            least=_PHONE,
            most=_WIDE,
            gives=2,
            short=(_bar(most, _NARROW), _bar(most, _PHONE)),
            titles=(f"{_FULL} bought {_BEYOND} beyond", f"{_FULL} in {_BEYOND} not"),
            legend=f"Bars: what a part saves on the mean; {_FULL} within the money, {_BEYOND} where it does not reach.",
        ),
    )


def _bar(most: int, cells: int) -> Callable[[MoneyRow, Measures], str]:
    def drawn(row: MoneyRow, _: Measures) -> str:
        if row.by_hand and (row.saves_minor or 0) < 0:
            # what loses has no bar: its place says why it is bought all the same
            return _BY_HAND if len(_BY_HAND) <= cells else _BY_HAND.removeprefix("chosen ")
        long = len(joined(bar(row.saves_minor or 0, most, cells)))
        return (_FULL if row.within else _BEYOND) * long

    return drawn
