"""How long parts last: lives, life models, recurrence and measured wear; arrays in, frozen records out.

Knows no database, no screen and no part by name. Loads numpy and scipy.special, nothing else of scipy.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from wearlog.wear.chain import CHAINS, Chain, elongation_limit, elongation_percent, find_chain
    from wearlog.wear.compare import Comparison, compare_groups
    from wearlog.wear.conflict import Conflict, life_conflict, rate_conflict
    from wearlog.wear.counts import (
        Counts,
        counts_of,
        mixed_counts,
        negative_binomial_counts,
        poisson_counts,
        sum_of_counts,
    )
    from wearlog.wear.impact import GroundRates, fit_impact, impact_prior
    from wearlog.wear.intervals import Estimate, Interval
    from wearlog.wear.likelihood import log_likelihood
    from wearlog.wear.likelihood_ratio import life_ratio_interval, scale_ratio_interval, shape_ratio_interval
    from wearlog.wear.lives import CauseEvents, CauseGroup, Lives, events_by_cause, lives_from_columns, mended_lives
    from wearlog.wear.measured import Crossing, WearForm, WearLine, fit_wear
    from wearlog.wear.path_nodes import WearCourse
    from wearlog.wear.posterior import Nodes, Posterior, SurvivalEstimate, fit_posterior
    from wearlog.wear.power_law import PowerLaw, fit_power_law
    from wearlog.wear.predict import count_first_failures
    from wearlog.wear.prior import Prior, scale_free_prior, starting_guess
    from wearlog.wear.product_limit import KaplanMeier, kaplan_meier
    from wearlog.wear.rates import GammaRate, constant_rate_interval, rate_from_guess, rate_from_range
    from wearlog.wear.recurrence import Ended, Histories, MeanCumulative, histories, mean_cumulative
    from wearlog.wear.replacement import BestAge, age_replacement, age_replacement_over, minimal_repair
    from wearlog.wear.scan import HotWindow, scan_positions
    from wearlog.wear.trend import (
        TrendTest,
        gaps,
        laplace_test,
        lewis_robinson_test,
        mil_hdbk_189_test,
        reverse_arrangements_test,
    )
    from wearlog.wear.wear_path import WearPath, fit_path
    from wearlog.wear.weibayes import Weibayes, fit_weibayes
    from wearlog.wear.weibull import WeibullFit, fit_weibull

__all__ = [
    "CHAINS",
    "BestAge",
    "CauseEvents",
    "CauseGroup",
    "Chain",
    "Comparison",
    "Conflict",
    "Counts",
    "Crossing",
    "Ended",
    "Estimate",
    "GammaRate",
    "GroundRates",
    "Histories",
    "HotWindow",
    "Interval",
    "KaplanMeier",
    "Lives",
    "MeanCumulative",
    "Nodes",
    "Posterior",
    "PowerLaw",
    "Prior",
    "SurvivalEstimate",
    "TrendTest",
    "WearCourse",
    "WearForm",
    "WearLine",
    "WearPath",
    "Weibayes",
    "WeibullFit",
    "age_replacement",
    "age_replacement_over",
    "compare_groups",
    "constant_rate_interval",
    "count_first_failures",
    "counts_of",
    "elongation_limit",
    "elongation_percent",
    "events_by_cause",
    "find_chain",
    "fit_impact",
    "fit_path",
    "fit_posterior",
    "fit_power_law",
    "fit_wear",
    "fit_weibayes",
    "fit_weibull",
    "gaps",
    "histories",
    "impact_prior",
    "kaplan_meier",
    "laplace_test",
    "lewis_robinson_test",
    "life_conflict",
    "life_ratio_interval",
    "lives_from_columns",
    "log_likelihood",
    "mean_cumulative",
    "mended_lives",
    "mil_hdbk_189_test",
    "minimal_repair",
    "mixed_counts",
    "negative_binomial_counts",
    "poisson_counts",
    "rate_conflict",
    "rate_from_guess",
    "rate_from_range",
    "reverse_arrangements_test",
    "scale_free_prior",
    "scale_ratio_interval",
    "scan_positions",
    "shape_ratio_interval",
    "starting_guess",
    "sum_of_counts",
]

#: module -> the names it gives. A module is loaded when one of them is asked for: numpy and scipy take longer to load than many a
#: command runs, and whoever wants the pitch of a chain wants none of it
_GIVES: Final = {
    "chain": "CHAINS Chain elongation_limit elongation_percent find_chain",
    "compare": "Comparison compare_groups",
    "conflict": "Conflict life_conflict rate_conflict",
    "counts": "Counts counts_of mixed_counts negative_binomial_counts poisson_counts sum_of_counts",
    "impact": "GroundRates fit_impact impact_prior",
    "intervals": "Estimate Interval",
    "likelihood": "log_likelihood",
    "likelihood_ratio": "life_ratio_interval scale_ratio_interval shape_ratio_interval",
    "lives": "CauseEvents CauseGroup Lives events_by_cause lives_from_columns mended_lives",
    "measured": "Crossing WearForm WearLine fit_wear",
    "path_nodes": "WearCourse",
    "posterior": "Nodes Posterior SurvivalEstimate fit_posterior",
    "power_law": "PowerLaw fit_power_law",
    "predict": "count_first_failures",
    "prior": "Prior scale_free_prior starting_guess",
    "product_limit": "KaplanMeier kaplan_meier",
    "rates": "GammaRate constant_rate_interval rate_from_guess rate_from_range",
    "recurrence": "Ended Histories MeanCumulative histories mean_cumulative",
    "replacement": "BestAge age_replacement age_replacement_over minimal_repair",
    "scan": "HotWindow scan_positions",
    "trend": "TrendTest gaps laplace_test lewis_robinson_test mil_hdbk_189_test reverse_arrangements_test",
    "wear_path": "WearPath fit_path",
    "weibayes": "Weibayes fit_weibayes",
    "weibull": "WeibullFit fit_weibull",
}
_HOME: Final = {name: module for module, names in _GIVES.items() for name in names.split()}


def __getattr__(name: str) -> Any:
    """Return a public name of the package, its module loaded now."""
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found = globals()[name] = getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
    return found
