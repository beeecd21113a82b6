"""What must hold of the quick line for every text: it never fails, asks in whole sentences, and does not depend on the order."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from time import process_time
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.logbook.quickline.quickline_farm import CUTTING, FARM, NOW, PRAIRIE
from tests.logbook.quickline.said_back import describe
from wearlog.logbook.quickline import WORDS, Understanding, Vocabulary, understand

#: pieces that the grammar looks for, to be thrown together in any way
_PIECES = sorted(
    WORDS.all_words()
    | {
        "section",
        "sections",
        "guard",
        "tine",
        "feeder",
        "chain",
        "rasp",
        "bars",
        "fuse",
        "belt",
        "bearing",
        "hose",
        "north",
    }
    | {"south", "red", "blue", "header", "combine", "nor", "left", "right", "cutterbar", "reel", "because of", "note:"}
    | {
        "41-43",
        "41 to 43",
        "1/2",
        "1.5",
        "1,5",
        "1:20",
        "16:20",
        "7/28",
        "2026-07-28T12:20",
        "0",
        "1",
        "3",
        "41",
        "160",
        "161",
    }
    | {
        "9999",
        "999999999999",
        "#",
        "-",
        "--",
        "//",
        '"',
        ",",
        ";",
        ".",
        "&",
        "+",
        "'",
        "½",
        "½h",
        "1h20",
        "41st",
        "%",
        "é",
        "\x00",
    }
)
_ASSUMED = ("machine", "cause", "mode", "action", "at", "year", "time")


def _check(line: str, understood: Understanding, now: datetime) -> None:
    """Assert what holds of every understanding."""
    assert set(understood.assumed) <= set(_ASSUMED)
    assert understood.at.tzinfo is UTC
    assert understood.read_at == now.astimezone(UTC)
    for problem in understood.problems:
        assert 1 <= problem.column <= max(1, len(line))
        assert problem.message.endswith((".", "?"))
        assert problem.hint.endswith(".")
        assert f"{problem.message}{problem.hint}".isprintable()
    said = describe(understood, PRAIRIE)
    assert said.count("\n") <= 1
    if understood.problems:
        return
    machine, component = understood.machine, understood.component
    assert machine is not None
    assert component in machine.components
    assert component is not None
    assert understood.positions
    assert list(understood.positions) == sorted(set(understood.positions))
    assert 1 <= understood.positions[0] <= understood.positions[-1] <= component.positions
    assert understood.at <= now
    assert (understood.downtime_seconds or 0) >= 0
    assert (understood.labour_seconds or 0) >= 0


@settings(max_examples=200, deadline=None)
@given(line=st.text(max_size=200), vocabulary=st.sampled_from([FARM, CUTTING, Vocabulary(())]))
def test_no_text_makes_it_fail(line: str, vocabulary: Vocabulary) -> None:
    _check(line, understand(line, vocabulary, NOW), NOW)


@settings(max_examples=500, deadline=None)
@given(
    pieces=st.lists(st.sampled_from(_PIECES), max_size=14),
    gap=st.sampled_from([" ", " ", " ", ", ", ""]),
    hours=st.integers(0, 24 * 400),
)
def test_no_mixture_of_its_own_words_makes_it_fail(pieces: list[str], gap: str, hours: int) -> None:
    """The words of the grammar in any order and at any time of the year, also around the change of the clocks."""
    line, now = gap.join(pieces), (NOW.astimezone(UTC) - timedelta(hours=hours)).astimezone(PRAIRIE)
    _check(line, understand(line, CUTTING, now), now)


@settings(max_examples=150, deadline=None)
@given(note=st.text(min_size=1, max_size=60), mark=st.sampled_from([" -- ", " // ", " note: "]))
def test_a_remark_is_kept_word_for_word_and_changes_nothing(note: str, mark: str) -> None:
    plain = understand("3 sections 41-43 rock", CUTTING, NOW)
    noted = understand(f"3 sections 41-43 rock{mark}{note}", CUTTING, NOW)
    kept = "".join(
        " " if one in "\t\n\r\v\f\x85\u2028\u2029" else one for one in note if one.isprintable() or one.isspace()
    )
    if kept.isascii() and kept.isprintable() and not kept.strip().startswith(("-", "/")):
        assert noted.note == kept.strip()
    assert (noted.positions, noted.cause, noted.problems) == (plain.positions, plain.cause, ())


_WHERE = st.sampled_from(["north header", "nor", "NORTH"])
_PARTS = st.sampled_from(
    [
        "3 sections 41-43",
        "sections 41, 42 and 50",
        "guard 12",
        "2 bent guards 7-8",
        "a tine at 7",
        "#41 section",
        "all guards",
    ]
)
_CAUSES = st.sampled_from(["rock", "hit a stone", "fatigue", "loose rivet", "wear"])
_ACTIONS = st.sampled_from(["replaced", "straightened", "left in", "new one"])
_STOOD = st.sampled_from(["20 min", "1 1/2 h", "half an hour", "1h20", "down 90 minutes"])
_WORKED = st.sampled_from(["30 min labour", "1 h shop time", "labour 1,5 h"])
_TIMES = st.sampled_from(["yesterday 16:20", "4pm july 27", "mon 9:15", "2 h ago", "7/20 4:20 pm", "2026-07-01T10:00"])


@settings(max_examples=150, deadline=None)
@given(
    pieces=st.tuples(_WHERE, _PARTS, _CAUSES, _ACTIONS, _STOOD, _WORKED, _TIMES),
    order=st.permutations(range(7)),
    gap=st.sampled_from([", ", "; ", ",  "]),
)
def test_the_order_of_the_pieces_does_not_matter(pieces: tuple[str, ...], order: list[int], gap: str) -> None:
    """The same pieces in any order are the same understanding, said back in the same words."""
    straight = understand(", ".join(pieces), FARM, NOW)
    shuffled = understand(gap.join(pieces[place] for place in order), FARM, NOW)
    assert not straight.problems
    assert shuffled == straight
    assert describe(shuffled, PRAIRIE) == describe(straight, PRAIRIE)


@settings(max_examples=200, deadline=None)
@given(
    minutes=st.integers(0, 60 * 24 * 365),
    zone=st.sampled_from(["America/Chicago", "Europe/Berlin", "Australia/Adelaide"]),
)
def test_a_moment_written_with_its_offset_is_that_moment(minutes: int, zone: str) -> None:
    moment = (NOW - timedelta(minutes=minutes)).astimezone(ZoneInfo(zone))
    understood = understand(f"guard 3 {moment.isoformat(timespec='minutes')}", CUTTING, NOW.astimezone(ZoneInfo(zone)))
    assert understood.problems == ()
    # in UTC: of two zones Python calls an hour that comes twice unequal
    assert understood.at == moment.astimezone(UTC)


@pytest.mark.parametrize(
    "unit",
    [
        "a ",
        "9",
        "-",
        '"',
        '" ',
        "note ",
        "section 41 ",
        "é½",
        "\x00",
        "/ ",
        "1:",
        " ",
        "a'",
        "\ud800",
        "ﷺ",
        "1,",
        "section 41 -- x",
    ],
)
def test_a_hundred_thousand_characters_take_less_than_a_second(unit: str) -> None:
    """Measured at 0.1 s at most when this was written."""
    line = unit * (100_000 // len(unit))
    before = process_time()
    _check(line, understand(line, CUTTING, NOW), NOW)
    assert process_time() - before < 1.0
