"""The click group that loads a command's module when the command is called, and not before."""

from __future__ import annotations

import atexit
import gc
import sys
from contextlib import AbstractContextManager, nullcontext
from difflib import get_close_matches
from importlib import import_module

import click

from wearlog.cli import overview
from wearlog.errors import UsageError

#: what is entered by `add` and is no command of its own
_ADDED = ("repair", "service", "season", "field", "crop", "part", "component", "combine", "header")

# the process ends with all that it holds: nobody need look through it for what could be thrown away
atexit.register(gc.freeze)


class LazyGroup(click.Group):
    """A group whose commands are named in overview.py."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return overview.names()

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        listed = overview.find(cmd_name)
        if listed is None:
            return None
        module = import_module(f"wearlog.cli.{listed.module}_commands")
        command: click.Command = getattr(module, f"{cmd_name.replace('-', '_')}_command")
        return command

    def format_help(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        formatter.write(overview.overview())


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(message=overview.version(), version="")
def app() -> None:
    """The log and the reckoning of wear for the combines of a grain farm."""


def run_command(words: list[str]) -> int:
    """Run a command and return its exit code. UsageError for words that do not fit."""
    # what loads and what is read stays to the end: looking through all of it again takes a tenth of a command's time
    gc.set_threshold(300_000, 50, 50)
    try:
        with _looked_on(words):
            returned = app.main(words, prog_name="wearlog", complete_var=overview.COMPLETES, standalone_mode=False)
    except click.UsageError as error:
        raise UsageError(_sentence(error), _hint(words, error)) from error
    except click.Abort as error:
        raise KeyboardInterrupt from error
    except click.exceptions.Exit as ended:
        return ended.exit_code
    except SystemExit as ended:
        # click ends so, with 1, when the reader has gone; that is no failure
        raise BrokenPipeError from ended
    return returned if isinstance(returned, int) else 0


def _looked_on(words: list[str]) -> AbstractContextManager[None]:
    """Long work tells how far it is where somebody sits before it; a file or a pipe gets none of that."""
    if not sys.stderr.isatty():
        return nullcontext()
    from wearlog.cli.progress_line import ProgressLine
    from wearlog.progress import looked_on_by

    return looked_on_by(ProgressLine(words[0] if words else ""))


def _sentence(error: click.UsageError) -> str:
    message = error.format_message()
    return message if message.endswith((".", "?")) else f"{message}."


def _hint(words: list[str], error: click.UsageError) -> str:
    if words and overview.find(words[0]) is None:
        if words[0] in _ADDED:
            return f"Did you mean 'wearlog add {words[0]}'?"
        close = get_close_matches(words[0], overview.names(), n=1)
        return f"Did you mean 'wearlog {close[0]}'?" if close else "'wearlog --help' lists the commands."
    path = error.ctx.command_path if error.ctx else "wearlog"
    return f"'{path} -h' shows how to write it."
