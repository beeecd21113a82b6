"""plan: what to replace, which spares to carry, what to order; and entering what is planned. Writing files is in exchange/."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from wearlog.cli.figures import WHOLE
from wearlog.cli.options import answer, local_now, opened, say, tell, with_db, with_json
from wearlog.cli.plan_entry_commands import ENTRIES
from wearlog.errors import UsageError
from wearlog.progress import stretch

if TYPE_CHECKING:
    from wearlog.present.digits import Measures
    from wearlog.reckoning.plan.season_plan import SeasonPlanView

#: the share of a plan's time that reading the farm takes
_READ = 0.3

_EXAMPLES = (
    "wearlog plan",
    "wearlog plan --budget 6000 --shop-hours 60",
    "wearlog plan --explain 'north knife'",
    "wearlog plan --xlsx order.xlsx --html plan.html",
    "wearlog plan make 2027 --budget 6000",
    "wearlog plan area 640ac --ground stony --crop wheat",
    "wearlog plan run 'kestrel rasp bars'",
    "wearlog plan receive order.xlsx",
)


@click.group(
    name="plan",
    invoke_without_command=True,
    epilog="\b\nExamples:\n" + "\n".join(f"  {example}" for example in _EXAMPLES),
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.option(
    "--budget", "budget", default="", metavar="AMOUNT", help="Money for parts, just to see; nothing is saved."
)
@click.option("--shop-hours", "shop_hours", default="", metavar="HOURS", help="Hours of shop work, just to see.")
@click.option("--season", "season", type=WHOLE, help="The harvest year (else the next one planned).")
@click.option("--explain", "explain", default="", metavar="COMPONENT", help="Why one component is replaced or run.")
@click.option("--all", "show_all", is_flag=True, help="Also what is best run as it is.")
@click.option("--xlsx", "xlsx", type=click.Path(path_type=Path), help="Write the order list as a workbook.")
@click.option(
    "--csv", "csv", type=click.Path(path_type=Path), help="Write the order list into a folder, a file a supplier."
)
@click.option("--html", "html", type=click.Path(path_type=Path), help="Write the whole report as one page to print.")
@with_json
@with_db
@click.pass_context
def plan_command(
    context: click.Context,
    *,
    budget: str,
    shop_hours: str,
    season: int | None,
    explain: str,
    show_all: bool,
    xlsx: Path | None,
    csv: Path | None,
    html: Path | None,
    as_json: bool,
    db: str,
) -> None:
    """Show what to replace before the season, which spares to carry, and what to order.

    The other commands below enter what is planned; each is one entry, taken back by one 'wearlog undo'.
    """
    if context.invoked_subcommand is not None:
        if any((budget, shop_hours, season, explain, show_all, xlsx, csv, html, as_json, db)):
            raise UsageError(
                "Options of the plan do not go before another word.",
                f"Write them behind it: wearlog plan {context.invoked_subcommand} ...",
            )
        return
    from wearlog.present.digits import Measures
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.plan.season_plan import season_plan

    with opened(db) as store:
        with store.reading() as connection, stretch():
            with stretch(last=_READ):
                farm = farm_from(connection, local_now())
            with stretch(first=_READ):
                view = season_plan(
                    connection,
                    farm,
                    harvest_year=season,
                    budget_minor=_money(budget) if budget else None,
                    shop_seconds=_hours(shop_hours) if shop_hours else None,
                )
        measures = Measures(view.farm.settings)
        _write_files(view, measures, xlsx, csv)
        if html is not None:
            from wearlog.exchange.season_report.content import write_report

            with stretch():
                written = write_report(store, local_now(), html, view)
            tell(f"Wrote {written}.")
    if explain:
        _explain(view, explain, measures, as_json=as_json)
    elif as_json or not (xlsx or csv or html):
        _show(view, measures, show_all=show_all, as_json=as_json)


def _money(said: str) -> int:
    # loaded here: all that people can say in words stands behind it
    from wearlog.logbook.said.measures import money

    return money(said)


def _hours(said: str) -> int:
    from wearlog.logbook.said.measures import hours

    return hours(said)


for _entry in ENTRIES:
    plan_command.add_command(_entry)


def _write_files(view: SeasonPlanView, measures: Measures, xlsx: Path | None, csv: Path | None) -> None:
    if xlsx is None and csv is None:
        return
    from wearlog.exchange.order_files import write_order_folder, write_order_workbook
    from wearlog.present.plan.spare_sheet import whole_order
    from wearlog.present.words import counted

    order = whole_order(view, measures)
    if xlsx is not None:
        tell(f"Wrote {write_order_workbook(order, xlsx)}: {measures.money(view.found.orders.sum_minor)}.")
    if csv is not None:
        files = write_order_folder(order, csv)
        tell(f"Wrote {counted(len(files), 'file')} into {csv}: {measures.money(view.found.orders.sum_minor)}.")


def _show(view: SeasonPlanView, measures: Measures, *, show_all: bool, as_json: bool) -> None:
    from wearlog.present.plan.plan_page import plan_json, plan_lines_of_page
    from wearlog.reckoning.plan.season_plan import what_more_buys

    more = what_more_buys(view) if view.limits.budget_minor is not None else None
    content: Any = lambda: plan_json(view, more, measures)  # noqa: E731 - the answer asks for it only for JSON
    lines = [] if as_json else plan_lines_of_page(view, more, measures, show_all=show_all)
    answer(lines, as_json, content)


def _explain(view: SeasonPlanView, component: str, measures: Measures, *, as_json: bool) -> None:
    from wearlog.logbook.names import pick
    from wearlog.present.plan.plan_line_sheet import line_json
    from wearlog.present.plan.plan_shown import why_page
    from wearlog.present.plan.plan_words import line_name

    line = pick(view.lines, line_name, component, "component")
    number = view.line_number(line.component.id)
    heading, sentences = why_page(view, number, measures)
    lines = [heading, *(f"  {sentence}" for sentence in sentences)]
    answer(lines, as_json, lambda: {"explained": line_json(view, number, measures), "why": lines})
    if not as_json:
        say("")
        say("'wearlog plan replace' and 'wearlog plan run' choose otherwise by hand.")
