"""One line of a checklist: what to do next, how long it takes, and what either outcome would leave. Chooses nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from wearlog.faults.checks import Check
from wearlog.faults.suspects import Suspect

#: to go to another place on the machine (common practice, no source)
WALK_MINUTES: Final = 2.0
#: more to see that a repair cured a fault that comes and goes (common practice, no source)
PROVE_MINUTES: Final = 20.0


@dataclass(frozen=True, slots=True)
class NextStep:
    """One line of a checklist.

    Attributes
    ----------
    check : Check or None
        None when a repair is what to do.
    repair : str or None
        The node to repair. With `check` None as well: look beyond the diagram, or at a repair that did not take.
    minutes : float
        Of this step, the walk included.
    expected_minutes : float
        From now until the fault is found and fixed, this step included.
    bad_chance : float
        That the check turns out bad; for a repair, that it is the right one.
    if_bad, if_good : Suspect or None
        The likeliest suspect after either outcome; None for a repair.
    together : tuple of Check
        Loads to try in the same go from the seat, after the first.
    sides : tuple of (str, float)
        Of a plug that is opened on a data line: the chance that each side, named by its next place, shows 0 ohm; "" for neither.
    """

    check: Check | None
    repair: str | None
    minutes: float
    expected_minutes: float
    bad_chance: float
    if_bad: Suspect | None = None
    if_good: Suspect | None = None
    together: tuple[Check, ...] = ()
    sides: tuple[tuple[str, float], ...] = ()

    @property
    def is_off_diagram(self) -> bool:
        """Whether the advice is to look beyond the diagram."""
        return self.check is None and self.repair is None
