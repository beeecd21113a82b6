"""Old versions in the shape of today: each step is pure, none is missing, and what is renamed or gone stays readable."""

from __future__ import annotations

import json
from typing import Any
from uuid import UUID

import pytest

from wearlog.errors import ConflictError
from wearlog.facts.closed_lists import Condition, Subsystem
from wearlog.facts.electrics import Fault
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Breakage
from wearlog.facts.work import Field
from wearlog.store import revision as lifts
from wearlog.store.content import content_of, fact_of, lifted_content
from wearlog.store.revision import HEAD, LIFTS, REVISIONS, lifted

ROW = "00000000-0000-0000-0000-000000000007"
BREAKAGE_0001 = {
    "id": ROW,
    "voided": False,
    "component_id": ROW,
    "positions": "41-43, 50",
    "at": "2024-07-21T05:30:00.250001+00:00",
    "cause": "impact",
    "mode": "broken",
    "action": "replaced",
    "repair_id": None,
    "note": "",
}
FIELD = {"id": ROW, "voided": False, "name": "west", "area_square_metres": 640_000, "ground": "stony"}


def test_every_revision_after_the_first_brings_its_step() -> None:
    assert list(LIFTS) == list(REVISIONS[1:])


def test_positions_conditions_and_words_become_lists() -> None:
    breakage = fact_of("breakage", json.dumps(BREAKAGE_0001), "0001")
    assert isinstance(breakage, Breakage)
    assert breakage.positions == (41, 42, 43, 50)
    assert (breakage.broke_fitting_ids, breakage.seen_whole_at, breakage.caused_by_id) == ((), None, None)
    fault: dict[str, Any] = {"id": ROW, "voided": False, "machine_id": ROW, "circuit": "", "title": "t", "note": ""}
    fault |= {"opened_at": "2024-07-21T05:30:00.000000+00:00", "closed_at": None, "conditions": "rain,rough_ground"}
    found = fact_of("fault", json.dumps(fault), "0001")
    assert isinstance(found, Fault)
    assert found.conditions == (Condition.RAIN, Condition.ROUGH_GROUND)
    kind = lifted("part_kind", {"words": "sickle section, section,  blade"}, "0001")
    assert kind == {"words": ["sickle section", "section", "blade"], "endangers_people": False}


@pytest.mark.parametrize("text", ["", ","])
def test_what_was_empty_is_an_empty_list(text: str) -> None:
    assert lifted("fault", {"conditions": text}, "0001")["conditions"] == []
    assert lifted("part_kind", {"words": text}, "0001")["words"] == []


def test_a_step_leaves_what_it_is_given_as_it_was() -> None:
    given = dict(BREAKAGE_0001)
    lifted("breakage", given, "0001")
    assert given == BREAKAGE_0001


def test_lifted_content_is_the_canonical_text_of_the_fact() -> None:
    """`check` compares the two, so they must be equal to the letter."""
    old = json.dumps(BREAKAGE_0001)
    assert lifted_content("breakage", old, "0001") == content_of(fact_of("breakage", old, "0001"))
    assert lifted_content("breakage", old, HEAD) == old


def test_a_field_that_is_gone_and_one_that_is_new_do_not_hinder_reading() -> None:
    field = fact_of("field", json.dumps(FIELD | {"hedge": "east"}))
    assert field == Field(id=UUID(ROW), name="west", area_square_metres=640_000, ground=field.ground)  # type: ignore[attr-defined]
    usual = fact_of("part_kind", json.dumps({"id": ROW, "name": "n", "subsystem": "cab", "meter_kind": "area"}))
    assert usual == PartKind(id=UUID(ROW), name="n", subsystem=Subsystem.CAB, meter_kind=usual.meter_kind)  # type: ignore[attr-defined]


def test_a_column_that_a_later_step_renames_is_read_by_its_new_name(monkeypatch: pytest.MonkeyPatch) -> None:
    """The program of a year from now: steps are chained, oldest first."""

    def lift_to_9001(table: str, content: dict[str, Any]) -> dict[str, Any]:
        if table != "field":
            return content
        new = dict(content)
        new["called"] = new.pop("name")
        return new

    monkeypatch.setattr(lifts, "REVISIONS", (*REVISIONS, "9001"))
    monkeypatch.setattr(lifts, "LIFTS", {**LIFTS, "9001": lift_to_9001})
    assert lifted("field", FIELD, "0001")["called"] == "west"
    assert lifted("field", FIELD, HEAD)["called"] == "west"
    assert "name" not in lifted("field", FIELD, "0001")


@pytest.mark.parametrize(
    "content",
    ["", "no JSON", "[]", "{}", json.dumps(FIELD | {"ground": "sand"}), json.dumps(FIELD | {"id": 7}), "[" * 100_000],
    ids=["nothing", "text", "a list", "no fields", "no such ground", "no id", "deep"],
)
def test_damaged_content_is_told_in_a_sentence(content: str) -> None:
    with pytest.raises(ConflictError, match=r"^A version of a row of field cannot be read: it was damaged\.$"):
        fact_of("field", content)


def test_a_revision_that_nobody_knows_is_told() -> None:
    with pytest.raises(ConflictError, match="cannot be read"):
        fact_of("field", json.dumps(FIELD), "9999")
