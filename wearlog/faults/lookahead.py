"""The next step of a search whose checks are good or bad, by a few steps of lookahead. Knows no circuit."""

from __future__ import annotations

import numpy as np

from wearlog.faults.many_lookahead import Probe, many_lookahead
from wearlog.faults.many_search import ManySearch
from wearlog.faults.search_problem import SearchProblem, Step


def lookahead_step(problem: SearchProblem, *, steps: int = 2) -> Step:
    """Return the next step that looks best when so many steps are thought through, and the minutes expected from here.

    Parameters
    ----------
    problem : SearchProblem
    steps : int
        1 or more. Each step beyond the second takes some 24 times as long: 12 options, each with two outcomes.

    Raises
    ------
    DataError
        For fewer than one step.

    Notes
    -----
    Beyond the steps the search is valued as if the places were gone through one by one, by their own check or by repairing
    them, in the order of the probability/cost rule with the best one left untested. For independent single checks this is
    optimal, so the step is too; elsewhere the minutes are an estimate, as a rule a little high.
    """
    order = np.argsort(problem.place, kind="stable")
    bad = problem.bad[:, order]
    places = problem.repair_minutes.size
    of_two = ManySearch(
        weight=problem.weight[order],
        place=problem.place[order],
        repair_minutes=problem.repair_minutes,
        may_repair=np.ones(places, dtype=bool),
        check_minutes=problem.check_minutes,
        outcomes=np.stack((1 - bad, bad), axis=1),
    )
    no_other_way = np.full(places, np.nan)
    return many_lookahead(of_two, Probe(no_other_way, no_other_way), steps=steps)
