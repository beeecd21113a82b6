"""The cautions of several dangers in groups: what two of them share stands once on top, the machine's own book last."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from wearlog.facts.cautions import BOOK_COMES_FIRST, CAUTIONS
from wearlog.facts.closed_lists import Hazard
from wearlog.present.words import word


def caution_groups(hazards: Sequence[Hazard]) -> list[tuple[str, tuple[str, ...]]]:
    """Return (title, sentences) for what all share, for each danger, and for the machine's own book.

    Examples
    --------
    >>> [title for title, _ in caution_groups((Hazard.KNIFE, Hazard.ELECTRICAL))]
    ['KNIFE', 'ELECTRICAL', '']
    """
    each = {one: [said for said in CAUTIONS[one] if said != BOOK_COMES_FIRST] for one in hazards}
    shared = [said for said, times in Counter(said for found in each.values() for said in found).items() if times > 1]
    groups = [("FOR ALL OF IT", tuple(shared))] if shared else []
    groups += [
        (word(one).upper(), own) for one, said in each.items() if (own := tuple(x for x in said if x not in shared))
    ]
    return [*groups, ("", (BOOK_COMES_FIRST,))] if hazards else []
