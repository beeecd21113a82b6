"""Which machine a notebook names: by its name, a beginning, an abbreviation, a slip, or its sort where the farm has only one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Final

from wearlog.facts.closed_lists import MachineKind
from wearlog.logbook.notebook.cell_words import CellWords
from wearlog.logbook.plain_line.spoken import mended
from wearlog.logbook.quickline.tokens import words_of
from wearlog.logbook.quickline.vocabulary import KnownMachine

#: what a sort of machine is called for short
_SORTS: Final[dict[str, MachineKind]] = {
    **dict.fromkeys(
        ("header", "headers", "hdr", "hd", "head", "hdrs", "table", "platform", "draper"), MachineKind.HEADER
    ),
    **dict.fromkeys(("combine", "combines", "comb", "cmb", "cmbn", "harvester"), MachineKind.COMBINE),
    **dict.fromkeys(("tractor", "trac"), MachineKind.TRACTOR),
    **dict.fromkeys(("truck", "lorry"), MachineKind.TRUCK),
    **dict.fromkeys(("cart", "chaser"), MachineKind.CART),
}
_SMALL: Final = frozenset({"the", "our", "on", "of", "for", "a", "no", "nr", "and", "ft", "foot", "one", "machine"})
_SPLIT: Final = re.compile(r"[^\W_]+")


@dataclass(slots=True, eq=False)
class MachineNames:
    """Reads the machine of a text. `machines` are those of the farm, and those that are to be made."""

    machines: Sequence[KnownMachine]
    words: CellWords
    _seen: dict[tuple[str, MachineKind | None], tuple[KnownMachine, ...]] = field(default_factory=dict)

    def named(self, text: str, sort: MachineKind | None = None) -> tuple[KnownMachine, ...]:
        """Return the machines that a text may mean: one where it is clear, none where it names none.

        Parameters
        ----------
        sort : MachineKind, optional
            What the column says it is.
        """
        found = self._seen.get((text, sort))
        if found is None:
            found = self._seen[text, sort] = self._named(text, sort)
        return found

    def _named(self, text: str, sort: MachineKind | None) -> tuple[KnownMachine, ...]:
        clean = self.words.meant(text)
        whole = [one for one in self.machines if one.name.casefold() == clean]
        if whole:
            return tuple(whole)
        said = [one for one in _SPLIT.findall(clean) if one not in _SMALL]
        sorts = {_SORTS[one] for one in said if one in _SORTS}
        rest = [one for one in said if one not in _SORTS]
        if len(sorts) > 1 or not said or len(said) > 6:
            return ()
        wanted = next(iter(sorts), sort)
        among = [one for one in self.machines if wanted is None or one.kind is wanted]
        if not rest:
            return tuple(among) if sorts else ()
        fits = [one for one in among if _fits(one, rest)]
        if not fits and wanted is not None and not sorts:
            # a column of headers may name the combine
            fits = [one for one in self.machines if _fits(one, rest)]
        return tuple(fits or _slips(among, rest) or ([] if sorts else _slips(self.machines, rest)))

    def one(self, text: str, sort: MachineKind | None = None) -> KnownMachine | None:
        """Return the one machine that a text names."""
        found = self.named(text, sort)
        return found[0] if len(found) == 1 else None

    def share(self, texts: Iterable[str]) -> float:
        """Return which share of texts names one machine or more."""
        listed = list(texts)
        return sum(bool(self.named(one)) and len(one) < 30 for one in listed) / len(listed) if listed else 0.0


def name_words(machine: KnownMachine) -> tuple[str, ...]:
    """Return the words of a machine's name that are its own, without its sort."""
    return tuple(one for one in words_of(machine.name) if one not in _SORTS) or words_of(machine.name)


def _fits(machine: KnownMachine, said: Sequence[str]) -> bool:
    """Every word that was said begins a word of the name, or is its letters together."""
    own = name_words(machine)
    initials = "".join(one[0] for one in own)
    together = "".join(own)
    return all(any(word.startswith(one) for word in own) or one in (initials, together) for one in said)


def _slips(machines: Sequence[KnownMachine], said: Sequence[str]) -> list[KnownMachine]:
    """Return the machine whose name the words are a slip of, or are written of with letters left out."""
    if len(said) > 2:
        return []
    near = []
    for machine in machines:
        own = name_words(machine)
        if all(any(_is_slip(one, word) for word in own) for one in said):
            near.append(machine)
    return near if len(near) == 1 else []


def _is_slip(said: str, word: str) -> bool:
    if word.startswith(said):
        return True
    if len(said) < 3 or said[0] != word[0]:
        return False
    return bool(mended(said, (word,))) or (len(said) >= len(word) - 2 and _left_out(said, word))


def _left_out(said: str, word: str) -> bool:
    """Say whether only letters were left out: "rsty" of "rusty", "kstrl" of "kestrel"."""
    letters = iter(word)
    return all(one in letters for one in said)
