"""Asking before what is doubtful is saved: in a terminal a question, elsewhere a refusal that says what to add."""

from __future__ import annotations

import sys
from collections.abc import Callable

import click

from wearlog.cli.options import say, tell
from wearlog.errors import RefusedError
from wearlog.logbook.checks.doubts import EVERY_DOUBT, NO_DOUBT_SETTLED, DoubtError
from wearlog.logbook.saving import Done
from wearlog.present.words import saved_lines

with_yes = click.option("--yes", is_flag=True, help="Save what is doubtful without asking.")


def asked(save: Callable[[frozenset[str]], Done], *, yes: bool) -> Done | None:
    """Save, and ask about each doubt that comes up.

    Parameters
    ----------
    save : callable
        Takes the doubts that are settled and saves; it raises DoubtError at the first that is not.
    yes : bool
        Whatever may be asked is settled.

    Returns
    -------
    Done or None
        None when the person said no: then nothing is saved.

    Raises
    ------
    DoubtError
        Where nobody can be asked (exit code 4).
    """
    settled = EVERY_DOUBT if yes else NO_DOUBT_SETTLED
    while True:
        try:
            return save(settled)
        except DoubtError as doubt:
            if not sys.stdin.isatty():
                raise
            tell(doubt.message)
            if not click.confirm(doubt.question, default=False, err=True):
                tell("Nothing was saved.")
                return None
            settled |= {doubt.doubt}


def agreed(question: str, *, nothing: str, yes_does: str, default: bool) -> bool:
    """Ask a last time before it is done.

    Parameters
    ----------
    nothing : str
        What is said after a no: "Nothing was saved."
    yes_does : str
        What --yes does where nobody can be asked: "save it".

    Raises
    ------
    RefusedError
        Where nobody can be asked (exit code 4).
    """
    if not sys.stdin.isatty():
        raise RefusedError(f"{nothing.removesuffix('.')}, since nobody could be asked.", f"Add --yes to {yes_does}.")
    if click.confirm(question, default=default, err=True):
        return True
    tell(nothing)
    return False


def say_saved(done: Done | None) -> None:
    """Say what was saved and what went along with it; nothing where nothing was."""
    if done is not None:
        say(saved_lines(done))
