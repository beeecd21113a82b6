"""What the commands share: the options --db and --json, saying what was done, and reading what people type."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from decimal import Decimal
from typing import Any, TypeVar

import click

from wearlog.errors import UsageError
from wearlog.machine_clock import machine_now
from wearlog.units import STORED_UNITS, read_number, to_stored

C = TypeVar("C", bound=Callable[..., Any])

with_db = click.option(
    "--db", "db", default="", metavar="FILE", help="The log: a file or postgresql://HOST/NAME (else WEARLOG_DB)."
)
with_json = click.option("--json", "as_json", is_flag=True, help="Answer as one JSON document.")
with_at = click.option("--at", "at", default="", metavar="TIME", help="When: 16:20, yesterday 16:20, 2026-07-28 16:20.")


def command(name: str, *, examples: Iterable[str]) -> Callable[[Callable[..., Any]], click.Command]:
    """Make a click command whose help ends with examples."""
    shown = "\n".join(f"  {example}" for example in examples)
    return click.command(
        name, epilog=f"\b\nExamples:\n{shown}", context_settings={"help_option_names": ["-h", "--help"]}
    )


def say(lines: str | Iterable[str]) -> None:
    """Write an answer to stdout."""
    click.echo(lines if isinstance(lines, str) else "\n".join(lines))


def tell(line: str) -> None:
    """Write a message to stderr."""
    click.echo(line, err=True)


def answer(lines: Iterable[str], as_json: bool, content: Callable[[], Mapping[str, Any]]) -> None:  # noqa: FBT001 - the flag of click
    """Write an answer as lines or as JSON."""
    if as_json:
        from wearlog.present.json_form import document

        say(document(content()))
    else:
        say(lines)


def local_now() -> datetime:
    """Return the time on this machine's clock, with its zone."""
    return machine_now()


def moment(text: str) -> datetime:
    """Return the instant that --at says; nothing said means now."""
    from wearlog.logbook.said_times import read_moment

    return read_moment(text, local_now())


def quantity(text: str, units: Iterable[str], *, usual: str) -> int:
    """Read "120", "120 ac" or "48,5 ha" as stored units; without a unit it is the usual one.

    Raises
    ------
    UsageError
        When it is no number, or has a unit that does not belong here.
    """
    number = text.strip()
    unit = usual
    for known in sorted(STORED_UNITS, key=len, reverse=True):
        if number.casefold().endswith(known) and number[: -len(known)].strip()[-1:].isdigit():
            number, unit = number[: -len(known)].strip(), known
            break
    allowed = list(units)
    if unit not in allowed:
        raise UsageError(f"'{text}' is not measured in {' or '.join(allowed)}.", f"Write it like 120 {usual}.")
    amount = _number(number)
    if amount < 0:
        raise UsageError(f"'{text}' is below zero.", f"Write it like 120 {usual}.")
    return to_stored(amount, unit)


def _number(text: str) -> Decimal:
    """Read a number; "1,600" in an English sentence is sixteen hundred, "48,5" is a decimal comma all the same."""
    grouped = re.fullmatch(r"\s*\d{1,3}(,\d{3})+(\.\d+)?\s*", text)
    return read_number(text, decimal_comma=False if grouped else None)


def money(text: str) -> int:
    """Read an amount as minor units."""
    amount = _number(text)
    if amount < 0:
        raise UsageError(f"'{text}' is below zero.", "Write it like 12.50.")
    return int((amount * 100).to_integral_value())
