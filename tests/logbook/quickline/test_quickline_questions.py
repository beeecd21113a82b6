"""The quick line as documentation: words, parts, machines and positions that are not clear, and the exact sentences.

It is Tuesday the 28th of July 2026, five past two in the afternoon. Each row is a line as typed; below it, for each problem, its
column, its code, the sentence, and what to do.
"""

from __future__ import annotations

import pytest

from tests.logbook.quickline.quickline_farm import CUTTING, FARM, asked, question_rows

#: the red combine cuts with the North header on it
WHILE_CUTTING = """
# words that are not known are named, never guessed
secton 41 rock
    1 unknown_word: 'secton' is not a word I know; did you mean 'section'?
        Correct it, or put a remark behind --.
guard 12 bennt
    10 unknown_word: 'bennt' is not a word I know; did you mean 'bent'?
        Correct it, or put a remark behind --.
guard 12 rok
    10 unknown_word: 'rok' is not a word I know; did you mean 'rock'?
        Correct it, or put a remark behind --.
gaurd 12
    1 unknown_word: 'gaurd' is not a word I know; did you mean 'guard'?
        Correct it, or put a remark behind --.
guard 12 yesturday
    10 unknown_word: 'yesturday' is not a word I know; did you mean 'yesterday'?
        Correct it, or put a remark behind --.
section 41 happened
    12 unknown_word: 'happened' is not a word I know.
        Correct it, or put a remark behind --.
section 41 not
    12 misplaced_word: 'not' means nothing where it stands.
        Leave it out, or put a remark behind --.
section 41 rock?
    16 unknown_sign: The sign '?' means nothing here.
        Leave it out, or put a remark behind --.
section 41 $
    12 unknown_sign: The sign '$' means nothing here.
        Leave it out, or put a remark behind --.
guard 12 fixed
    10 unclear_word: 'fixed' can mean two things.
        Write 'replaced' for a new part, 'mended' for the same part going on.
guard 12 done
    10 unclear_word: 'done' can mean two things.
        Write 'replaced' for a new part, 'mended' for the same part going on.
nirth guard 12
    1 unknown_word: 'nirth' is not a word I know; did you mean 'north'?
        Correct it, or put a remark behind --.
qq ww ee rr tt yy uu ii oo pp guard 12
    1 unknown_word: 'qq' is not a word I know.
        Correct it, or put a remark behind --.
    4 unknown_word: 'ww' is not a word I know.
        Correct it, or put a remark behind --.
    7 unknown_word: 'ee' is not a word I know.
        Correct it, or put a remark behind --.
    10 unknown_word: 'rr' is not a word I know.
        Correct it, or put a remark behind --.
    13 unknown_word: 'tt' is not a word I know.
        Correct it, or put a remark behind --.
    16 unknown_word: 'yy' is not a word I know.
        Correct it, or put a remark behind --.
    19 unknown_word: 'uu' is not a word I know.
        Correct it, or put a remark behind --.
    22 unknown_word: 'ii' is not a word I know.
        Correct it, or put a remark behind --.
    25 unknown_word: There are 2 more words I do not know.
        Write only what broke, where, why and how long; put the rest behind --.

# nothing, or no part
rock, 20 min
    1 no_part: The line names no part.
        Say what broke, such as feeder chain, clean grain elevator chain or rasp bars.
-- only a remark
    1 empty: The line says nothing.
        Write what broke, like 3 sections 41-43 rock, 20 min.
guard 12 "no end
    10 open_quote: The quotation mark is not closed.
        Close the remark with another one, or begin it with --.

# which part
chain stretched
    1 shared_word: 'chain' can be feeder chain, clean grain elevator chain or unloading auger chain on Red combine.
        Write more of its name.
blue chain
    6 shared_word: 'chain' can be feeder chain or clean grain elevator chain on Blue combine.
        Write more of its name.
bearing
    1 shared_word: 'bearing' can be walker bearing or reel bearing.
        Write more of its name.
knife section 41 guard 12
    18 two_parts: The line names two parts: 'knife section' and 'guard'.
        Log each on a line of its own.
chopper knife
    1 not_fitted: No machine has a part of the kind chopper knife.
        Add it to a machine first.
belt torn
    1 which_place: Which drive belt on Red combine? There is left and right.
        Add its place.
rear guard 3
    1 unknown_word: 'rear' is not a word I know; did you mean 'tear' or 'wear'?
        Correct it, or put a remark behind --.

# which machine
south feeder chain
    1 not_on_machine: South header has no feeder chain.
        It is on Red combine or Blue combine.
north fuse 3
    1 not_on_machine: North header has no fuse.
        It is on Red combine or Blue combine.
red blue fuse 3
    5 not_on_machine: The line names machines that do not belong together.
        Name the one it broke on.
red south guard 3
    5 not_on_machine: The line names machines that do not belong together.
        Name the one it broke on.
truck guard 3
    1 not_on_machine: Norton truck has no guard.
        It is on North header or South header.

# which positions
section broke
    1 which_positions: Which of the 160 knife sections on North header?
        Write the positions, like knife sections 41-43, or all.
3 sections rock
    1 which_positions: Which of the 160 knife sections on North header?
        Write the positions, like knife sections 41-43, or all.
41 section rock
    1 which_positions: Which of the 160 knife sections on North header?
        Write #41 for position 41, or the positions, like knife sections 41-43.
all sections 41-43
    1 count_differs: 'all' and 41-43 do not agree.
        Keep one of them.
both guards
    1 which_positions: Which of the 80 guards on North header?
        Write the positions, like guards 41-43, or all.
both guards 3
    1 count_differs: You wrote 2 but 3 is 1 position.
        Correct one of them.
3 guards 41-42
    1 count_differs: You wrote 3 but 41-42 are 2 positions.
        Correct one of them.
3 guards 41
    1 count_differs: You wrote 3 but 41 is 1 position.
        Correct one of them.
3 sections 41 43
    1 count_differs: You wrote 3 but 41, 43 are 2 positions.
        Correct one of them.
5 fuses all
    1 count_differs: You wrote 5 but Red combine has 24 fuses.
        Correct the number or leave it out.
2 feeder chains
    1 count_differs: You wrote 2 but Red combine has 1 feeder chain.
        Correct the number or leave it out.
a guard 12-13
    1 count_differs: You wrote 1 but 12-13 are 2 positions.
        Correct one of them.
guard 90
    7 beyond_positions: North header has 80 guards; 90 is beyond.
        Count from 1 at the left to 80.
guards 79-82
    8 beyond_positions: North header has 80 guards; 81-82 are beyond.
        Count from 1 at the left to 80.
guards 79, 90 and 95
    19 beyond_positions: North header has 80 guards; 90, 95 are beyond.
        Count from 1 at the left to 80.
rasp bar 9
    10 beyond_positions: Red combine has 8 rasp bars; 9 is beyond.
        Count from 1 at the left to 8.
feeder chain 2
    14 beyond_positions: Red combine has one feeder chain; 2 is beyond.
        Leave the position out.
sections 43-41
    10 bad_position: The span 43-41 runs backwards.
        Write 41-43.
section 0
    9 bad_position: Position 0 does not exist.
        Positions count from 1 at the left.
section 9999
    9 bad_position: Position 9999 does not exist.
        Positions count from 1 at the left.
"""

#: nothing cuts: what sits on two machines has to be asked for
NOTHING_CURRENT = """
3 sections 41-43 rock, 20 min
    3 which_machine: Which machine? Knife sections are on North header and South header.
        Add its name, like 'North header'.
feeder chain stretched
    1 which_machine: Which machine? Feeder chains are on Red combine and Blue combine.
        Add its name, like 'Red combine'.
header guard 3
    1 ambiguous_machine: 'header' can be North header or South header.
        Write more of its name.
combine fuse 3
    1 ambiguous_machine: 'combine' can be Red combine or Blue combine.
        Write more of its name.
he guard 3
    1 ambiguous_machine: 'he' can be North header or South header.
        Write more of its name.
chain
    1 shared_word: 'chain' can be feeder chain, clean grain elevator chain or unloading auger chain.
        Write more of its name.
hose leaking
    1 which_machine: Which machine? Hydraulic hoses are on Red combine, Blue combine and Norton truck.
        Add its name, like 'Red combine'.
left belt torn
    6 which_machine: Which machine? Drive belts are on Red combine and Blue combine.
        Add its name, like 'Red combine'.
"""


@pytest.mark.parametrize(("line", "sentences"), question_rows(WHILE_CUTTING))
def test_a_line_that_is_not_clear_is_asked_about(line: str, sentences: str) -> None:
    assert asked(line, CUTTING) == sentences
    assert sentences


@pytest.mark.parametrize(("line", "sentences"), question_rows(NOTHING_CURRENT))
def test_a_line_is_asked_which_machine_or_part_it_means(line: str, sentences: str) -> None:
    assert asked(line, FARM) == sentences
    assert sentences


def test_the_table_is_as_long_as_it_says() -> None:
    """A row lost to a slip in the table would otherwise pass unseen."""
    assert (len(question_rows(WHILE_CUTTING)), len(question_rows(NOTHING_CURRENT))) == (48, 8)
