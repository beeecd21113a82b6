"""Claims under warranty: which breakages lie within the terms of their part, what each is worth, what came of those sent."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum, unique
from typing import Final
from uuid import UUID

from dateutil.relativedelta import relativedelta

from wearlog.costs.repair_cost import price_of_time
from wearlog.facts.closed_lists import Action, Cause, Removal, StockChange, WarrantyCover, WarrantyFrom
from wearlog.facts.parts import Part, PartKind, StockMove, WarrantyClaim
from wearlog.facts.wearing import Breakage, Component, Fitting, Repair
from wearlog.reckoning.farm import Farm
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.schema.types import microseconds

#: terms that end within so many days are told, so that these parts are looked at before
SOON_DAYS: Final = 30


@unique
class ClaimState(StrEnum):
    """How far a claim is."""

    OPEN = "open"
    SENT = "sent"
    PAID = "paid"
    REFUSED = "refused"
    LAPSED = "lapsed"
    NOTHING_BROKE = "nothing_broke"


@dataclass(frozen=True, slots=True)
class Claim:
    """One breakage within the terms of its part, or a claim that was sent.

    Attributes
    ----------
    breakage : Breakage or None
        None where it was withdrawn after the claim was sent.
    pieces : int
        Positions whose part lay within its terms.
    age : float or None
        Of the oldest of them, on the kind's meter; None where nobody knows it.
    worth_minor : int or None
        What the terms pay: parts, and labour where they cover it; None where nobody wrote a price.
    expires_on : date or None
        The last day of the months; None where there are none.
    mended : bool
        The part was mended before.
    sent : WarrantyClaim or None
    lapsed : bool
        Nobody sent it while its months ran.
    """

    breakage: Breakage | None
    component: Component | None
    kind: PartKind | None
    part: Part | None
    pieces: int
    age: float | None
    worth_minor: int | None
    expires_on: date | None
    mended: bool
    sent: WarrantyClaim | None
    lapsed: bool = False

    @property
    def state(self) -> ClaimState:
        """How far it is."""
        if self.breakage is None:
            return ClaimState.NOTHING_BROKE
        if self.sent is None:
            return ClaimState.LAPSED if self.lapsed else ClaimState.OPEN
        if self.sent.settled_at is None:
            return ClaimState.SENT
        return ClaimState.PAID if self.sent.paid_minor else ClaimState.REFUSED


@dataclass(frozen=True, slots=True)
class EndingTerm:
    """Parts that are on and whose months end soon."""

    component: Component
    part: Part
    positions: tuple[int, ...]
    ends_on: date


@dataclass(frozen=True, slots=True)
class ClaimList:
    """All claims, open ones first and of those the one that expires next; terms that end soon; whether any part has terms."""

    farm: Farm
    claims: tuple[Claim, ...]
    ending: tuple[EndingTerm, ...]
    has_terms: bool


def claim_list(connection: Connection, farm: Farm) -> ClaimList:
    """Read which breakages can be claimed, and what was."""
    parts = {one.id: one for one in find_all(connection, Part)}
    with_terms = {one.id for one in parts.values() if one.warranty_months or one.warranty_usage}
    sent: dict[UUID, WarrantyClaim] = {one.breakage_id: one for one in find_all(connection, WarrantyClaim)}
    fittings: dict[tuple[UUID, int], list[Fitting]] = defaultdict(list)
    for one in find_all(connection, Fitting):
        fittings[one.component_id, one.position].append(one)
    breakages = [one for one in find_all(connection, Breakage) if one.at <= farm.now]
    desk = _Desk(
        farm,
        parts,
        {one.id: one for one in farm.components},
        {one.id: one for one in farm.part_kinds},
        _receipts(find_all(connection, StockMove, change=StockChange.RECEIVED)),
        {one.id: one for one in find_all(connection, Repair)},
        breakages,
        _pieces(breakages),
        _moved(one for rows in fittings.values() for one in rows),
    )
    found = [claim for one in breakages if (claim := desk.claim(one, fittings, with_terms, sent.get(one.id)))]
    there = {one.id for one in breakages}
    found += [
        Claim(None, None, None, None, 0, None, None, None, mended=False, sent=one)
        for key, one in sent.items()
        if key not in there
    ]
    states = list(ClaimState)
    found.sort(key=lambda one: (states.index(one.state), one.expires_on or date.max))
    return ClaimList(farm, tuple(found), desk.ending(fittings, with_terms), bool(with_terms))


def _pieces(breakages: Iterable[Breakage]) -> Mapping[UUID, int]:
    found: dict[UUID, int] = defaultdict(int)
    for one in breakages:
        if one.repair_id is not None:
            found[one.repair_id] += len(one.positions)
    return found


def _moved(fittings: Iterable[Fitting]) -> Mapping[tuple[UUID | None, datetime], Sequence[Fitting]]:
    found: dict[tuple[UUID | None, datetime], list[Fitting]] = defaultdict(list)
    for one in fittings:
        if one.removal is Removal.MOVED and one.removed_at is not None:
            found[one.part_id, one.removed_at].append(one)
    return found


def _receipts(moves: Sequence[StockMove]) -> dict[UUID, list[StockMove]]:
    found: dict[UUID, list[StockMove]] = defaultdict(list)
    for one in sorted(moves, key=lambda one: one.at):
        found[one.part_id].append(one)
    return found


@dataclass(frozen=True, slots=True)
class _Desk:
    """What all claims are worked out with."""

    farm: Farm
    parts: dict[UUID, Part]
    components: dict[UUID, Component]
    kinds: dict[UUID, PartKind]
    receipts: dict[UUID, list[StockMove]]
    repairs: dict[UUID, Repair]
    breakages: Sequence[Breakage]
    #: pieces that a repair was about
    pieces_of: Mapping[UUID, int]
    #: what was taken off to go elsewhere, by its part and when
    moved: Mapping[tuple[UUID | None, datetime], Sequence[Fitting]]

    def claim(
        self,
        broke: Breakage,
        fittings: dict[tuple[UUID, int], list[Fitting]],
        with_terms: set[UUID],
        sent: WarrantyClaim | None,
    ) -> Claim | None:
        component = self.components.get(broke.component_id)
        if component is None or (broke.cause is Cause.IMPACT and sent is None):
            return None
        kind = self.kinds[component.part_kind_id]
        on = [
            fitting
            for position in broke.positions
            if (fitting := _on_at(fittings[broke.component_id, position], broke.at)) is not None
            and fitting.part_id in with_terms
        ]
        within = [one for one in on if self._is_within(one, kind, component, broke.at)]
        if not within and sent is None:
            return None
        part = self.parts[within[0].part_id] if within and within[0].part_id else None
        ages = [age for one in within if (age := self._age(one, kind, component, broke.at)) is not None]
        ends = [day for one in within if (day := self._ends_on(one)) is not None]
        until = min(ends, default=None)
        return Claim(
            breakage=broke,
            component=component,
            kind=kind,
            part=part,
            pieces=len(within),
            age=max(ages, default=None),
            worth_minor=self._worth(broke, within, kind, component),
            expires_on=until,
            mended=any(self._was_mended(one, broke) for one in within),
            sent=sent,
            lapsed=until is not None and until < self.farm.now.date(),
        )

    def ending(self, fittings: dict[tuple[UUID, int], list[Fitting]], with_terms: set[UUID]) -> tuple[EndingTerm, ...]:
        today = self.farm.now.date()
        found: dict[tuple[UUID, UUID, date], list[int]] = defaultdict(list)
        for rows in fittings.values():
            for one in rows:
                day = self._ends_on(one) if one.part_id in with_terms and one.removed_at is None else None
                if day is not None and today <= day <= today + timedelta(days=SOON_DAYS) and one.part_id:
                    found[one.component_id, one.part_id, day].append(one.position)
        return tuple(
            EndingTerm(self.components[component], self.parts[part], tuple(sorted(positions)), day)
            for (component, part, day), positions in sorted(found.items(), key=lambda item: item[0][2])
            if component in self.components
        )

    def _is_within(self, one: Fitting, kind: PartKind, component: Component, at: datetime) -> bool:
        part = self.parts[one.part_id] if one.part_id else None
        if part is None:
            return False
        age, ends = self._age(one, kind, component, at), self._ends_on(one)
        if part.warranty_months and (ends is None or self.farm.settings.local(at).date() > ends):
            return False
        return part.warranty_usage is None or (age is not None and age < part.warranty_usage)

    def _age(self, one: Fitting, kind: PartKind, component: Component, at: datetime) -> float | None:
        if one.age_when_fitted_usage is None:
            return None
        place = self.farm.machine_number(component.machine_id)
        first, last = microseconds(one.fitted_at), microseconds(at)
        return one.age_when_fitted_usage + float(self.farm.lines.usage(kind.meter_kind, [place], [first], [last])[0])

    def _begins(self, one: Fitting) -> datetime | None:
        """When its months begin; None for a part that had run before it was noted: nobody knows since when."""
        part = self.parts[one.part_id] if one.part_id else None
        first = self._as_new(one)
        if part is not None and part.warranty_from is WarrantyFrom.RECEIPT:
            came = self._receipt(first or one)
            if came is not None:
                return came.at
        return None if first is None else first.fitted_at

    def _as_new(self, one: Fitting) -> Fitting | None:
        """The fitting with which a part began, through the moves that brought it to its place; None where it came used."""
        while one.age_when_fitted_usage != 0:
            before = [
                other
                for other in self.moved.get((one.part_id, one.fitted_at), [])
                if other.removed_at is not None and other.fitted_at < one.fitted_at
            ]
            if not before:
                return None
            # of several that were moved at once the oldest: nothing is claimed that may be over
            one = min(before, key=lambda other: other.fitted_at)
        return one

    def _receipt(self, one: Fitting) -> StockMove | None:
        """The last delivery of the part before it was fitted."""
        came = [move for move in self.receipts.get(one.part_id, []) if move.at <= one.fitted_at] if one.part_id else []
        return came[-1] if came else None

    def _ends_on(self, one: Fitting) -> date | None:
        part, begins = self.parts[one.part_id] if one.part_id else None, self._begins(one)
        if part is None or not part.warranty_months or begins is None:
            return None
        return self.farm.settings.local(begins).date() + relativedelta(months=part.warranty_months)

    def _worth(self, broke: Breakage, within: Sequence[Fitting], kind: PartKind, component: Component) -> int | None:
        total, covers = 0.0, False
        for one in within:
            part = self.parts[one.part_id] if one.part_id else None
            came = self._receipt(one)
            paid = came.unit_cost_minor if came is not None else None
            price = paid if paid is not None else None if part is None else part.price_minor
            if part is None or price is None:
                return None
            covers |= part.warranty_covers is WarrantyCover.PART_AND_LABOUR
            total += price * (1 - self._gone(one, part, kind, component, broke.at) if part.warranty_pro_rata else 1.0)
        repair = self.repairs.get(broke.repair_id) if broke.repair_id else None
        if covers and repair is not None:
            work = float(price_of_time(repair.labour_seconds or 0, self.farm.settings.labour_rate_minor))
            # a repair may be about several breakages, and about pieces that nobody warrants
            total += (work + (repair.hired_minor or 0)) * len(within) / self.pieces_of[repair.id]
        return round(total) if within else None

    def _gone(self, one: Fitting, part: Part, kind: PartKind, component: Component, at: datetime) -> float:
        """The share of the term that is over, of two the larger."""
        age, ends, begins = self._age(one, kind, component, at), self._ends_on(one), self._begins(one)
        shares = [0.0]
        if age is not None and part.warranty_usage:
            shares.append(age / part.warranty_usage)
        if ends is not None and begins is not None:
            first = self.farm.settings.local(begins).date()
            shares.append((self.farm.settings.local(at).date() - first).days / max((ends - first).days, 1))
        return min(max(shares), 1.0)

    def _was_mended(self, one: Fitting, broke: Breakage) -> bool:
        return any(
            other.action is Action.MENDED
            and other.component_id == one.component_id
            and one.position in other.positions
            and one.fitted_at < other.at < broke.at
            for other in self.breakages
        )


def _on_at(fittings: Sequence[Fitting], at: datetime) -> Fitting | None:
    """The fitting that was on when something broke; one that was fitted in its place at that moment is not it."""
    on = [one for one in fittings if one.fitted_at < at and (one.removed_at is None or one.removed_at >= at)]
    return max(on, key=lambda one: one.fitted_at, default=None)
