"""Replacing and carrying of one part are weighed together: against trying every set, every number of packs, every part."""

from __future__ import annotations

from itertools import combinations, product
from math import ceil

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wearlog.errors import DataError
from wearlog.plan.budget import Limits, Wishes, choose
from wearlog.plan.demand import Demand, poisson
from wearlog.plan.spares import SparePart
from wearlog.plan.ways import Replacing, packs_to_replace, ways_of

HOUR = 3_600
MOST_PACKS = 30

part = st.builds(
    SparePart,
    price_minor=st.integers(0, 200_00),
    on_hand=st.integers(0, 5),
    pack_size=st.integers(1, 4),
    overage_minor=st.floats(1, 2_000),
    shortage_minor=st.floats(0, 300_00, allow_subnormal=False),
    lead_hours=st.just(10.0),
)
#: of each line: pieces, what replacing saves by itself, shop time, stops it takes away
line = st.tuples(
    st.integers(1, 6),
    st.integers(1, 900_00),
    st.integers(0, 9).map(lambda hours: hours * HOUR),
    st.floats(0, 2, allow_subnormal=False),
)
Line = tuple[int, int, int, float]


def demands(lines: list[Line], still: float) -> dict[tuple[int, ...], Demand]:
    """What the season takes for each set replaced: every line replaced takes its stops away."""
    return {
        some: poisson(still + sum(stops for at, (*_, stops) in enumerate(lines) if at not in some))
        for size in range(len(lines) + 1)
        for some in combinations(range(len(lines)), size)
    }


def replacings(lines: list[Line], still: float) -> list[Replacing]:
    return [
        Replacing(
            sum(lines[at][0] for at in some), sum(lines[at][1] for at in some), sum(lines[at][2] for at in some), one
        )
        for some, one in demands(lines, still).items()
    ]


def gain_by_hand(one: SparePart, way: Replacing, packs: int, idle: Demand) -> float | None:
    """What a set and a number of packs save against doing nothing; None where there are not pieces enough."""
    stock = one.on_hand + packs * one.pack_size - way.pieces
    return (
        None
        if stock < 0
        else way.gain_minor + season_cost(one, idle, one.on_hand) - season_cost(one, way.demand, stock)
    )


def season_cost(one: SparePart, demand: Demand, stock: int) -> float:
    """Carrying what is left and waiting for what is short, count by count."""
    cost = 0.0
    for count, chance in enumerate(demand.chance.tolist()):
        waits = ceil(max(count - stock, 0) / one.pack_size)
        left = stock + waits * one.pack_size - count
        cost += chance * (one.overage_minor * left + one.shortage_minor * waits)
    return cost


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(part, st.lists(line, max_size=2), st.floats(0, 3, allow_subnormal=False)), min_size=1, max_size=2
    ),
    st.integers(0, 900_00),
    st.one_of(st.none(), st.integers(0, 12 * HOUR)),
)
def test_the_choice_within_limits_equals_trying_every_set_and_every_number_of_packs_of_every_part(
    parts: list[tuple[SparePart, list[Line], float]], budget: int, hours: int | None
) -> None:
    found = [ways_of(one, replacings(lines, still)) for one, lines, still in parts]
    wishes = Wishes.of(
        np.concatenate([ways.gain_minor for ways in found]),
        np.concatenate([ways.spend_minor for ways in found]),
        np.concatenate([ways.shop_seconds for ways in found]),
        group=np.repeat(np.arange(len(found)), [ways.gain_minor.size for ways in found]),
    )
    chosen = choose(wishes, Limits(budget, hours))
    tried = []
    for one, lines, still in parts:
        sets = replacings(lines, still)
        most = packs_to_replace(sum(pieces for pieces, *_ in lines), one.on_hand, one.pack_size) + MOST_PACKS
        rows = []
        for way, packs in product(sets, range(most + 1)):
            gain = gain_by_hand(one, way, packs, sets[0].demand)
            if gain is not None:
                rows.append((gain, packs * one.pack_size * one.price_minor, way.shop_seconds))
        tried.append(rows)
    best = max(
        sum(gain for gain, _, _ in rows)
        for rows in product(*tried)
        if sum(spend for _, spend, _ in rows) <= budget and (hours is None or sum(time for *_, time in rows) <= hours)
    )
    assert chosen.gain_minor == pytest.approx(best, abs=2)
    assert chosen.spend_minor <= budget
    assert hours is None or chosen.shop_seconds <= hours


@settings(max_examples=60, deadline=None)
@given(part, st.lists(line, min_size=1, max_size=3), st.floats(0, 4, allow_subnormal=False))
def test_every_way_saves_what_it_says_and_none_that_is_left_out_beats_those_kept(
    one: SparePart, lines: list[Line], still: float
) -> None:
    sets = replacings(lines, still)
    found = ways_of(one, sets)
    rows = list(zip(found.gain_minor, found.spend_minor, found.shop_seconds, strict=True))
    assert rows[0] == (0, 0, 0)
    for place, packs, (gain, spend, hours) in zip(found.replacing, found.packs, rows, strict=True):
        by_hand = gain_by_hand(one, sets[place], int(packs), sets[0].demand)
        assert by_hand is not None
        assert gain == pytest.approx(by_hand, abs=1)
        assert (spend, hours) == (packs * one.pack_size * one.price_minor, sets[place].shop_seconds)
    for way, packs in product(sets, range(30)):
        gain = gain_by_hand(one, way, packs, sets[0].demand)
        if gain is not None:
            spend = packs * one.pack_size * one.price_minor
            assert any(kept >= gain - 1 and least <= spend and hours <= way.shop_seconds for kept, least, hours in rows)


def test_pieces_that_replacing_takes_off_the_shelf_are_missed_in_the_season() -> None:
    # four on the shelf, three wanted in the season for certain, each missing one costs 100.00; replacing takes all four
    certain = Demand(np.array([0.0, 0.0, 0.0, 1.0]))
    one = SparePart(10_00, 4, 1, 1_00, 100_00, 10.0)
    found = ways_of(one, [Replacing(0, 0, 0, certain), Replacing(4, 50_00, HOUR, certain)])
    rows = dict(
        zip(zip(found.replacing.tolist(), found.packs.tolist(), strict=True), found.gain_minor.tolist(), strict=True)
    )
    # without buying, replacing would save 50.00 and lose 300.00; one left over costs 1.00 when nothing is done
    assert (1, 0) not in rows
    assert rows[(1, 3)] == 50_00 + 1_00


def test_replacing_that_takes_the_season_s_wants_away_spares_the_spare() -> None:
    one = SparePart(10_00, 0, 1, 1_00, 100_00, 10.0)
    wants, nothing = Demand(np.array([0.0, 1.0])), Demand(np.ones(1))
    found = ways_of(one, [Replacing(0, 0, 0, wants), Replacing(1, 20_00, HOUR, nothing)])
    ways = list(zip(found.replacing.tolist(), found.packs.tolist(), found.gain_minor.tolist(), strict=True))
    # the piece goes on the machine or on the truck; a second one is wanted nowhere
    assert ways == [(0, 0, 0), (0, 1, 100_00), (1, 1, 120_00)]


def test_a_list_without_any_way_is_refused() -> None:
    with pytest.raises(DataError, match="no way to weigh"):
        ways_of(SparePart(1, 0, 1, 1.0, 1.0, 1.0), [])


def test_of_a_group_at_most_one_is_chosen_and_what_is_settled_by_hand_shuts_the_others_out() -> None:
    wishes = Wishes.of([500, 400, 300], [100, 60, 60], group=[7, 7, 8])
    assert choose(wishes, Limits()).chosen.tolist() == [True, False, True]
    assert choose(wishes, Limits(130)).chosen.tolist() == [False, True, True]
    forced = Wishes.of([500, 400, 300], [100, 60, 60], group=[7, 7, 8], must=[False, True, False])
    assert choose(forced, Limits()).chosen.tolist() == [False, True, True]
    with pytest.raises(DataError, match="Two ways"):
        Wishes.of([1, 2], [1, 1], must=[True, True], group=[3, 3])
