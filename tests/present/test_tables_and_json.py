"""Text tables that keep their width, words, and the JSON document."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.errors import NotFoundError
from wearlog.facts import closed_lists
from wearlog.facts.closed_lists import Cause, Ground
from wearlog.present.json_form import document, error_document, money, rounded
from wearlog.present.tables import Column, fit, text_table, width
from wearlog.present.words import capital, counted, listed, word


def test_words_stand_to_the_left_and_figures_to_the_right() -> None:
    lines = text_table((Column("part"), Column("n", figures=True)), [("guard", "7"), ("knife section", "157")])
    assert lines == [
        "part             n",
        "-------------  ---",
        "guard            7",
        "knife section  157",
    ]


def test_a_long_word_is_cut_and_says_so() -> None:
    assert text_table((Column("part", widest=8),), [("clean grain elevator chain",)])[-1] == "clean g…"


def test_a_cell_with_line_breaks_or_control_codes_stays_one_line() -> None:
    assert text_table((Column("note"),), [("a\nb\x1b[2Jc",)])[-1] == "a b[2Jc"


@given(st.text(max_size=40), st.integers(min_value=1, max_value=30))
def test_fitted_text_takes_exactly_its_columns(text: str, wide: int) -> None:
    assert width(fit(text, wide)) == wide


@pytest.mark.parametrize(
    "member",
    [
        one
        for name in vars(closed_lists).values()
        if isinstance(name, type) and issubclass(name, closed_lists.StrEnum)
        for one in name
    ],
)
def test_every_member_of_every_closed_list_has_words_without_underscores(member: closed_lists.StrEnum) -> None:
    assert word(member)
    assert "_" not in word(member)


def test_small_matters_of_grammar() -> None:
    assert (counted(0, "fault"), counted(1, "fault"), counted(1240, "breakage")) == (
        "no faults",
        "1 fault",
        "1,240 breakages",
    )
    assert (listed([]), listed(["a"]), listed(["a", "b", "c"])) == ("", "a", "a, b and c")
    assert (capital("a b"), capital(""), word(None)) == ("A b", "", "")


def test_the_document_has_its_schema_first_and_only_what_json_knows() -> None:
    made = document(
        {
            "when": datetime(2026, 8, 1, 3, 30, tzinfo=UTC),
            "day": date(2026, 8, 1),
            "id": UUID(int=1),
            "cause": Cause.IMPACT,
            "by": {Ground.STONY: float("nan")},
            "rows": ("a", None, 3),
        }
    )
    assert made.startswith('{\n  "schema": 1,')
    assert json.loads(made) == {
        "schema": 1,
        "when": "2026-08-01T03:30:00Z",
        "day": "2026-08-01",
        "id": "00000000-0000-0000-0000-000000000001",
        "cause": "impact",
        "by": {"stony": None},
        "rows": ["a", None, 3],
    }


def test_money_rounding_and_errors() -> None:
    assert money(1230, "USD") == {"amount": "12.30", "currency": "USD"}
    assert money(-5, "USD") == {"amount": "-0.05", "currency": "USD"}
    assert money(None, "USD") is None
    assert (rounded(1.23456), rounded(None), rounded(float("inf"))) == (1.235, None, None)
    said = json.loads(error_document(NotFoundError("No such machine.", "There are two.")))
    assert said == {"error": {"code": "not_found", "message": "No such machine.", "hint": "There are two."}}
