"""The plain line: what people type or dictate, understood as breakages, planned work, faults, readings, runs, services or stock.

Pure: it reads no file and saves nothing. It stands on the quick line's words, days, clocks and durations.
"""

from wearlog.logbook.plain_line.heard import Heard, HeardEntry, LineVerdict, Stocked, Work
from wearlog.logbook.plain_line.phrases import FarmWords, KnownMeter, KnownPart, KnownService, Phrases, phrases_of
from wearlog.logbook.plain_line.reader import hear

__all__ = [
    "FarmWords",
    "Heard",
    "HeardEntry",
    "KnownMeter",
    "KnownPart",
    "KnownService",
    "LineVerdict",
    "Phrases",
    "Stocked",
    "Work",
    "hear",
    "phrases_of",
]
