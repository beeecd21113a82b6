"""What a phrase says of a part. A frozen record; the phrases are in said_table.py."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.logbook.quickline.word_lists import Weight


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Said:
    """What a phrase says; None and False where it says nothing.

    Attributes
    ----------
    soft : bool
        The mode is only taken for granted from it: "noisy" is how a bearing failed.
    usual : bool
        It broke as its kind usually does: "went".
    watched : bool
        Something was seen or heard, and nothing done: it goes on unless somebody says otherwise.
    fine : bool
        The part is all right.
    planned : bool
        It is said of winter work.
    new : bool
        A new part was put on, and no word of an old one that broke.
    reason : bool
        What stands behind it is why.
    """

    cause: Cause | None = None
    mode: Mode | None = None
    action: Action | None = None
    weight: Weight = Weight.PLAIN
    soft: bool = False
    usual: bool = False
    watched: bool = False
    fine: bool = False
    planned: bool = False
    new: bool = False
    reason: bool = False
