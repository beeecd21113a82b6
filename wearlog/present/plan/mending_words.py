"""What is said of mending a part first: how long that takes, and how long it holds."""

from __future__ import annotations

from wearlog.facts.parts import PartKind
from wearlog.present.digits import Measures, number
from wearlog.present.words import counted
from wearlog.reckoning.plan.mend_first import Mendable


def mending_said(mending: Mendable, kind: PartKind, measures: Measures) -> str:
    """Return how long mending takes, and what it rests on how long it holds."""
    habit, record = mending.habit, mending.stretches
    labour = number(habit.labour_seconds / 60)
    how = (
        "as you said"
        if not habit.times
        else f"as {counted(habit.timed, 'record')} say{'s' if habit.timed == 1 else ''}"
        if habit.timed
        else "the kind's usual time"
    )
    ran = measures.usage(kind.meter_kind, record.usage)
    rests = (
        f"{counted(record.stretches, 'mended part')} of its kind: {counted(record.breaks, 'break')} in {ran}"
        if record.stretches
        else "a guess for mended parts (a quarter of a life; common practice, no source)"
    )
    return f"Mending takes {labour} min ({how}); how long it holds is reckoned from {rests}."
