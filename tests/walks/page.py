"""The page of the walked stories: what each took, by keys and by the mouse, at each size; and what jarred."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from tests.walks.stories import Story
from tests.walks.walker import KEYS_A_SECOND, KEYS_OF_A_CLICK, Count, Hand
from tests.walks.walking import Walked

#: what did not stand to reason for somebody who has not read the guide -> what was done about it
JARRED: Final = (
    (
        "`0` (on a phone the only way to another area): the list stayed empty",
        "the nine areas stand there, their words whole",
    ),
    ("'m shows a machine' as the log is begun, while `m` is more rows", "'Enter opens a machine'"),
    (
        "a line of a note written otherwise, still asked about: what was typed was gone",
        "it stays as it was written; line 2 says what is still asked",
    ),
    ("'Enter saves: it so, and nothing before the page of the note does'", "'Enter takes it over: ...'"),
    ("a plan chosen otherwise on a phone: no key to save it in the last line", "Ctrl+S stands second"),
    (
        "'p draws the circuits first' with no machine looked at: 'Open a machine first'",
        "the first combine's are opened",
    ),
    (
        "packing onto a stick that is remembered: 'Nothing to save yet', and Enter packs",
        "'Enter saves: all of this log into ...'",
    ),
    ("what was refused stood on after it was put right", "it goes with the next answer"),
    ("'1 that save nothing'", "'1 that saves nothing'"),
    (
        "what was typed right behind Tab, on a busy machine: letters were taken for keys, figures for positions",
        "each key is done before the next one is given to anybody",
    ),
    (
        "a key of the last line, clicked before the circuits were read: nothing came of it",
        "it is kept and done when they are there",
    ),
    ("a long list to tick on a phone: its cursor went on below the screen", "the form winds with it"),
)


@dataclass(frozen=True)
class Row:
    """One walk: which story, on which log, at which size, by which hand, and what it took (None: not to its end)."""

    story: Story
    on_demo: bool
    size: tuple[int, int]
    hand: Hand
    walked: Walked | None


def page(rows: Sequence[Row]) -> str:
    """Return docs/walked.md."""
    lines = [
        "# The stories, walked",
        "",
        "Each story is played in a real terminal from the yard to its end, by keys alone and by the mouse alone, on the demo",
        "fleet and on a log begun empty. This page is made by doing it (`python -m tests.walks > docs/walked.md`). Words and",
        f"figures are typed either way. Seconds are those of a slow typist ({KEYS_A_SECOND:g} keys a second, a click as",
        f"{KEYS_OF_A_CLICK:g} keys; from memory) with what was waited for, on a machine that others",
        "worked on. The mouse does what has no room in the last line by the page of the keys.",
        "",
        "| story | log | size | by | keys | typed | clicks | wheel | longest wait s | in all s |",
        "|---|---|---|---|---|---|---|---|---|---|",
    ]
    for row in rows:
        where = (
            f"| {row.story.number} {row.story.name} | {'demo' if row.on_demo else 'own'} | {row.size[0]}x{row.size[1]} "
        )
        if row.walked is None:
            lines.append(f"{where}| {row.hand.value} | not walked to its end by this script | | | | | |")
            continue
        count = row.walked.count
        lines.append(
            f"{where}| {row.hand.value} | {count.keys} | {count.typed} | {count.clicks} | {count.wheel} "
            f"| {count.longest:.1f} | {count.seconds:.0f} |"
        )
    lines += ["", "## What must hold", ""]
    logged = most(rows, "logged")
    answer = max((one["answer"].seconds for one in (marks_of(row) for row in rows) if "answer" in one), default=0.0)
    lines += [
        f"- A usual breakage by keys, from the yard to what is saved: {logged} at most, one of them for cautions that",
        "  stand once in a spell of work (a single section takes 6 with it, [by hand](by-hand.md); here it is a span of three).",
        f"- From no log at all to the first answer: {answer:.0f} s at most.",
        "",
        "## What jarred, and what was done",
        "",
        "| on the way | now |",
        "|---|---|",
        *(f"| {what} | {now} |" for what, now in JARRED),
    ]
    return "\n".join(lines) + "\n"


def marks_of(row: Row) -> Mapping[str, Count]:
    """Return how far a walk was at its marks; nothing where it did not come to its end."""
    return {} if row.walked is None else row.walked.marks


def most(rows: Sequence[Row], mark: str) -> int:
    """Return the most keys and figures that a walk by keys took to a mark."""
    found = [one[mark] for row in rows if row.hand is Hand.KEYS and mark in (one := marks_of(row))]
    return max((pressed(one) for one in found), default=0)


def pressed(count: Count) -> int:
    """Return keys and figures together."""
    return count.keys + count.typed
