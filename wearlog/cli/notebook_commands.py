"""notebook: a sheet as the farm keeps it, understood by what stands in it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from wearlog.cli.options import answer, command, local_now, with_db, with_json
from wearlog.errors import UsageError
from wearlog.logbook.doors import by_farms_clock, opened

if TYPE_CHECKING:
    from wearlog.logbook.notebook.holds import Holds


@command(
    "notebook",
    examples=(
        "wearlog notebook book.csv --dry-run",
        "wearlog notebook book.csv --dry-run --column 'Qty=count' --word 'sickle=knife section'",
    ),
)
@click.argument("path", type=click.Path(path_type=Path))
@click.option(
    "--column", "columns", multiple=True, metavar="HEADING=WHAT", help="What a column holds; a letter names it too."
)
@click.option("--word", "words", multiple=True, metavar="WORD=MEANS", help="What a word of the notebook means.")
@click.option("--dry-run", "dry_run", is_flag=True, help="Say what was understood, and save nothing.")
@with_json
@with_db
def notebook_command(
    path: Path, *, columns: tuple[str, ...], words: tuple[str, ...], dry_run: bool, as_json: bool, db: str
) -> None:
    """Understand a notebook: a workbook or a CSV file with columns of any name.

    It tells what each column is taken for, what every row says, and what has to be asked.
    """
    from wearlog.exchange.notebook_files import read_notebook
    from wearlog.logbook.lines.farm_line_words import farm_words
    from wearlog.logbook.notebook.understanding import NotebookWords, understand
    from wearlog.present.notebook_words import notebook_json, notebook_lines

    said = NotebookWords(columns=_columns_said(columns), words=_pairs(words, "--word 'sickle=knife section'"))
    with opened(db) as store:
        now = by_farms_clock(store, local_now())
        notebook = understand(read_notebook(path), farm_words(store), now, said)
    answer(notebook_lines(notebook), as_json, lambda: notebook_json(notebook, path.name))


def _pairs(given: tuple[str, ...], option: str) -> dict[str, str]:
    pairs = {}
    for one in given:
        name, sign, meant = one.partition("=")
        if not sign or not name.strip() or not meant.strip():
            raise UsageError(f"'{one}' is not read.", f"Write it like {option}.")
        pairs[name.strip().casefold()] = meant.strip()
    return pairs


def _columns_said(given: tuple[str, ...]) -> dict[str, Holds]:
    from wearlog.logbook.notebook.holds import Holds, holds_called

    found = {}
    for name, word in _pairs(given, "--column 'Qty=count'").items():
        holds = holds_called(word)
        if holds is None:
            raise UsageError(f"No column holds '{word}'.", f"A column holds {', '.join(one.value for one in Holds)}.")
        found[name] = holds
    return found
