"""What the commands share: the options --db and --json, saying what was done."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from typing import Any, TypeVar

import click

from wearlog.machine_clock import machine_now

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
