"""The door of the program: the overview without loading anything, else the command; every error a sentence and an exit code."""

from __future__ import annotations

import sys

from wearlog.cli.overview import overview, version
from wearlog.errors import WearlogError


def main() -> None:
    """Run the words of the command line and end the process with the command's exit code."""
    sys.exit(run(sys.argv[1:]))


def run(words: list[str]) -> int:
    """Run a command line and return its exit code: 0 done, 1 failure, 2 usage, 3 not found, 4 refused, 5 conflict, 6 version."""
    if words in (["-h"], ["--help"], ["help"]):
        sys.stdout.write(overview())
        return 0
    if words == ["--version"]:
        sys.stdout.write(f"{version()}\n")
        return 0
    try:
        if not words and sys.stdin.isatty() and sys.stderr.isatty():
            from wearlog.tui.start import open_screens

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


def _tell(error: WearlogError, *, as_json: bool) -> int:
    if as_json:
        from wearlog.present.json_form import error_document

        sys.stderr.write(error_document(error) + "\n")
    else:
        sys.stderr.write(f"wearlog: {error.message}\n")
        if error.hint:
            sys.stderr.write(f"  {error.hint}\n")
    return error.exit_code
