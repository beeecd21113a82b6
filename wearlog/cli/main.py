"""Where the program begins: the overview and kept helps without loading anything, else the command; errors become sentences.

The helps of the commands stand in one file, `kept_helps.txt`, which `python -m tests.kept_help_pages` writes anew. A test holds
each against what click writes, word for word: so a page changes with its words alone, and not with every line of the code behind
it.
"""

from __future__ import annotations

import errno
import os
import sys

from wearlog.cli.overview import COMPLETES, find, overview, version
from wearlog.cli.plain_output import write_what_can_be_shown
from wearlog.errors import WearlogError

# not from typing: it alone takes as long to load as an empty Python to start
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Final

#: what a disk without room, or a broken one, says
_FULL: Final = (errno.ENOSPC, errno.EDQUOT, errno.EIO, errno.EFBIG)


def main() -> None:
    """Run the words of the command line and end the process with the command's exit code."""
    # the matrices of a farm are small: more threads would only wait for each other, and the waiting takes a processor
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    code = run(write_what_can_be_shown(sys.argv[1:]))
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        _give_up_writing()
    except OSError as error:
        _give_up_writing()
        code = code or _tell_unwritten(error)
    sys.exit(code)


def run(words: list[str]) -> int:
    """Run a command line and return its exit code: 0 done, 1 failure, 2 usage, 3 not found, 4 refused, 5 conflict, 6 version."""
    try:
        if COMPLETES in os.environ:
            # a shell asks at Tab, with no words: it must get neither screens nor a brief
            from wearlog.cli.app import run_command

            return run_command(words)
        if words in (["-h"], ["--help"], ["help"]):
            sys.stdout.write(overview())
            return 0
        if words == ["--version"]:
            sys.stdout.write(f"{version()}\n")
            return 0
        page = kept_help(words)
        if page is not None:
            sys.stdout.write(page)
            return 0
        if not words:
            from wearlog.tui.start import can_show, open_screens

            if can_show():
                return open_screens("")
        from wearlog.cli.app import run_command

        return run_command(words or ["brief"])
    except WearlogError as error:
        return _tell(error, as_json="--json" in words)
    except KeyboardInterrupt:
        sys.stderr.write("\nwearlog: stopped; what was saved before stays saved.\n")
        return 130
    except BrokenPipeError:
        # the reader (head, less) has gone; what it wanted it has, and Python must not complain while it ends
        sys.stderr.close()
        return 0
    except OSError as error:
        if error.errno not in _FULL:
            raise
        _give_up_writing()
        return _tell_unwritten(error)


def _give_up_writing() -> None:
    """Let what is still to be written go nowhere, or Python complains while it ends."""
    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115, PTH123 - it lives as long as the process


def _tell_unwritten(error: OSError) -> int:
    return _tell(
        WearlogError(
            f"The answer could not be written: {error.strerror}.", "What was saved is saved; make room and ask again."
        ),
        as_json=False,
    )


def _tell(error: WearlogError, *, as_json: bool) -> int:
    if as_json:
        from wearlog.present.json_form import error_document

        sys.stderr.write(error_document(error) + "\n")
    else:
        from wearlog.facts.plain_text import plain

        # names of files, cells and arguments may hold anything: none of it may act on the terminal
        sys.stderr.write(f"wearlog: {plain(error.message)}\n")
        if error.hint:
            sys.stderr.write(f"  {plain(error.hint)}\n")
    return error.exit_code


#: the width that the pages are written for; a narrower terminal has its own lines
WIDTH: Final = 80
KEPT_IN: Final = os.path.join(os.path.dirname(os.path.abspath(__file__)), "kept_helps.txt")  # noqa: PTH100, PTH118, PTH120 - pathlib takes long to load
_ASKS: Final = ("-h", "--help")
#: the line over a page, with the name of its command behind it; no help has such a line
HEAD: Final = "===== "


def kept_help(words: list[str], file: str = KEPT_IN) -> str | None:
    """Return the kept page that the words of a command line ask for; None where there is none, or it is not for this terminal."""
    if len(words) != 2 or words[1] not in _ASKS or find(words[0]) is None or _columns() < WIDTH:
        return None
    try:
        with open(file, encoding="utf-8") as pages:  # noqa: PTH123
            _, found, after = pages.read().partition(f"\n{HEAD}{words[0]}\n")
    except OSError:
        return None
    return after.partition(f"\n{HEAD}")[0] if found else None


def _columns() -> int:
    """How wide the terminal is, as click finds it; what is no terminal is as wide as usual."""
    said = os.environ.get("COLUMNS", "")
    if said.isdigit() and int(said) > 0:
        return int(said)
    try:
        return os.get_terminal_size(sys.__stdout__.fileno() if sys.__stdout__ is not None else 1).columns or WIDTH
    except (OSError, ValueError):
        return WIDTH
