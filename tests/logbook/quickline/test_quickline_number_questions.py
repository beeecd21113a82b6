"""The quick line as documentation: numbers, durations, times and causes that are not clear, and the exact sentences.

It is Tuesday the 28th of July 2026, five past two in the afternoon. Each row is a line as typed; below it, for each problem, its
column, its code, the sentence, and what to do.
"""

from __future__ import annotations

import pytest

from tests.logbook.quickline.quickline_farm import CUTTING, asked, question_rows

#: the red combine cuts with the North header on it
WHILE_CUTTING = """
# numbers that can mean two things
rock 41
    1 no_part: The line names no part.
        Say what broke, such as feeder chain, clean grain elevator chain or rasp bars.
    6 bare_number: '41' can be how many, which position, or how long.
        Write #41 for the position, 41 min for the time, or put how many right before the part.
guard broke 12
    13 bare_number: '12' can be how many, which position, or how long.
        Write #12 for the position, 12 min for the time, or put how many right before the part.
12, 3 guards
    1 bare_number: '12' can be how many, which position, or how long.
        Write #12 for the position, 12 min for the time, or put how many right before the part.
section down for 3
    18 bare_number: '3' can be how many, which position, or how long.
        Write #3 for the position, 3 min for the time, or put how many right before the part.
section 41 rock 20
    17 bare_number: '20' can be how many, which position, or how long.
        Write #20 for the position, 20 min for the time, or put how many right before the part.
section 41 1 hour 20
    19 bare_number: '20' can be how many, which position, or how long.
        Write #20 for the position, 20 min for the time, or put how many right before the part.
section 41 of 160
    15 bare_number: '160' can be how many, which position, or how long.
        Write #160 for the position, 160 min for the time, or put how many right before the part.
section 41 $5
    12 unknown_sign: The sign '$' means nothing here.
        Leave it out, or put a remark behind --.
    13 bare_number: '5' can be how many, which position, or how long.
        Write #5 for the position, 5 min for the time, or put how many right before the part.
section -3
    9 bad_number: '-3' has a minus sign.
        Write counts and positions without one.
section 1.5
    9 bad_number: '1.5' is neither how many nor a position.
        For a duration write its unit, like 1.5 h.
section 1234567
    9 bad_number: The number 1234567 is too long.
        Write it with fewer digits.
section 41 half a dozen
    12 bare_number: 'half a dozen' can be how many, which position, or how long.
        Write #6 for the position, 6 min for the time, or put how many right before the part.

# how long
tine 3 1/2 h
    6 unsure_duration: '3 1/2 h' can be one duration, or the position 3 and a shorter duration.
        Write the duration in minutes, or put it before the part.
tine 3,5 h
    6 unsure_duration: '3,5 h' can be one duration, or the position 3 and a shorter duration.
        Write the duration in minutes, or put it before the part.
section 41 1/2 h
    9 unsure_duration: '41 1/2 h' can be one duration, or the position 41 and a shorter duration.
        Write the duration in minutes, or put it before the part.
sections 41, 42 1/2 h
    14 unsure_duration: '42 1/2 h' can be one duration, or the position 42 and a shorter duration.
        Write the duration in minutes, or put it before the part.
section 41 20-30 min
    15 range: '20-30 min' is a span, not one duration.
        Write one figure, like 30 min.
section 41 20 min 30 min
    19 two_durations: There are 2 durations, '20 min' and '30 min', for the time it stood.
        Write 'labour' beside the working time.
section 41 1 h labour, 20 min labour
    24 two_durations: There are 2 durations, '1 h' and '20 min', for the time people worked.
        Write their sum.
section 41 1 h, 20 min, 30 min
    17 two_durations: There are 3 durations, '1 h', '20 min' and '30 min', for the time it stood.
        Write 'labour' beside the working time.
20 min labour 1 h section 41
    8 unsure_mark: 'labour' stands between two durations.
        Put a comma beside it.
section 41 16:20 h
    12 unsure_duration: '16:20 h' can be a time of day or a duration.
        Write 16:20 for the time, or 16 h 20 min for the duration.
section 41 16h20
    12 unsure_duration: '16h20' can be a time of day or a duration.
        Write 16:20 for the time, or 16 h 20 min for the duration.
section 41 1620 h
    12 too_long_duration: '1620 h' is longer than a season lasts.
        Write a time of day like 16:20, a duration like 20 min.
section 41 400 days
    12 too_long_duration: '400 days' is longer than a season lasts.
        Write a time of day like 16:20, a duration like 20 min.
section 41 2 days labour
    12 days_of_work: How long a day of work is differs.
        Write the work in hours, like 10 h labour.
section 41 labour
    12 no_duration: 'labour' has no duration beside it.
        Write how long, like 30 min labour.

# when
section 41 16:20
    12 future: 16:20 today is still to come; it is 14:05 now.
        Write 'yesterday 16:20' if it was yesterday.
section 41 4 pm
    12 future: 16:00 today is still to come; it is 14:05 now.
        Write 'yesterday 16:00' if it was yesterday.
section 41 tonight
    12 future: 21:00 today is still to come; it is 14:05 now.
        Write 'yesterday 21:00' if it was yesterday.
section 41 tue 16:20
    12 future: 16:20 today is still to come; it is 14:05 now.
        Write 'last tuesday' if it was a week ago.
section 41 july 30
    12 future: 30 Jul 2026 is still to come; today is 28 Jul 2026.
        Write the year if it was in an earlier one.
section 41 12/24
    12 future: 24 Dec 2026 is still to come; today is 28 Jul 2026.
        Write the year if it was in an earlier one.
section 41 28/7
    12 bad_date: '28/7' is read month first, and there is no month 28.
        Write july 28.
section 41 feb 30
    12 bad_date: 'feb 30' is not a date that exists.
        Write it like july 28 or 7/28.
section 41 july 45
    12 bad_date: 'july 45' is not a date that exists.
        Write it like july 28 or 7/28.
section 41 7/32
    12 bad_date: '7/32' is not a date that exists.
        Write it like july 28 or 7/28.
section 41 2026-13-01
    12 bad_date: '2026-13-01' is not a date that exists.
        Write it like 2026-07-28 or 2026-07-28T16:20.
section 41 1899-12-31
    12 bad_date: The year 1899 cannot be right.
        Write the year with four digits, like 2026.
section 41 9999-12-31
    12 bad_date: The year 9999 cannot be right.
        Write the year with four digits, like 2026.
section 41 july
    12 no_day: 'july' has no day beside it.
        Write it like july 28.
section 41 25:10
    12 bad_time: '25:10' is not a time of day.
        Write it like 16:20 or 4:20 pm.
section 41 12:75
    12 bad_time: '12:75' is not a time of day.
        Write it like 16:20 or 4:20 pm.
section 41 13 pm
    12 bad_time: '13 pm' is not a time of day.
        Write it like 16:20 or 4:20 pm.
section 41 4 o'clock
    12 am_or_pm: '4 o'clock' can be morning or afternoon.
        Write 4 am or 4 pm.
section 41 yesterday midnight
    22 unsure_midnight: 'midnight' can begin or end that day.
        Write 0:00, or 23:59.
section 41 yesterday morning 16:20
    30 bad_time: 16:20 is not in the morning.
        Keep the time or the part of the day.
section 41 yesterday monday
    22 two_times: The line names 2 days.
        Keep the one when it broke.
section 41 9:15 10:15
    17 two_times: The line names 2 times of day.
        Keep the one when it broke.
section 41 now 9:15
    16 two_times: The line says in two ways when it was.
        Keep the one when it broke.
section 41 noon, 1 h ago
    18 two_times: The line says in two ways when it was.
        Keep the one when it broke.
section 41 99999 weeks ago
    12 too_old: '99999 weeks ago' is too long ago.
        Write the date, like 2026-07-28.
section 41 last week
    12 misplaced_word: 'last' means nothing where it stands.
        Leave it out, or put a remark behind --.
    17 misplaced_word: 'week' means nothing where it stands.
        Leave it out, or put a remark behind --.
section 41 march 8 2:30
    12 no_such_time: There was no 02:30 on 8 Mar 2026: the clocks went forward.
        Write the time they showed.
section 41 2025-11-02 1:30
    12 twice_that_time: There were two times 01:30 on 2 Nov 2025: the clocks went back.
        Write 2025-11-02T01:30-05:00 or 2025-11-02T01:30-06:00.

# cause, mode, action
section 41 rock, fatigue
    18 two_causes: The line names two causes: 'rock' and 'fatigue'.
        Keep the one that came first.
guard 12 bent, cracked
    16 two_modes: The line names two modes: 'bent' and 'cracked'.
        Keep the worse one.
guard 12 replaced, welded
    20 two_actions: The line names two actions: 'replaced' and 'welded'.
        Log what was done last.
"""


@pytest.mark.parametrize(("line", "sentences"), question_rows(WHILE_CUTTING))
def test_a_number_or_time_that_is_not_clear_is_asked_about(line: str, sentences: str) -> None:
    assert asked(line, CUTTING) == sentences
    assert sentences


def test_the_table_is_as_long_as_it_says() -> None:
    """A row lost to a slip in the table would otherwise pass unseen."""
    assert len(question_rows(WHILE_CUTTING)) == 58
