"""What is left of a search after a repair that changed nothing; the program reckons all such states at once."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from wearlog.faults.search_problem import SearchProblem


def after_wrong_repair(problem: SearchProblem, place: int) -> SearchProblem | None:
    """Return the search with that place cleared; None if nothing else is suspected."""
    weight = np.where(problem.place == place, 0.0, problem.weight)
    return None if weight.sum() <= 1e-12 * problem.weight.sum() else replace(problem, weight=weight)
