"""How a component is called in one short name: by its place, its kind, or both where neither says enough."""

from __future__ import annotations

from wearlog.facts.plain_text import one_line


def component_name(place: str, kind: str) -> str:
    """Return "guards", "feeder house chain", "knife section", or "left side: drive belt".

    The place alone when it names the thing the kind is (its last word), the kind alone when it says the whole place already.
    """
    place, kind = one_line(place), one_line(kind)
    said, thing = place.casefold(), kind.casefold().split()[-1:] or [""]
    if not place or said in kind.casefold():
        return kind
    return place if thing[0].rstrip("s") in said else f"{place}: {kind}"
