"""Lines as people type them, on the demo fleet: understood at once or asked about, and none wrong in silence."""

from __future__ import annotations

from dataclasses import replace
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.logbook.plain_line.said_lines import NOW, judge, table_of, wanted_lines
from tests.logbook.quickline.quickline_farm import CUTTING, FARM
from tests.logbook.quickline.quickline_farm import NOW as QUICK_NOW
from tests.logbook.quickline.test_quickline_understood import NOTHING_CURRENT, WHILE_CUTTING
from wearlog.errors import DataError
from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.logbook.plain_line import FarmWords, LineVerdict, hear, phrases_of
from wearlog.logbook.quickline import Vocabulary, understand


@pytest.fixture
def words(demo_words: FarmWords) -> FarmWords:
    return demo_words


@pytest.mark.parametrize(("table", "lines"), [("farm_lines.tsv", 285), ("more_lines.tsv", 1874)])
def test_lines_as_people_type_them_are_understood_or_asked_about_and_none_is_wrong(
    table: str, lines: int, words: FarmWords
) -> None:
    judged, shares = judge(table, words)
    print(f"\n{table}\n{table_of(shares)}")
    assert len(judged) == lines
    assert [(one.wanted.said, one.differs) for one in judged if one.outcome == "wrong"] == []
    assert [(one.wanted.said, one.differs) for one in judged if one.outcome == "asked"] == []


def test_a_price_of_several_is_of_one_or_of_all_as_the_list_has_it_and_asked_without_one(words: FarmWords) -> None:
    of_all, of_one = (hear(f"bought 20 knife sections {price} dollars", words, NOW) for price in ("134", "7.10"))
    assert [one.entries[0].stocked.unit_cost_minor for one in (of_all, of_one)] == [670, 710]
    assert "price" in of_all.assumed
    assert "price" in of_one.assumed
    unpriced = replace(words, parts=tuple(replace(part, price_minor=None) for part in words.parts))
    asked = hear("bought 20 knife sections 134 dollars", unpriced, NOW)
    assert (asked.question, asked.hint) == (
        "Is 134 the price of one, or of all 20?",
        "Write 'each' or 'together' behind it.",
    )
    said = hear("bought 20 knife sections 134 dollars together", unpriced, NOW).entries[0].stocked
    assert said is not None
    assert said.unit_cost_minor == 670


@pytest.mark.parametrize("said", ["at 7.10 dollars", "at $7.10", "7.10 each", "7.10 USD each"])
def test_a_price_is_no_time_of_day(said: str, words: FarmWords) -> None:
    heard = hear(f"got 20 knife sections {said}", words, NOW)
    assert (heard.entries[0].amount, heard.timed) == ("received 20 at 7.10", False)


def test_a_figure_that_can_be_price_or_time_is_asked_of_parts_that_came(words: FarmWords) -> None:
    asked = hear("got fan belt 12.50", words, NOW)
    assert (asked.question, asked.hint) == ("Is 12.50 the price or the time of day?", "Write 12.50 USD or 12:50.")
    bought = hear("bought fan belt 12.50", words, NOW)
    assert (bought.entries[0].amount, bought.timed) == ("received 1 at 12.50", False)
    assert hear("kestrel section 9 rock 12.50", words, NOW).timed


def test_the_farms_own_currency_is_no_slip_of_another_word(words: FarmWords) -> None:
    heard = hear("got 20 knife sections, 70 SEK each", replace(words, currency="SEK"), NOW)
    assert heard.corrected == ()
    assert heard.entries[0].amount == "received 20 at 70.00"


def test_a_count_that_the_positions_do_not_bear_out_is_asked(words: FarmWords) -> None:
    asked = hear("kestrel sections 51-54 rock, put 3 in", words, NOW)
    assert asked.question == "You wrote 3 knife sections but 51-54 is 4 on Kestrel."


def test_a_misspelt_word_is_read_as_the_one_that_is_meant_and_told(words: FarmWords) -> None:
    heard = hear("knive section 66 merln chiped", words, NOW)
    assert heard.corrected == ("knive read as knife", "merln read as merlin", "chiped read as chipped")
    assert (heard.entries[0].positions, heard.entries[0].mode) == ((66,), Mode.BROKEN)


def test_what_was_not_said_is_told_as_taken_for_granted(words: FarmWords) -> None:
    heard = hear("kestrel sec 14 stone", words, NOW)
    assert heard.assumed == ("mode", "action", "at")
    assert (heard.entries[0].cause, heard.entries[0].action) == (Cause.IMPACT, Action.REPLACED)


def test_words_that_nobody_knows_are_kept_word_for_word(words: FarmWords) -> None:
    heard = hear("kestrel section 60 broke on a stone the size of a football, Dad saw it", words, NOW)
    assert heard.entries[0].note == "the size of a football, Dad saw it"


def test_a_time_that_is_still_to_come_today_was_yesterday_and_that_is_told(words: FarmWords) -> None:
    heard = hear("7:45pm kestrel section 9 rock", words, NOW.replace(hour=9))
    assert (heard.entries[0].at.astimezone(NOW.tzinfo).day, heard.assumed) == (19, ("mode", "action", "day"))


def test_standing_and_work_are_two_figures(words: FarmWords) -> None:
    entry = hear("tamarack feeder chain broke down 5 hrs 8 man hours", words, NOW).entries[0]
    assert (entry.stood_seconds, entry.labour_seconds) == (5 * 3600, 8 * 3600)


def test_winter_work_stands_no_machine(words: FarmWords) -> None:
    heard = hear("jan 14 put new rasp bars in tamarack 6 hours", words, NOW)
    entry = heard.entries[0]
    assert (heard.verdict, entry.stood_seconds, entry.labour_seconds) == (LineVerdict.PLANNED, None, 6 * 3600)
    assert (entry.cause, entry.mode) == (None, None)


@pytest.mark.parametrize("said", ["tamarack washed, 4 h labour", "put away tamarack for the winter, 3 hours of work"])
def test_work_on_no_part_is_no_figure_of_a_meter(words: FarmWords, said: str) -> None:
    heard = hear(said, words, NOW)
    assert (heard.verdict, heard.question) == (LineVerdict.QUESTION, "Work on what? No part or service is named.")


def test_the_question_of_a_word_that_is_no_part_names_it(words: FarmWords) -> None:
    assert hear("merlin thingy 4 broke", words, NOW).question == "What is 'thingy'? It is no part that the log knows."


def test_a_word_that_only_begins_names_is_asked_about_with_those_names(demo_words: FarmWords) -> None:
    for said in ("kestrel knife 41 rock", "kestrel knive 41 rock"):
        assert hear(said, demo_words, NOW).question == "'knife' can be knife section, knife drive or knife head."
    assert hear("kestrel rasp 4 broke", demo_words, NOW).question == "What is 'rasp'? It is no part that the log knows."


@pytest.mark.parametrize(
    ("line", "mode"),
    [
        ("wren hold down 3 will need changing", Mode.BROKEN),
        ("merlin section 12 should be changed tonight", Mode.BROKEN),
        ("juniper feeder chain due for tightening", Mode.LOOSE),
        ("juniper feeder chain needs tightening", Mode.LOOSE),
    ],
)
def test_what_is_still_to_be_done_was_left_as_it_is(line: str, mode: Mode, words: FarmWords) -> None:
    heard = hear(line, words, NOW)
    assert [(entry.mode, entry.action) for entry in heard.entries] == [(mode, Action.LEFT)]
    assert not heard.question


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        ("kestrel guard 9 might be cracked", "'might be cracked': did it or not?"),
        ("plover section 33 nearly broke", "'nearly broke': did it or not?"),
        ("kestrel section 41 was fine after rock", "'was fine': did anything break?"),
        ("hit a rock with merlin, guard 8 undamaged", "'undamaged': did anything break?"),
        ("left 3 tines broken on wren 4 5 6", "Was it left as it is, or put right?"),
        ("put back 4 sections on the shelf", "Did the sections come, or is that all there is now?"),
        ("moved guard 3 to 9 on wren", "A part that moves takes its age along."),
        ("kestrel sec 7 rock no time to fix", "Was it left as it is, or put right?"),
    ],
)
def test_what_may_not_have_happened_is_asked_about(line: str, asked: str, words: FarmWords) -> None:
    assert hear(line, words, NOW).question == asked


def test_without_a_zone_nothing_is_read(words: FarmWords) -> None:
    with pytest.raises(DataError, match="no time zone"):
        hear("kestrel sec 14 stone", words, NOW.replace(tzinfo=None))


_PIECES = sorted(
    {word for one in wanted_lines("farm_lines.tsv") for word in one.said.split()}
    | {
        "",
        "#",
        "--",
        "/",
        "½",
        "1/2",
        "..",
        "\x00",
        "é",
        "9999999999",
        "0",
        "-3",
        "no,",
        "from the right",
        "every other",
        "except",
    }
)


@settings(max_examples=150)
@given(pieces=st.lists(st.sampled_from(_PIECES), max_size=12), gap=st.sampled_from([" ", " ", ", ", ""]))
def test_no_mixture_of_its_words_makes_it_fail(pieces: list[str], gap: str, demo_words: FarmWords) -> None:
    for farm in (demo_words, FarmWords(Vocabulary(()))):
        heard = hear(gap.join(pieces), farm, NOW)
        assert (heard.verdict is LineVerdict.QUESTION) == bool(heard.question)
        assert all(one.at <= NOW for one in heard.entries)
        if heard.verdict in (LineVerdict.ENTRY, LineVerdict.PLANNED):
            for entry in heard.entries:
                assert entry.component is not None
                assert entry.machine is not None
                assert entry.component in entry.machine.components
                assert 1 <= entry.positions[0] <= entry.positions[-1] <= entry.component.positions


@settings(max_examples=100)
@given(text=st.text(max_size=120))
def test_no_text_makes_it_fail(text: str, demo_words: FarmWords) -> None:
    heard = hear(text, demo_words, NOW)
    assert f"{heard.question}{heard.hint}".isprintable()


def test_a_line_takes_a_few_thousandths_of_a_second(words: FarmWords) -> None:
    """Measured at 3 ms when this was written; four times that is what a slow machine may take."""
    phrases = phrases_of(words)
    lines = [one.said for one in wanted_lines("farm_lines.tsv")]
    hear(lines[0], words, NOW, phrases)
    before = process_time()
    for line in lines:
        hear(line, words, NOW, phrases)
    assert (process_time() - before) / len(lines) < 0.012


#: lines of the quick line's own table that a plain line takes otherwise, and why
_TAKEN_OTHERWISE = {
    "3 new north header sections, 41-43": "nothing broke: new parts put on are planned work",
    "cutterbar guard 3": "where it sits stays in the note",
    "guard 3 at the cutterbar": "where it sits stays in the note",
    "section 41 2 days": "a day of standing has no hours: it stays in the note",
}


@pytest.mark.parametrize(("table", "farm"), [(WHILE_CUTTING, CUTTING), (NOTHING_CURRENT, FARM)])
def test_what_the_quick_line_understands_means_the_same_or_is_asked(table: str, farm: Vocabulary) -> None:
    known, phrases = FarmWords(farm), phrases_of(FarmWords(farm))
    differs, asked = [], 0
    for line in [row.partition(" => ")[0] for row in table.splitlines() if row and not row.startswith("# ")]:
        quick, heard = understand(line, farm, QUICK_NOW), hear(line, known, QUICK_NOW, phrases)
        if heard.question:
            asked += 1
            continue
        (entry,) = heard.entries
        plain = (entry.component, entry.positions, entry.cause, entry.mode, entry.action, entry.at, entry.note)
        plain = (*plain, entry.stood_seconds, entry.labour_seconds)
        meant = (quick.component, quick.positions, quick.cause, quick.mode, quick.action, quick.at, quick.note)
        if plain != (*meant, quick.downtime_seconds, quick.labour_seconds):
            differs.append(line)
    assert set(differs) <= set(_TAKEN_OTHERWISE)
    assert asked <= 17
