"""A search for a fault, one outcome further: what published searches are stepped through by. The program reckons all at once."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from wearlog.faults.search_problem import SearchProblem


def after_outcome(problem: SearchProblem, check: int, *, is_bad: bool) -> SearchProblem | None:
    """Return what is left after the outcome of a check, that check taken away; None if the outcome cannot be."""
    likelihood = problem.bad[check] if is_bad else 1 - problem.bad[check]
    weight, kept = problem.weight * likelihood, np.arange(problem.check_minutes.size) != check
    if weight.sum() <= 1e-12 * problem.weight.sum():
        return None
    return replace(problem, weight=weight, check_minutes=problem.check_minutes[kept], bad=problem.bad[kept])
