"""Numbers of options are read as sheets and fields read them, or refused in a sentence that says what to type."""

from __future__ import annotations

from collections.abc import Iterator

import click
import pytest

from tests.cli.running import Wearlog
from wearlog.cli.app import app
from wearlog.cli.figures import FIGURE, WHOLE, NumberBetween, UnboundNumber, UnboundWhole, WholeBetween
from wearlog.errors import UsageError


def every_number() -> Iterator[tuple[str, click.Parameter]]:
    """Every option and argument of every command that is a number."""
    todo: list[tuple[str, click.Command]] = [("wearlog", app)]
    while todo:
        name, one = todo.pop()
        if isinstance(one, click.Group):
            context = click.Context(one)
            for sub in one.list_commands(context):
                found = one.get_command(context, sub)
                assert found is not None
                todo.append((f"{name} {sub}", found))
        for param in one.params:
            if isinstance(param.type, click.types.IntParamType | click.types.FloatParamType):
                yield name, param


def test_no_option_reads_its_number_in_a_way_of_its_own() -> None:
    found = list(every_number())
    assert len(found) > 40
    assert [
        (name, one.name)
        for name, one in found
        if not isinstance(one.type, NumberBetween | WholeBetween | UnboundNumber | UnboundWhole)
    ] == []


def test_every_one_of_them_takes_a_decimal_comma_and_says_what_to_type() -> None:
    for name, one in every_number():
        context = click.Context(click.Command(name))
        kind = one.type
        if isinstance(kind, NumberBetween | UnboundNumber):
            low = int(getattr(kind, "min", 0) or 0)
            assert kind.convert(f"{low + 2},5", one, context) == low + 2.5
        for wrong in ("many", "2,5,5", "1e400x"):
            with pytest.raises(UsageError) as refused:
                kind.convert(wrong, one, context)
            assert "Write a " in refused.value.hint
            assert "range" not in refused.value.message
            assert one.opts[0] in refused.value.message or str(one.name).upper() in refused.value.message


@pytest.mark.parametrize(
    ("text", "read"),
    [("2,5", 2.5), ("2.5", 2.5), ("1,600", 1600.0), ("1 234,5", 1234.5), ("60 %", 60.0), ("60%", 60.0)],
)
def test_a_number_is_read_as_elsewhere(text: str, read: float) -> None:
    assert FIGURE.convert(text, None, None) == read


def test_a_whole_number_is_no_half_one() -> None:
    assert WHOLE.convert("1,600", None, None) == 1600
    assert WHOLE.convert("3.0", None, None) == 3
    with pytest.raises(UsageError, match=r"takes a whole number, and '2,5' is none"):
        WHOLE.convert("2,5", None, None)


def test_what_is_refused_is_told_in_words(demo: Wearlog) -> None:
    for words, said in (
        (
            ("rain-day", "--people", "2,5"),
            "--people takes a whole number, and '2,5' is none.\n  Write a whole number from 1",
        ),
        (("rain-day", "--people", "25"), "--people does not take 25.\n  Write a whole number from 1 to 20, like 3."),
        (
            ("trade", "--age", "old"),
            "--age takes a number, and 'old' is none.\n  Write a number from 0 to 60, like 2.5.",
        ),
    ):
        refused = demo(*words)
        assert refused.code == 2
        assert said in refused.err
    assert demo("trade", "--interest", "6,5", "--json").code == 0
