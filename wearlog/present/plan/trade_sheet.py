"""Keep or trade as an answer: a combine a row, what keeping and the offer cost a year, and the difference at which it turns."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from wearlog.facts.plain_text import one_line
from wearlog.plan.decide import Verdict
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data, money_value
from wearlog.present.digits import NOTHING, Measures, amount, low_to_high, number, percent, reckoned
from wearlog.present.json_form import rounded
from wearlog.present.words import ByCommand, counted, listed
from wearlog.reckoning.plan.trade import YEARS, TradeRow

_DO: Final = {Verdict.REPLACE: "trade", Verdict.RUN: "keep", Verdict.EITHER_WAY: "either way"}
#: breakdowns from which a mean of their hours says something (a fifth either way by twenty-five, a half by four)
_ENOUGH_STOPS: Final = 5


def trade_sheet(rows: Sequence[TradeRow], measures: Measures, interest: float) -> AnswerSheet[TradeRow]:
    """Return every combine against the offer; `interest` in per cent a year."""
    answer = _answer(rows, measures)
    return AnswerSheet(
        name="combines",
        columns=COLUMNS,
        rows=rows,
        measures=measures,
        headline=answer,
        answer=answer,
        sentences=_sentences(rows, interest) if rows else [],
        empty="Nothing can be weighed: no combine is in the log. Add one: 'wearlog add combine NAME', or a on the yard.",
        beside={"interest_percent": interest, "years_ahead": YEARS},
        key_of=lambda row: row.name,
        about=_about,
        shouts=lambda row: row.verdict is Verdict.REPLACE,
    )


def _yearly(row: TradeRow, which: str) -> int | None:
    return None if row.weighed is None else round(float(getattr(row.weighed, which)))


def _gap(row: TradeRow, place: int) -> float | None:
    return None if row.weighed is None else row.difference[place]


def _asked(row: TradeRow) -> int | None:
    """What is asked; None where neither an offer nor the log says it."""
    return None if row.weighed is None and row.offer.price_minor is None else row.asked_minor


COLUMNS: Final[tuple[AnswerColumn[TradeRow], ...]] = (
    AnswerColumn("combine", lambda row, _: row.name, "combine", lambda row, _: row.name, least=8, most=14),
    AnswerColumn(
        "keep/year",
        lambda row, _: reckoned(_yearly(row, "keep_yearly")),
        "keep_yearly",
        money_value(lambda row: _yearly(row, "keep_yearly")),
        least=9,
        figures=True,
        gives=1,
    ),
    AnswerColumn(
        "offer/year",
        lambda row, _: reckoned(_yearly(row, "offer_yearly")),
        "offer_yearly",
        money_value(lambda row: _yearly(row, "offer_yearly")),
        least=10,
        figures=True,
        gives=2,
    ),
    AnswerColumn(
        "pays below",
        lambda row, _: reckoned(_gap(row, 1)),
        "break_even_difference",
        money_value(lambda row: _gap(row, 1)),
        least=10,
        figures=True,
        legend="pays below: the difference to pay (price less allowance) under which trading costs less a year ({money}).",
    ),
    AnswerColumn(
        "8 in 10",
        lambda row, _: (
            NOTHING if row.weighed is None else low_to_high(reckoned(row.difference[0]), reckoned(row.difference[2]))
        ),
        least=14,
        most=22,
        figures=True,
        gives=3,
    ),
    data("break_even_difference_low", money_value(lambda row: _gap(row, 0))),
    data("break_even_difference_high", money_value(lambda row: _gap(row, 2))),
    data("break_even_price", money_value(lambda row: _yearly(row, "break_even"))),
    AnswerColumn(
        "they ask",
        lambda row, _: NOTHING if _asked(row) is None else amount(row.asked_minor, cents=False),
        "asked_difference",
        money_value(lambda row: _asked(row)),
        least=8,
        figures=True,
    ),
    AnswerColumn(
        "do",
        lambda row, _: NOTHING if row.verdict is None else _DO[row.verdict],
        "do",
        lambda row, _: None if row.verdict is None else _DO[row.verdict].replace(" ", "_"),
        least=10,
        most=10,
        tells_more=True,
    ),
    data("chance_trade_cheaper", lambda row, _: None if row.weighed is None else rounded(row.chance, 4)),
    data("keeping_pays_years", lambda row, _: _yearly(row, "pays_years")),
    data("keep_years", lambda row, _: _yearly(row, "keep_years")),
    data("offer_years", lambda row, _: _yearly(row, "offer_years")),
    data("own_repairs", lambda row, _: row.own_repairs),
    data("stops", lambda row, _: row.stops),
    data("missing", lambda row, _: row.missing or None),
)


def _answer(rows: Sequence[TradeRow], measures: Measures) -> str:
    known = [row for row in rows if row.weighed is not None]
    if not rows:
        return ""
    if not known:
        return "Nothing can be weighed: " + "; ".join(f"{one_line(row.name)} lacks {row.missing}" for row in rows) + "."
    first = known[0]
    pays, low, high = (reckoned(first.difference[place]) for place in (1, 0, 2))
    do = {Verdict.REPLACE: "Trade", Verdict.RUN: "Keep", Verdict.EITHER_WAY: "Either way,"}[
        first.verdict or Verdict.RUN
    ]
    return (
        f"{do} {one_line(first.name)}: {reckoned(_yearly(first, 'keep_yearly'))} a year against "
        f"{reckoned(_yearly(first, 'offer_yearly'))} for the offer. It pays at a difference of {pays} or less ({low} to {high}); "
        f"they ask {measures.money(first.asked_minor, cents=False)}."
    )


def _sentences(rows: Sequence[TradeRow], interest: float) -> list[str]:
    offer = rows[0].offer if rows else None
    found = [
        f"Interest {number(interest, 1)} % a year, {YEARS} years ahead, the offered one kept at least three. Standing is in "
        "both by the farm's own stops. Tax, financing and grain lost by capacity are not.",
        *_few_stops(rows),
    ]
    if offer is not None and offer.price_minor is None:
        no_price = "No price was said: a new one at the list price of the old."
        found.append(
            ByCommand(f"{no_price} 'wearlog trade COMBINE --price N --allowance N'.", f"{no_price} l says another.")
        )
    if offer is not None and offer.allowance_minor is None:
        found.append("No allowance was said: the old one at what the published curve says it is worth.")
    if any(row.weighed is not None and not row.own_repairs for row in rows):
        found.append("Repairs go by the published curve (a quarter either way) below four seasons of its own.")
    found += [f"{one_line(row.name)} is not weighed: it lacks {row.missing}." for row in rows if row.missing]
    return found


def _few_stops(rows: Sequence[TradeRow]) -> list[str]:
    """Say of which machines there are too few breakdowns on record to tell how long one of them stands."""
    weighed = [row for row in rows if row.weighed is not None]
    none = [one_line(row.name) for row in weighed if not row.stops]
    few = [f"{one_line(row.name)} ({counted(row.stops, 'stop')})" for row in weighed if 0 < row.stops < _ENOUGH_STOPS]
    said = [f"No breakdown is on record of {listed(none)}: standing is in neither there."] if none else []
    return [*said, f"Standing rests on little: {listed(few)}."] if few else said


def _about(row: TradeRow, measures: Measures) -> str:
    if row.weighed is None:
        return f"{one_line(row.name)} lacks {row.missing}."
    pays = int(row.weighed.pays_years)
    still = counted(pays, "year") if pays < YEARS else f"all {YEARS} years looked at"
    return (
        f"{one_line(row.name)}: {percent(row.chance)} that trading costs less. Keeping it a year more costs less than the "
        f"offer for {still}. Allowance {measures.money(row.allowance_minor, cents=False)}."
    )
