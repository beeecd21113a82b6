"""Old versions in the shape of today: each step is pure, none is missing, and what is renamed or gone stays readable."""

from __future__ import annotations

import json
from typing import Any
from uuid import UUID

import pytest
from sqlalchemy import CheckConstraint, Column, Integer, MetaData, Table, Text

from wearlog.errors import ConflictError
from wearlog.facts.closed_lists import Condition, Subsystem
from wearlog.facts.electrics import Fault
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Breakage
from wearlog.facts.work import Field
from wearlog.store import revision as lifts
from wearlog.store.content import content_of, fact_of, lifted_content
from wearlog.store.reshaping import usual_in
from wearlog.store.revision import HEAD, REVISIONS, lifted, step_to

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
PART_KIND: dict[str, Any] = {
    "id": ROW,
    "voided": False,
    "name": "n",
    "subsystem": "cab",
    "meter_kind": "area",
    "guess_evidence": "guess",
    **dict.fromkeys(("life_low_usage", "life_high_usage", "shape_low_thousandths", "shape_high_thousandths")),
    **dict.fromkeys(("impacts_clean", "impacts_few_stones", "impacts_stony", "impacts_very_stony")),
    **dict.fromkeys(("dimension", "new_micrometres", "limit_micrometres", "pitch_micrometres", "pitches")),
    **dict.fromkeys(("usual_labour_seconds", "hazard")),
}
FAULT: dict[str, Any] = {"id": ROW, "voided": False, "machine_id": ROW, "circuit": "", "title": "t", "note": ""} | {
    "opened_at": "2024-07-21T05:30:00.000000+00:00",
    "closed_at": None,
}


def test_every_revision_after_the_first_brings_its_step() -> None:
    for revision in REVISIONS[1:]:
        assert step_to(revision)("no_table_of_ours", {"name": "west"}) == {"name": "west"}


def test_a_migration_that_only_adds_columns_puts_in_versions_what_it_puts_in_rows() -> None:
    """A step that is read off the tables; text, flags and what may be empty, and nothing else, have a usual value."""
    tables = MetaData()
    flag = CheckConstraint("leased IN (0, 1)", name="ck_field_leased")
    empty, text = Column("soil_code", Integer(), nullable=True), Column("colour", Text(), nullable=False)
    Table("field", tables, Column("name", Text()), text, empty, Column("leased", Integer(), nullable=False), flag)
    lift = usual_in(tables)
    assert lift("field", FIELD) == FIELD | {"colour": "", "soil_code": None, "leased": False}
    assert lift("machine", FIELD) == FIELD
    assert "colour" not in FIELD
    Table("crop", tables, Column("bushel_grams", Integer(), nullable=False))
    with pytest.raises(ValueError, match=r"crop\.bushel_grams is new and may not be empty"):
        lift("crop", {})


def test_positions_conditions_and_words_become_lists() -> None:
    breakage = fact_of("breakage", json.dumps(BREAKAGE_0001), "0001")
    assert isinstance(breakage, Breakage)
    assert breakage.positions == (41, 42, 43, 50)
    assert (breakage.broke_fitting_ids, breakage.seen_whole_at, breakage.caused_by_id) == ((), None, None)
    found = fact_of("fault", json.dumps(FAULT | {"conditions": "rain,rough_ground"}), "0001")
    assert isinstance(found, Fault)
    assert found.conditions == (Condition.RAIN, Condition.ROUGH_GROUND)
    kind = lifted("part_kind", PART_KIND | {"words": "sickle section, section,  blade"}, "0001")
    assert kind == PART_KIND | {"words": ["sickle section", "section", "blade"], "endangers_people": False}


@pytest.mark.parametrize("text", ["", ","])
def test_what_was_empty_is_an_empty_list(text: str) -> None:
    assert lifted("fault", FAULT | {"conditions": text}, "0001")["conditions"] == []
    assert lifted("part_kind", PART_KIND | {"words": text}, "0001")["words"] == []


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
    monkeypatch.setattr(lifts, "step_to", lambda to: lift_to_9001 if to == "9001" else step_to(to))
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
