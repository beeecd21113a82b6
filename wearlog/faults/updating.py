"""What a result does to the suspects, at once: one more check, or a repair that was tried. Enters nothing in any log."""

from __future__ import annotations

from dataclasses import replace

from wearlog.errors import DataError
from wearlog.facts.closed_lists import CheckVerdict
from wearlog.faults.checks import Check
from wearlog.faults.suspects import Case, Result, Suspects, suspects_of


def after_check(suspects: Suspects, check: Check, verdict: CheckVerdict, *, measured: float | None = None) -> Suspects:
    """Return the suspects after a check.

    Parameters
    ----------
    suspects : Suspects
    check : Check
    verdict : CheckVerdict
        Unclear and not done change no chance, but stay in the case.
    measured : float, optional
        The reading, where a meter was used; on a data line it tells an open from a short.
    """
    result = Result(check=check, verdict=verdict, measured=measured, visit=visit_now(suspects.case))
    return suspects_of(replace(suspects.case, results=(*suspects.case.results, result)))


def after_repair(suspects: Suspects, node: str) -> Suspects:
    """Return the suspects after a node was repaired or replaced and the fault was still there.

    Parameters
    ----------
    suspects : Suspects
        The suspects with their chances.
    node : str
        Name of the node.
    """
    case = suspects.case
    case.circuit.node(node)
    # with circumstances a repair may be made again: the first may not have taken
    if node in case.repairs_tried and case.circumstances is None:
        raise DataError(f'A repair of "{node}" was entered already.', "Enter what the next check showed instead.")
    return suspects_of(replace(case, repairs_tried=(*case.repairs_tried, node)))


def visit_now(case: Case) -> int:
    """Return the number of the visit that is now: the latest that a check or an answer speaks of.

    Parameters
    ----------
    case : Case
    """
    answered = case.circumstances.present if case.circumstances is not None else {}
    return max([*answered, *(result.visit for result in case.results)], default=0)
