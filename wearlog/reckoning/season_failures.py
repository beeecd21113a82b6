"""What a season asks of each place beyond the parts now on: the successors of those that fail in it. The plan's own maths."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from wearlog.plan.life_nodes import LifeNodes, condense
from wearlog.plan.successors import Successors, successors
from wearlog.reckoning.age_groups import AgeGroup
from wearlog.store.histories import Floats
from wearlog.wear.posterior import Posterior


def condensed(posterior: Posterior) -> LifeNodes:
    """Return what is believed of a life as the few laws that the plan reckons with."""
    nodes = posterior.nodes
    return condense(LifeNodes.of(nodes.shape, nodes.scale, nodes.weight))


def with_successors(
    posterior: Posterior | None, found: Sequence[tuple[AgeGroup, ...]], usage: Floats
) -> list[tuple[AgeGroup, ...]]:
    """Return the groups of each component with what the successors of their parts are expected to break.

    Parameters
    ----------
    posterior : Posterior or None
        The life of the kind; without one nothing is said of successors.
    found : sequence of tuple of AgeGroup, one for each component
    usage : (components,) float64
        What the season asks of each.

    Notes
    -----
    A part that has failed is renewed as the season begins; one whose measured wear speaks fails at any time of it; any other at
    the times that its age makes likely.
    """
    if posterior is None:
        return list(found)
    nodes = condensed(posterior)
    laws = {ahead: successors(nodes, ahead) for ahead in set(usage.tolist()) if ahead > 0}
    return [
        _counted(groups, laws[ahead]) if groups and ahead in laws else groups
        for groups, ahead in zip(found, usage.tolist(), strict=True)
    ]


def _counted(groups: tuple[AgeGroup, ...], law: Successors) -> tuple[AgeGroup, ...]:
    by_age = law.of_ages([group.age or 0.0 for group in groups]).tolist()
    return tuple(
        replace(group, successors=_later(group, law, aged)) for group, aged in zip(groups, by_age, strict=True)
    )


def _later(group: AgeGroup, law: Successors, by_age: float) -> float:
    if group.survives is None:
        return 0.0
    if group.failed:
        return law.of_failed
    return (1 - group.survives) * law.of_any_time if group.by_measurement else by_age
