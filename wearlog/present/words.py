"""The words for members of the closed lists, and small matters of grammar."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from wearlog.facts.closed_lists import word

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import Ground
    from wearlog.logbook.saving import Done

__all__ = [
    "ByCommand",
    "by_keys",
    "capital",
    "counted",
    "ground_words",
    "listed",
    "saved_line",
    "saved_lines",
    "word",
]


class ByCommand(str):
    """A sentence that names a command, and the same for a screen, where a key stands in the command's place.

    It is a text like any other to every face but a screen. Made longer or replaced in, it is a plain text again: make it whole.
    """

    __slots__ = ("with_keys",)
    with_keys: str

    def __new__(cls, with_command: str, with_keys: str) -> Self:
        """Keep both forms; as a text it is the one with the command."""
        made = super().__new__(cls, with_command)
        made.with_keys = with_keys
        return made


def by_keys(sentence: str) -> str:
    """Return a sentence as a screen says it."""
    return sentence.with_keys if isinstance(sentence, ByCommand) else sentence


def counted(count: int, one: str, many: str = "") -> str:
    """Return "1 breakage", "3 breakages", "no breakages"."""
    if count == 1:
        return f"1 {one}"
    return f"{count:,} {many or one + 's'}" if count else f"no {many or one + 's'}"


def ordinal(count: int) -> str:
    """Return 1st, 2nd, 3rd, 4th, 11th, 21st."""
    ending = "th" if 10 < count % 100 < 14 else {1: "st", 2: "nd", 3: "rd"}.get(count % 10, "th")
    return f"{count}{ending}"


def listed(words: list[str]) -> str:
    """Return "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def capital(sentence: str) -> str:
    """Return a sentence with its first letter in upper case."""
    return sentence[:1].upper() + sentence[1:]


def saved_lines(done: Done) -> list[str]:
    """Return what a command says."""
    return [f"Saved: {done.said}.", *(f"  {also}" for also in done.also)]


def saved_line(done: Done) -> str:
    """Return what a screen says."""
    return f"Saved: {'; '.join((done.said, *done.also))}. u undoes."


def ground_words(ground: Ground) -> str:
    """Return "stony ground", "ground with few stones"."""
    return "ground with few stones" if ground.value == "few_stones" else f"{word(ground)} ground"
