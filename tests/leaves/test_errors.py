"""The tree of errors: sentence, hint, code and exit code of each."""

from __future__ import annotations

import pytest

from wearlog import errors
from wearlog.errors import (
    ConflictError,
    DataError,
    DoubtError,
    NoAnswerError,
    NotFoundError,
    RefusedError,
    ReplacedError,
    UsageError,
    VersionError,
    WearlogError,
)

#: fixed for outside use: scripts look at these
CODES = {
    WearlogError: ("failure", 1),
    UsageError: ("usage", 2),
    NotFoundError: ("not_found", 3),
    RefusedError: ("refused", 4),
    DataError: ("data", 4),
    ConflictError: ("conflict", 5),
    NoAnswerError: ("no_answer", 5),
    ReplacedError: ("replaced", 5),
    VersionError: ("version", 6),
}


def test_every_error_of_the_tree_is_listed_here() -> None:
    found = {one for one in vars(errors).values() if isinstance(one, type) and issubclass(one, Exception)}
    assert found == {*CODES, DoubtError}


def test_a_doubt_is_a_refusal_that_says_what_to_ask() -> None:
    doubt = DoubtError("no header", "No header was on it.", "Save it all the same?", "Hitch one first.")
    assert (doubt.code, doubt.exit_code, doubt.doubt, doubt.question) == (
        *("refused", 4),
        *("no header", "Save it all the same?"),
    )
    assert (doubt.message, doubt.hint) == ("No header was on it.", "Hitch one first.")


@pytest.mark.parametrize("kind", CODES)
def test_an_error_carries_a_sentence_a_hint_and_its_codes(kind: type[WearlogError]) -> None:
    error = kind("The belt is off.", "Put it on.")
    assert (error.message, error.hint, str(error)) == ("The belt is off.", "Put it on.", "The belt is off.")
    assert (error.code, error.exit_code) == CODES[kind]
    assert isinstance(error, WearlogError)
    assert kind("The belt is off.").hint == ""


def test_numbers_the_maths_cannot_work_with_are_value_errors_too() -> None:
    """The maths can be used without knowing wearlog's errors."""
    with pytest.raises(ValueError, match="There are no failures"):
        raise DataError("There are no failures.")
