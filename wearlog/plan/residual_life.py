"""What is believed of the usage that a part has still to come: sound and of a known age, or met at a chance moment of its life."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.plan.life_nodes import LifeNodes, cumulative_hazard
from wearlog.wear import law

Floats = NDArray[np.float64]


class Residual(Protocol):
    """What is believed of the usage still to come of one part: averaged over the belief, and law by law."""

    @property
    def weight(self) -> Floats:
        """The weights of the laws, shape (nodes,)."""
        ...

    def survival(self, ahead: ArrayLike) -> Floats:
        """Return the chance to last the usage ahead, averaged over the laws.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        ...

    def density(self, ahead: ArrayLike) -> Floats:
        """Return the density of the usage to come, averaged over the laws.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        ...

    def survival_by_node(self, ahead: ArrayLike) -> Floats:
        """Return the chance to last the usage ahead under each law; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        ...

    def density_by_node(self, ahead: ArrayLike) -> Floats:
        """Return the density of the usage to come under each law; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        ...


@dataclass(frozen=True, slots=True)
class AgedPart:
    """A sound part of a known age: what is believed of its kind's life, given that it got so far.

    Attributes
    ----------
    nodes : LifeNodes
    age : float
        In the units of the nodes, 0 or more.
    """

    nodes: LifeNodes
    age: float

    @property
    def weight(self) -> Floats:
        """The weights of the laws, each with the chance that it got so far; shape (nodes,)."""
        reached = self.nodes.weight * np.exp(-cumulative_hazard(self.nodes, self.age))
        whole = float(reached.sum())
        # a part far older than any law allows says nothing of which law holds
        return np.asarray(reached / whole) if whole > 0 else self.nodes.weight

    def survival_by_node(self, ahead: ArrayLike) -> Floats:
        """Return R(age + u) / R(age) under each law; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        u = np.asarray(ahead, dtype=np.float64)
        begun = cumulative_hazard(self.nodes, self.age)[(...,) + (None,) * u.ndim]
        return np.exp(begun - cumulative_hazard(self.nodes, self.age + u))

    def density_by_node(self, ahead: ArrayLike) -> Floats:
        """Return the density of the usage to come under each law; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more; 0 of a part of age 0 gives 0.
        """
        u = np.asarray(ahead, dtype=np.float64)
        along = (...,) + (None,) * u.ndim
        reached = self.age + u
        # a new part, now: it has no usage to come in which it could fail
        hazard = self.nodes.shape[along] * cumulative_hazard(self.nodes, reached) / np.where(reached > 0, reached, 1.0)
        return np.asarray(hazard * self.survival_by_node(u))

    def survival(self, ahead: ArrayLike) -> Floats:
        """Return the chance to last the usage ahead, averaged over the laws.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        return np.asarray(np.tensordot(self.weight, self.survival_by_node(ahead), axes=1))

    def density(self, ahead: ArrayLike) -> Floats:
        """Return the density of the usage to come, averaged over the laws.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, above 0.
        """
        return np.asarray(np.tensordot(self.weight, self.density_by_node(ahead), axes=1))


@dataclass(frozen=True, slots=True)
class PartOfUnknownAge:
    """A sound part met at a chance moment of its life: what is still to come has the density R(u) / mean life."""

    nodes: LifeNodes

    @property
    def weight(self) -> Floats:
        """The weights of the laws, shape (nodes,)."""
        return self.nodes.weight

    def survival_by_node(self, ahead: ArrayLike) -> Floats:
        """Return 1 - integral of R to u / mean life under each law; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        u = np.asarray(ahead, dtype=np.float64)
        shape, scale = (one[(...,) + (None,) * u.ndim] for one in (self.nodes.shape, self.nodes.scale))
        return np.asarray(1 - law.life_used_by(u, shape, scale) / law.mean_life(shape, scale))

    def density_by_node(self, ahead: ArrayLike) -> Floats:
        """Return R(u) / mean life under each law; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        u = np.asarray(ahead, dtype=np.float64)
        shape, scale = (one[(...,) + (None,) * u.ndim] for one in (self.nodes.shape, self.nodes.scale))
        return np.asarray(law.survival(u, shape, scale) / law.mean_life(shape, scale))

    def survival(self, ahead: ArrayLike) -> Floats:
        """Return the chance to last the usage ahead, averaged over the laws.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        return np.asarray(np.tensordot(self.weight, self.survival_by_node(ahead), axes=1))

    def density(self, ahead: ArrayLike) -> Floats:
        """Return the density of the usage to come, averaged over the laws.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        return np.asarray(np.tensordot(self.weight, self.density_by_node(ahead), axes=1))
