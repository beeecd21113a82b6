"""The words of the quick line as data: what people say for the closed lists, and the small words that change nothing.

The cells of an import read the same words (said/choices.py). All words are lower case without accents. A phrase of several words
is written with single spaces; hyphens count as spaces. Names of machines and parts are not here: they come from the farm.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import IntEnum
from functools import cache

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.facts.positions import SPAN_WORDS
from wearlog.facts.unit_words import spelled


class Weight(IntEnum):
    """How firmly a word says something: the firmer word wins, two equally firm ones that differ are a question."""

    LINK = 1
    HINT = 2
    PLAIN = 3


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Sense:
    """What a word says about the cause, the mode and the action; None where it says nothing."""

    cause: Cause | None = None
    cause_weight: Weight = Weight.PLAIN
    mode: Mode | None = None
    mode_weight: Weight = Weight.PLAIN
    action: Action | None = None


_WORN = Sense(Cause.WEAR, Weight.HINT, Mode.WORN, Weight.HINT)

_CAME_LOOSE = Sense(Cause.LOOSE, Weight.HINT, Mode.LOOSE, Weight.HINT)

#: said of a cause by itself, a cause and a mode in one word, a mode, an action
_SENSES = (
    (
        Sense(cause=Cause.IMPACT),
        (
            *("rock", "rocks", "stone", "stones", "boulder", "post", "posts", "fence post", "stump", "foreign object"),
            *("foreign objects", "foreign body", "impact", "hit", "struck"),
        ),
    ),
    (Sense(Cause.WEAR, Weight.PLAIN, Mode.WORN, Weight.HINT), ("wear", "wear and tear", "normal wear")),
    (
        _WORN,
        (
            "worn",
            "worn out",
            "wore out",
            "worn down",
            "worn through",
            "wore through",
            "dull",
            "dulled",
            "blunt",
            "rounded",
        ),
    ),
    (Sense(cause=Cause.FATIGUE), ("fatigue", "fatigued", "metal fatigue")),
    (
        Sense(cause=Cause.LOOSE),
        (
            *("rivet", "rivets", "loose rivet", "loose rivets", "bolt", "bolts", "loose bolt", "loose bolts"),
            *("loose nut", "loose nuts"),
        ),
    ),
    (_CAME_LOOSE, ("loose", "came loose", "worked loose", "knocked loose", "loosened")),
    (Sense(cause=Cause.SECONDARY), ("secondary", "knock on", "consequential")),
    (Sense(cause=Cause.UNKNOWN), ("unknown", "unknown cause", "cause unknown", "no idea", "do not know", "don't know")),
    (
        Sense(mode=Mode.BROKEN),
        (
            *("broken", "broke", "break", "breaks", "broken off", "broke off", "snapped", "snapped off", "sheared"),
            *("sheared off", "shattered", "smashed", "chipped"),
        ),
    ),
    (Sense(mode=Mode.BENT), ("bent", "bend", "buckled", "twisted")),
    (Sense(mode=Mode.CRACKED), ("cracked", "crack", "cracks", "hairline crack", "split")),
    (
        Sense(mode=Mode.MISSING),
        (
            "missing",
            "gone",
            "lost",
            "fell off",
            "fell out",
            "fallen off",
            "fallen out",
            "came off",
            "flew off",
            "dropped off",
        ),
    ),
    (Sense(mode=Mode.STRETCHED), ("stretched", "stretch", "elongated", "too long")),
    (Sense(mode=Mode.TORN), ("torn", "tore", "tear", "ripped", "rip")),
    (Sense(mode=Mode.SEIZED), ("seized", "seized up", "stuck", "jammed", "locked up")),
    (Sense(mode=Mode.LEAKING), ("leaking", "leaks", "leak", "leaked", "leaky")),
    (
        Sense(mode=Mode.FAILED),
        ("failed", "failure", "fail", "blew", "blown", "burnt", "burnt out", "burned out", "dead", "gave out", "quit"),
    ),
    (
        Sense(action=Action.REPLACED),
        (
            *(
                "replaced",
                "replace",
                "replacing",
                "new",
                "changed",
                "change",
                "swapped",
                "renewed",
                "exchanged",
                "installed",
            ),
            *("put in", "put new", "fitted", "new one", "new ones"),
        ),
    ),
    (
        Sense(action=Action.MENDED),
        (
            *("mended", "mend", "repaired", "straightened", "welded", "tightened", "retightened", "spliced", "patched"),
            *("bent back", "hammered straight"),
        ),
    ),
    (
        Sense(action=Action.LEFT),
        (
            *(
                "left in",
                "left it",
                "left it in",
                "left on",
                "left it on",
                "left as is",
                "left as it is",
                "left in service",
                "left alone",
            ),
            *(
                "left for later",
                "ran on",
                "run on",
                "running on",
                "kept going",
                "kept running",
                "carried on",
                "went on",
            ),
            *(
                "not replaced",
                "not changed",
                "not mended",
                "not repaired",
                "not fixed",
                "did not replace",
                "didn't replace",
            ),
        ),
    ),
)


Phrases = tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Words:
    """The tables. `WORDS` is the one that is used; another language would be another one."""

    senses: tuple[tuple[Sense, Phrases], ...]
    reasons: Phrases
    kind_modes: tuple[tuple[str, Mode], ...]
    unclear: tuple[tuple[str, str], ...]
    everything: Phrases
    both: Phrases
    position_markers: Phrases
    span: Phrases
    small: Phrases
    hours: Phrases
    minutes: Phrases
    seconds: Phrases
    days: Phrases
    weeks: Phrases
    stood: Phrases
    worked: Phrases
    months: tuple[Phrases, ...]
    weekdays: tuple[Phrases, ...]
    day_parts: tuple[tuple[str, int, int], ...]
    times: Phrases
    numbers: tuple[tuple[str, int], ...]

    def all_words(self) -> frozenset[str]:
        """Return every single word of the tables: what a misspelt one is compared with."""
        found = {word for word, _ in self.unclear}
        waiting: list[object] = [getattr(self, one.name) for one in fields(self) if one.name != "unclear"]
        while waiting:
            content = waiting.pop()
            if isinstance(content, str):
                found.update(content.split())
            elif isinstance(content, tuple):
                waiting.extend(content)
        return frozenset(found)


WORDS = Words(
    senses=_SENSES,
    reasons=("because of", "because", "due to", "caused by", "as a result of", "following"),
    # what a kind usually does when the line does not say: a fuse does not break, it fails
    kind_modes=(
        *(("fuse", Mode.FAILED), ("relay", Mode.FAILED), ("sensor", Mode.FAILED), ("switch", Mode.FAILED)),
        *(("lamp", Mode.FAILED), ("bulb", Mode.FAILED), ("battery", Mode.FAILED), ("bearing", Mode.FAILED)),
        *(("hose", Mode.LEAKING), ("seal", Mode.LEAKING)),
    ),
    unclear=(
        ("fixed", "Write 'replaced' for a new part, 'mended' for the same part going on."),
        ("fix", "Write 'replaced' for a new part, 'mended' for the same part going on."),
        ("done", "Write 'replaced' for a new part, 'mended' for the same part going on."),
    ),
    everything=("all", "every"),
    both=("both",),
    position_markers=("at", "position", "positions", "pos", "no", "nos", "nr", "number", "numbers"),
    span=SPAN_WORDS,
    small=(
        *(
            "a",
            "an",
            "the",
            "of",
            "on",
            "in",
            "at",
            "by",
            "with",
            "from",
            "for",
            "and",
            "is",
            "was",
            "were",
            "are",
            "got",
        ),
        *("has", "have", "had", "it", "its", "my", "our", "this", "that", "there", "again", "some", "few", "several"),
        *("about", "approx", "around", "took", "side", "hand", "went", "after", "when", "then", "also", "only", "just"),
        *(
            "one",
            "ones",
            "piece",
            "pieces",
            "pcs",
            "x",
            "part",
            "parts",
            "off",
            "out",
            "down",
            "stood",
            "standing",
            "cause",
        ),
        *("position", "positions", "pos", "place", "number", "numbers", "them", "time"),
    ),
    hours=("h", *spelled("h")),
    minutes=("min", "m", *spelled("min")),
    seconds=("sec", "secs", "second", "seconds"),
    days=spelled("d"),
    weeks=spelled("wk"),
    stood=("down", "downtime", "stood", "standing", "stopped", "stop", "standstill", "lost", "idle", "waiting"),
    worked=("labour", "labor", "work", "working", "worked", "shop", "wrenching"),
    months=(
        *(("january", "jan"), ("february", "feb"), ("march", "mar"), ("april", "apr"), ("may",), ("june", "jun")),
        *(("july", "jul"), ("august", "aug"), ("september", "sept", "sep"), ("october", "oct"), ("november", "nov")),
        ("december", "dec"),
    ),
    weekdays=(
        *(("monday", "mon"), ("tuesday", "tue", "tues"), ("wednesday", "wed"), ("thursday", "thu", "thur", "thurs")),
        *(("friday", "fri"), ("saturday", "sat"), ("sunday", "sun")),
    ),
    times=(
        "now",
        "today",
        "tonight",
        "yesterday",
        "day before yesterday",
        "last",
        "ago",
        "noon",
        "midday",
        "midnight",
        "am",
        "pm",
    ),
    # a part of the day, the hour at which it begins, the hour that stands for it when no time is said
    day_parts=(("morning", 5, 9), ("afternoon", 12, 15), ("evening", 17, 19), ("night", 20, 21)),
    numbers=(
        *(("one", 1), ("two", 2), ("three", 3), ("four", 4), ("five", 5), ("six", 6), ("seven", 7), ("eight", 8)),
        *(
            ("nine", 9),
            ("ten", 10),
            ("eleven", 11),
            ("twelve", 12),
            ("thirteen", 13),
            ("fourteen", 14),
            ("fifteen", 15),
        ),
        *(("sixteen", 16), ("seventeen", 17), ("eighteen", 18), ("nineteen", 19), ("twenty", 20), ("thirty", 30)),
        *(("forty", 40), ("fifty", 50), ("sixty", 60), ("seventy", 70), ("eighty", 80), ("ninety", 90), ("dozen", 12)),
        *(("pair", 2), ("couple", 2)),
    ),
)


@cache
def known_words() -> frozenset[str]:
    """Return every single word of `WORDS`."""
    return WORDS.all_words()
