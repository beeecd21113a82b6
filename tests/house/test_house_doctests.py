"""What a newcomer reads first shows what it does: the examples in these docstrings run and give what they say."""

from __future__ import annotations

import doctest
from importlib import import_module

import pytest

#: the life of a figure: a number is typed, a line understood, a meter laid, lives fitted, a part decided on, a fault sought, shown
READ_FIRST = (
    ("wearlog.units", "read_number"),
    ("wearlog.facts.positions", "parse_positions"),
    ("wearlog.logbook.quickline.reading", "understand"),
    ("wearlog.harvest.meter_line", "MeterLines.build"),
    ("wearlog.wear.lives", "lives_from_columns"),
    ("wearlog.wear.weibull", "fit_weibull"),
    ("wearlog.plan.decide", "decide"),
    ("wearlog.faults.suspects", "suspects_of"),
    ("wearlog.costs.split", "split_costs"),
    ("wearlog.costs.repair_curve", "accumulated_repair"),
    ("wearlog.present.answer_sheet", "AnswerSheet"),
)


@pytest.mark.parametrize(("module", "name"), READ_FIRST, ids=[name for _, name in READ_FIRST])
def test_the_examples_of_a_function_run(module: str, name: str) -> None:
    loaded = import_module(module)
    shown = loaded
    for part in name.split("."):
        shown = getattr(shown, part)
    tests = [
        one for one in doctest.DocTestFinder(recurse=False).find(shown, name, globs=vars(loaded).copy()) if one.examples
    ]
    assert len(tests) == 1, "no example"
    said: list[str] = []
    result = doctest.DocTestRunner().run(tests[0], out=said.append)
    assert result.failed == 0, "".join(said)
    # at least one of them shows what comes out
    assert any(example.want for example in tests[0].examples)
