"""What stands in the season report, as headings, sentences and tables of text. How it looks is in page.html.j2."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from wearlog.exchange.sheet_page import Heading, PageTable, page_table
from wearlog.facts.cautions import BOOK_COMES_FIRST, CAUTIONS
from wearlog.present.cost_sheet import cost_sheet
from wearlog.present.digits import NOTHING, Measures, amount, number, percent
from wearlog.present.fault_words import finding
from wearlog.present.guess_agreement import conflict_lines
from wearlog.present.order_sheet import order_sheets
from wearlog.present.own_cost_sheet import curve_sheet
from wearlog.present.plan_page import best_run, head, listed_lines
from wearlog.present.plan_sum_words import (
    limits_sentence,
    next_money_sentence,
    saving_sentence,
    stops_sentence,
    want_of_parts_sentence,
)
from wearlog.present.plan_words import (
    hazards_of,
    how_sure,
    line_name,
    rests_on_lines,
    undecided_sentence,
    verdict_words,
    which_words,
)
from wearlog.present.service_sheet import service_sheet
from wearlog.present.spare_sheet import spare_sheet
from wearlog.present.words import capital, counted, word
from wearlog.reckoning.costs import CostTable
from wearlog.reckoning.due import ServiceDue, is_pressing
from wearlog.reckoning.fault_list import FaultLine
from wearlog.reckoning.own_costs import FleetCurves
from wearlog.reckoning.plan_allocation import NextMoney
from wearlog.reckoning.season_plan import SeasonPlanView


@dataclass(frozen=True, slots=True)
class Warned:
    """A danger in the planned work and what to do before it."""

    title: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sources:
    """The answers the report is made of."""

    view: SeasonPlanView
    more: NextMoney | None
    faults: tuple[FaultLine, ...]
    services: tuple[ServiceDue, ...]
    cost_by_machine: CostTable
    cost_by_season: CostTable
    curves: FleetCurves


@dataclass(frozen=True, slots=True)
class ReportContent:
    """The whole report."""

    title: str
    subtitle: str
    cautions: tuple[Warned, ...]
    book_first: str
    replace: PageTable
    replace_rest: str
    spares: PageTable
    spares_rest: str
    orders: tuple[PageTable, ...]
    order_sum: str
    sums: tuple[str, ...]
    undecided: tuple[str, ...]
    wears: PageTable
    guesses: tuple[str, ...]
    faults: PageTable
    services: PageTable
    costs: tuple[PageTable, ...]
    curve: tuple[str, ...]
    rests_on: tuple[str, ...]


def report_content(given: Sources, measures: Measures) -> ReportContent:
    """Put the report together."""
    view = given.view
    title, *subtitle = head(view, measures)
    spares = spare_sheet(view, measures).short()
    shown = listed_lines(view, show_all=False)
    rest = best_run(view, shown)
    names = {machine.id: machine.name for machine in view.farm.machines}
    return ReportContent(
        title=title,
        subtitle=" ".join(line.strip() for line in subtitle),
        cautions=_cautions(view),
        book_first=BOOK_COMES_FIRST,
        replace=_replace_table(view, shown, measures),
        replace_rest=f"Best run as they are: {counted(rest, 'component')} more." if rest else "",
        spares=page_table(spares),
        spares_rest=spares.rest or ("" if spares.rows else spares.empty),
        orders=tuple(page_table(sheet) for sheet in order_sheets(view, measures)),
        order_sum=measures.money(view.found.orders.sum_minor),
        sums=_sums(given, measures),
        undecided=tuple(undecided_sentence(line, measures) for line in view.lines if line.undecided is not None),
        wears=_wear_table(view, measures),
        guesses=tuple(conflict_lines((kind.life for kind in view.outlook.kinds if kind.components), measures)),
        faults=_fault_table(given.faults, names, measures),
        services=page_table(service_sheet(given.services, names, measures, which=is_pressing)),
        costs=tuple(page_table(cost_sheet(table, measures)) for table in (given.cost_by_machine, given.cost_by_season)),
        curve=tuple(curve_sheet(given.curves, measures).sentences),
        rests_on=tuple(rests_on_lines(view, measures)),
    )


def _columns(*titles: str) -> tuple[Heading, ...]:
    """Columns; a title that begins with > has figures in it."""
    return tuple(Heading(title.removeprefix(">"), title.startswith(">")) for title in titles)


def _cautions(view: SeasonPlanView) -> tuple[Warned, ...]:
    return tuple(
        Warned(capital(word(hazard)), tuple(one for one in CAUTIONS[hazard] if one != BOOK_COMES_FIRST))
        for hazard in hazards_of(view)
    )


def _replace_table(view: SeasonPlanView, shown: Sequence[int], measures: Measures) -> PageTable:
    columns = _columns("plan", "part", "which", ">age", ">limit", ">fails this season", ">saves", ">sure", "says")
    rows = []
    for at in shown:
        line, done = view.lines[at], view.found.replaced[at]
        decision, positions = line.decision, done or line.proposed or line.best
        worst = None if decision is None else 1 - min(one.lasts_season for one in decision.by_position)
        rows.append(
            (
                "[x]" if done else "[ ]",
                line_name(line),
                which_words(line, positions),
                measures.usage(line.kind.meter_kind, max(line.ages) if line.ages else None),
                measures.usage(line.kind.meter_kind, line.limit_age),
                NOTHING if worst is None else percent(worst),
                NOTHING if decision is None else amount(line.saving_minor(positions), cents=False),
                how_sure(line, positions),
                verdict_words(line, in_plan=bool(done)),
            )
        )
    return PageTable(columns, tuple(rows))


def _sums(given: Sources, measures: Measures) -> tuple[str, ...]:
    view, totals = given.view, given.view.found.totals
    more = next_money_sentence(view, given.more, measures) if given.more is not None else ""
    sentences = (
        f"To pay at the counter: {measures.money(view.found.orders.sum_minor)}.",
        f"Shop work: {number(totals.shop_seconds / 3600, 1)} hours.",
        saving_sentence(view, measures),
        stops_sentence(view),
        want_of_parts_sentence(view),
        limits_sentence(view, measures),
        more,
    )
    return tuple(sentence for sentence in sentences if sentence)


def _wear_table(view: SeasonPlanView, measures: Measures) -> PageTable:
    columns = _columns(
        "kind", ">half last", "90 % sure", ">broke", ">failures", ">to break this season", ">failures, with successors"
    )
    rows = []
    for kind in view.outlook.kinds:
        if not kind.components:
            continue
        life, meter = kind.life.median_life, kind.life.kind.meter_kind
        between = (
            NOTHING
            if life is None
            else f"{number(measures.usage_number(meter, life.low))} to {measures.usage(meter, life.high)}"
        )
        failures = 0.0 if kind.life.posterior is None else kind.life.posterior.failures
        rows.append(
            (
                kind.life.kind.name,
                NOTHING if life is None else measures.usage(meter, life.median),
                between,
                number(kind.breakages),
                number(failures) if failures or not kind.life.has_guess else "0, starting guess",
                number(kind.expected, 1),
                number(kind.failures, 1),
            )
        )
    return PageTable(columns, tuple(rows))


def _fault_table(faults: Iterable[FaultLine], names: Mapping[UUID, str], measures: Measures) -> PageTable:
    columns = _columns("machine", "fault", "since", "time on this circuit", "found so far")
    rows = tuple(
        (
            names.get(row.fault.machine_id, NOTHING),
            row.fault.title,
            measures.day(row.fault.opened_at),
            f"{row.nth} of {row.of}",
            finding(row),
        )
        for row in faults
        if row.fault.closed_at is None
    )
    return PageTable(columns, rows)
