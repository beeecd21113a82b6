"""claims: what broke within the terms of its part, what it is worth, how far the claim is, and what broke far too early."""

from __future__ import annotations

from typing import Any

import pytest

from tests.cli.running import Wearlog
from tests.small_farm import SmallFarm, harvest
from wearlog.facts.closed_lists import Action, Cause
from wearlog.facts.wearing import Breakage, Fitting
from wearlog.ids import short_number
from wearlog.logbook.saving import save
from wearlog.store.finding import find_all


def said(own: Wearlog, *words: str) -> Any:
    done = own(*words)
    assert done.code == 0, (words, done.err)
    return done


def claims(own: Wearlog) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = said(own, "claims", "--json").json["claims"]
    return found


@pytest.fixture
def warranted(own: Wearlog, file_farm: SmallFarm) -> Wearlog:
    """Sections of a number with terms, new on 41 and 42 in August; they broke by wear some days later."""
    harvest(file_farm)
    said(own, "set", "time_zone", "UTC")
    number = short_number(file_farm.section_part.id)
    terms = ("warranty_months=600", "warranty=400 ac", "warranty_covers=part and labour", "price=10")
    said(own, "change", number, *terms)
    said(own, "log", "sections 41-42 worn, 2026-08-01 16:00", "--yes")
    return own


def second(own: Wearlog, cause: str = "worn", at: str = "2026-08-09 12:00") -> None:
    said(own, "log", f"sections 41-42 {cause}, 1 man 30 min, {at}", "--yes")


def test_without_terms_there_is_nothing_to_claim_and_the_answer_says_where_they_go(own: Wearlog) -> None:
    out = said(own, "claims").out
    assert "No part has terms of warranty" in out
    assert "FAR TOO EARLY" in out
    assert claims(own) == []


def test_a_part_that_broke_within_its_terms_is_worth_its_price_and_the_labour(
    warranted: Wearlog, file_farm: SmallFarm
) -> None:
    before = claims(warranted)
    second(warranted)
    (row,) = [one for one in claims(warranted) if one not in before]
    with file_farm.store.reading() as connection:
        on = [one for one in find_all(connection, Fitting) if one.position == 41 and one.fitted_at.month == 8]
    assert on[0].part_id == file_farm.section_part.id
    # two sections at 10 and half an hour at the usual rate
    assert float(row["worth"]["amount"]) == pytest.approx(2 * 10 + 18.53 / 2, abs=0.01)
    assert (row["state"], row["pieces"], row["expires_on"]) == ("open", 2, "2076-08-01")


def test_a_stone_is_nobodys_warranty_and_months_that_are_over_claim_nothing(warranted: Wearlog) -> None:
    before = claims(warranted)
    second(warranted, "rock")
    assert claims(warranted) == before
    said(warranted, "undo")
    said(warranted, "change", short_number_of(warranted), "warranty_months=", "warranty=0.001 ac")
    second(warranted)
    assert claims(warranted) == before


def test_a_warranty_of_nothing_is_refused_in_a_sentence(warranted: Wearlog) -> None:
    refused = warranted("change", short_number_of(warranted), "warranty_months=0")
    assert "A warranty of 0 is none." in refused.err


def short_number_of(own: Wearlog) -> str:
    rows = said(own, "entries", "part", "--json").json["rows"]
    found: str = next(
        one["entry_number"] for one in rows if any(key.startswith("warranty") and one[key] for key in one)
    )
    return found


def test_pro_rata_pays_what_was_left_of_the_term(warranted: Wearlog) -> None:
    second(warranted)
    whole = max(float(one["worth"]["amount"]) for one in claims(warranted))
    said(warranted, "change", short_number_of(warranted), "warranty_pro_rata=yes")
    part = max(float(one["worth"]["amount"]) for one in claims(warranted))
    assert part < whole


def test_a_claim_is_sent_settled_and_taken_back(warranted: Wearlog) -> None:
    second(warranted)
    number = next(one["breakage"] for one in claims(warranted) if one["state"] == "open")
    said(warranted, "claims", "--sent", number)
    state = {one["breakage"]: one["state"] for one in claims(warranted)}
    assert state[number] == "sent"
    said(warranted, "claims", "--settled", number, "--paid", "25")
    (row,) = [one for one in claims(warranted) if one["breakage"] == number]
    assert (row["state"], row["paid"]["amount"]) == ("paid", "25.00")
    said(warranted, "undo")
    said(warranted, "claims", "--settled", number, "--paid", "0")
    assert next(one["state"] for one in claims(warranted) if one["breakage"] == number) == "refused"
    assert warranted("claims", "--settled", number).code == 2
    # what a claim rests on is not taken away under it
    assert "rests on this" in warranted("undo", number).err


def test_the_demo_names_the_place_that_eats_its_parts(demo: Wearlog) -> None:
    early = said(demo, "claims", "--json").json["early"]
    assert early, "two sections failed at one place of the demo in a third of their life"
    assert early == sorted(early, key=lambda one: one["p"])
    for one in early:
        assert one["p_of_all_positions"] >= one["p"]
        assert one["p_of_all_positions"] < 0.25 or one["cause_upstream_chance"] >= 0.8
        assert 0 <= one["cause_upstream_chance"] + one["bad_part_chance"] <= 1.03


def test_a_claim_is_sent_once_and_settled_once(warranted: Wearlog) -> None:
    second(warranted)
    number = next(one["breakage"] for one in claims(warranted) if one["state"] == "open")
    said(warranted, "claims", "--sent", number)
    again = warranted("claims", "--sent", number)
    assert (again.code, "was sent on" in again.err) == (4, True), again.err
    said(warranted, "claims", "--settled", number, "--paid", "25")
    again = warranted("claims", "--settled", number, "--paid", "0")
    assert "25.00 USD paid" in again.err
    (row,) = [one for one in claims(warranted) if one["breakage"] == number]
    assert (row["state"], row["paid"]["amount"]) == ("paid", "25.00")
    # the way out that it names is one
    hint = again.err.split("If that was wrong: wearlog ")[1].split()
    said(warranted, *hint[:3])
    (row,) = [one for one in claims(warranted) if one["breakage"] == number]
    assert row["paid"]["amount"] == "118.00"


def worth_of(own: Wearlog, before: list[dict[str, Any]]) -> list[tuple[str, float, str | None]]:
    return [
        (one["component"], float(one["worth"]["amount"]), one["expires_on"]) for one in claims(own) if one not in before
    ]


def test_the_months_of_a_moved_part_began_where_it_was_new(warranted: Wearlog) -> None:
    said(
        warranted, "move", "north", "knife", "41", "to", "north", "knife", "60", "--replace", "--at", "2026-08-05 12:00"
    )
    before = claims(warranted)
    said(warranted, "log", "section 60 worn, 2026-08-09 12:00", "--yes")
    (row,) = [one for one in claims(warranted) if one not in before]
    assert row["expires_on"] == "2076-08-01"


def test_what_came_used_is_claimed_by_its_meter_and_never_by_months(warranted: Wearlog, file_farm: SmallFarm) -> None:
    with file_farm.store.reading() as connection:
        (on,) = [one for one in find_all(connection, Fitting) if one.position == 41 and one.fitted_at.month == 8]
    before = claims(warranted)
    said(warranted, "change", short_number(on.id), "age_when_fitted=10 ac")
    said(warranted, "log", "section 41 worn, 2026-08-09 12:00", "--yes")
    # nobody knows since when it was on somewhere
    assert claims(warranted) == before
    said(warranted, "change", short_number_of(warranted), "warranty_months=")
    (row,) = [one for one in claims(warranted) if one["broke_on"] == "2026-08-09"]
    assert (row["pieces"], row["expires_on"]) == (1, None)


def test_the_labour_of_a_repair_is_claimed_once_and_for_what_is_warranted(
    warranted: Wearlog, file_farm: SmallFarm
) -> None:
    before = claims(warranted)
    second(warranted)
    with file_farm.store.reading() as connection:
        (broke,) = [one for one in find_all(connection, Breakage) if one.at.day == 9]
    # the same half hour went into two others that nobody warrants
    row = Breakage(
        component_id=file_farm.knife.id,
        positions=(50, 51),
        at=broke.at,
        cause=Cause.WEAR,
        action=Action.MENDED,
        repair_id=broke.repair_id,
    )
    with file_farm.store.writing() as connection:
        save(file_farm.store, connection, "two others too", new=[row])
    ((_, worth, _),) = worth_of(warranted, before)
    assert worth == pytest.approx(2 * 10 + 18.53 / 2 / 2, abs=0.01)
