"""The quick line: one plain line about a breakage, understood in words. Pure: it reads no file and saves nothing."""

from wearlog.logbook.quickline.reading import understand
from wearlog.logbook.quickline.tokens import Problem, Understanding
from wearlog.logbook.quickline.vocabulary import KnownComponent, KnownMachine, Vocabulary
from wearlog.logbook.quickline.words import WORDS, Words

__all__ = [
    "WORDS",
    "KnownComponent",
    "KnownMachine",
    "Problem",
    "Understanding",
    "Vocabulary",
    "Words",
    "understand",
]
