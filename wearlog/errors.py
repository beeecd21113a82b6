"""The one tree of errors: each has a sentence for a person, a hint what to do, and an exit code."""

from __future__ import annotations


class WearlogError(Exception):
    """What a person can cause or meet.

    Parameters
    ----------
    message : str
        One plain sentence: what is wrong and where.
    hint : str
        What to do about it; may be empty.
    """

    code = "failure"
    exit_code = 1

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


class UsageError(WearlogError):
    """The words of a command or a form do not fit."""

    code = "usage"
    exit_code = 2


class NotFoundError(WearlogError):
    """A name, number or file that is not there."""

    code = "not_found"
    exit_code = 3


class RefusedError(WearlogError):
    """Understood, but not done: it would be wrong or would lose something."""

    code = "refused"
    exit_code = 4


class DoubtError(RefusedError):
    """Understood and possible, but so unlikely that a person is asked before it is saved.

    Parameters
    ----------
    doubt : str
        What is doubted: who is sure saves again and names it.
    question : str
        What is asked, so that yes means saving it.
    """

    def __init__(self, doubt: str, message: str, question: str, hint: str) -> None:
        super().__init__(message, hint)
        self.doubt = doubt
        self.question = question


class ConflictError(WearlogError):
    """Locked by somebody else, or two versions that do not go together."""

    code = "conflict"
    exit_code = 5


class NoAnswerError(ConflictError):
    """A server that cannot be reached, does not let this person in, or went away."""

    code = "no_answer"


class ReplacedError(ConflictError):
    """The file of an open log was replaced or taken away: what is known of it is of another log now."""

    code = "replaced"


class VersionError(WearlogError):
    """The file needs an upgrade, or was written by a newer program."""

    code = "version"
    exit_code = 6


class DataError(WearlogError, ValueError):
    """Numbers that the maths cannot work with (no failures, entry after exit, ...)."""

    code = "data"
    exit_code = 4
