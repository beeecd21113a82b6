"""The quick line as documentation: what may be written, and what is understood of it (said back in the program's own words).

It is Tuesday the 28th of July 2026, five past two in the afternoon. Each row is a line as typed, "=>", and what it means.
"""

from __future__ import annotations

import pytest

from tests.logbook.quickline.quickline_farm import CUTTING, FARM, NOW, PRAIRIE
from tests.logbook.quickline.said_back import describe
from wearlog.logbook.quickline import understand

#: the red combine cuts with the North header on it: neither has to be named
WHILE_CUTTING = """
# counts and positions
3 sections 41-43 rock, 20 min => North header, knife section 41-43: broken by impact, replaced; stood 20 min; today 14:05
3 sections 41 to 43 rock => North header, knife section 41-43: broken by impact, replaced; today 14:05
sections 41 thru 44 => North header, knife section 41-44: broken, replaced; today 14:05
sections 41 through 44 => North header, knife section 41-44: broken, replaced; today 14:05
sections 41–43 => North header, knife section 41-43: broken, replaced; today 14:05
sections 41, 42 and 50 => North header, knife section 41-42, 50: broken, replaced; today 14:05
sections 41, 42, 50 => North header, knife section 41-42, 50: broken, replaced; today 14:05
sections 41 42 50 => North header, knife section 41-42, 50: broken, replaced; today 14:05
sections 41 & 42 + 44 => North header, knife section 41-42, 44: broken, replaced; today 14:05
sections 41-43, 50 and #52 => North header, knife section 41-43, 50, 52: broken, replaced; today 14:05
section #41 => North header, knife section 41: broken, replaced; today 14:05
section 41 => North header, knife section 41: broken, replaced; today 14:05
section at 41 => North header, knife section 41: broken, replaced; today 14:05
section position 41 => North header, knife section 41: broken, replaced; today 14:05
section pos. 41 => North header, knife section 41: broken, replaced; today 14:05
section no. 41 => North header, knife section 41: broken, replaced; today 14:05
sections number 41 => North header, knife section 41: broken, replaced; today 14:05
#41 section => North header, knife section 41: broken, replaced; today 14:05
no. 41 section => North header, knife section 41: broken, replaced; today 14:05
at 41, section => North header, knife section 41: broken, replaced; today 14:05
position 41, section => North header, knife section 41: broken, replaced; today 14:05
41st section => North header, knife section 41: broken, replaced; today 14:05
41-43 sections => North header, knife section 41-43: broken, replaced; today 14:05
41-43, 3 sections => North header, knife section 41-43: broken, replaced; today 14:05
3 of the sections 41-43 => North header, knife section 41-43: broken, replaced; today 14:05
3 broken sections 41-43 => North header, knife section 41-43: broken, replaced; today 14:05
3 new north header sections, 41-43 => North header, knife section 41-43: broken, replaced; today 14:05
3x section 41-43 => North header, knife section 41-43: broken, replaced; today 14:05
two guards 12 and 13 => North header, guard 12-13: broken, replaced; today 14:05
a tine 7 => North header, reel tine 7: broken, replaced; today 14:05
a broken guard 5 => North header, guard 5: broken, replaced; today 14:05
one guard 5 => North header, guard 5: broken, replaced; today 14:05
a few guards 5-9 => North header, guard 5-9: broken, replaced; today 14:05
a couple of guards 5, 6 => North header, guard 5-6: broken, replaced; today 14:05
a pair of guards 5 6 => North header, guard 5-6: broken, replaced; today 14:05
half a dozen guards 1-6 => North header, guard 1-6: broken, replaced; today 14:05
both guards 5, 6 => North header, guard 5-6: broken, replaced; today 14:05
section forty one => North header, knife section 41: broken, replaced; today 14:05
sections forty-one and forty-two => North header, knife section 41-42: broken, replaced; today 14:05
all guards => North header, guard, all 80: broken, replaced; today 14:05
all 24 fuses => Red combine, fuse, all 24: failed, replaced; today 14:05
24 fuses => Red combine, fuse, all 24: failed, replaced; today 14:05
rasp bars all worn => Red combine, rasp bars, all 8: worn, replaced; today 14:05
feeder chain => Red combine, feeder chain: broken, replaced; today 14:05
a feeder chain => Red combine, feeder chain: broken, replaced; today 14:05
feeder chain 1 => Red combine, feeder chain: broken, replaced; today 14:05
1 feeder chain => Red combine, feeder chain: broken, replaced; today 14:05

# part names: singular and plural, more than one word, the end of a name
knife section 41 => North header, knife section 41: broken, replaced; today 14:05
knife sections 41 => North header, knife section 41: broken, replaced; today 14:05
sickle sections 41 => North header, knife section 41: broken, replaced; today 14:05
finger guards 12 => North header, guard 12: broken, replaced; today 14:05
rasp bar 3 => Red combine, rasp bars 3: broken, replaced; today 14:05
elevator chain stretched => Red combine, clean grain elevator chain: stretched, replaced; today 14:05
clean grain elevator chain stretched => Red combine, clean grain elevator chain: stretched, replaced; today 14:05
feeder house chain stretched => Red combine, feeder chain: stretched, replaced; today 14:05
unloading auger chain => Red combine, unloading auger chain: broken, replaced; today 14:05
walker bearing 3 => Red combine, walker bearing 3: failed, replaced; today 14:05
walker bearings 3-5 => Red combine, walker bearing 3-5: failed, replaced; today 14:05
Fuses 3 to 5 => Red combine, fuse 3-5: failed, replaced; today 14:05
FUSE 3 => Red combine, fuse 3: failed, replaced; today 14:05
reel tine 88 => North header, reel tine 88: broken, replaced; today 14:05

# places
left belt torn => Red combine, drive belt left: torn, replaced; today 14:05
belt left torn => Red combine, drive belt left: torn, replaced; today 14:05
belt, left hand side, torn => Red combine, drive belt left: torn, replaced; today 14:05
right drive belt => Red combine, drive belt right: broken, replaced; today 14:05
left belt left in => Red combine, drive belt left: broken, left as it is; today 14:05
reel bearing left => North header, reel bearing reel left: failed, replaced; today 14:05
left reel bearing => North header, reel bearing reel left: failed, replaced; today 14:05
cutterbar guard 3 => North header, guard 3: broken, replaced; today 14:05
guard 3 at the cutterbar => North header, guard 3: broken, replaced; today 14:05
hoist hose => Norton truck, hydraulic hose: leaking, replaced; today 14:05

# machines, by any beginning of a word of their name
north header guard 3 => North header, guard 3: broken, replaced; today 14:05
north guard 3 => North header, guard 3: broken, replaced; today 14:05
nor guard 3 => North header, guard 3: broken, replaced; today 14:05
sou guard 3 => South header, guard 3: broken, replaced; today 14:05
NORTH HEADER: guard 3 => North header, guard 3: broken, replaced; today 14:05
header's guard 3 => North header, guard 3: broken, replaced; today 14:05
the header guard 3 => North header, guard 3: broken, replaced; today 14:05
combine fuse 3 => Red combine, fuse 3: failed, replaced; today 14:05
red fuse 3 => Red combine, fuse 3: failed, replaced; today 14:05
bl fuse 3 => Blue combine, fuse 3: failed, replaced; today 14:05
blue combine fuse 3 => Blue combine, fuse 3: failed, replaced; today 14:05
blue guard 3 => South header, guard 3: broken, replaced; today 14:05
red combine north header guard 3 => North header, guard 3: broken, replaced; today 14:05
norton hose => Norton truck, hydraulic hose: leaking, replaced; today 14:05
nort hose => Norton truck, hydraulic hose: leaking, replaced; today 14:05
truck hose => Norton truck, hydraulic hose: leaking, replaced; today 14:05
red hose => Red combine, hydraulic hose: leaking, replaced; today 14:05
shear bolt => Blue combine, shear bolt: broken, replaced; today 14:05

# causes
section 41 rock => North header, knife section 41: broken by impact, replaced; today 14:05
section 41 hit a rock => North header, knife section 41: broken by impact, replaced; today 14:05
section 41 stones => North header, knife section 41: broken by impact, replaced; today 14:05
section 41 fence post => North header, knife section 41: broken by impact, replaced; today 14:05
section 41 foreign object => North header, knife section 41: broken by impact, replaced; today 14:05
section 41 worn => North header, knife section 41: worn, replaced; today 14:05
section 41 wear => North header, knife section 41: worn, replaced; today 14:05
section 41 dull => North header, knife section 41: worn, replaced; today 14:05
section 41 fatigue => North header, knife section 41: broken by fatigue, replaced; today 14:05
section 41 fatigue crack => North header, knife section 41: cracked by fatigue, replaced; today 14:05
section 41 loose => North header, knife section 41: loose, replaced; today 14:05
section 41 loose rivet => North header, knife section 41: broken because a fastening was loose, replaced; today 14:05
section 41 bolt => North header, knife section 41: broken because a fastening was loose, replaced; today 14:05
section 41 missing, loose rivet => North header, knife section 41: missing because a fastening was loose, replaced; today 14:05
section 41 knock-on => North header, knife section 41: broken after something else failed, replaced; today 14:05
section 41 secondary => North header, knife section 41: broken after something else failed, replaced; today 14:05
tine 3 due to guard => North header, reel tine 3: broken after something else failed, replaced; today 14:05; note "due to guard"
section 41 because of rock => North header, knife section 41: broken by impact, replaced; today 14:05
section 41 due to wear => North header, knife section 41: worn, replaced; today 14:05
section 41 cause unknown => North header, knife section 41: broken, replaced; today 14:05
section 41 worn and broke => North header, knife section 41: broken by wear, replaced; today 14:05
section 41 knocked loose by a rock => North header, knife section 41: loose by impact, replaced; today 14:05

# modes
guard 12 broke => North header, guard 12: broken, replaced; today 14:05
guard 12 broken off => North header, guard 12: broken, replaced; today 14:05
guard 12 snapped => North header, guard 12: broken, replaced; today 14:05
guard 12 bent => North header, guard 12: bent, replaced; today 14:05
guard 12 cracked => North header, guard 12: cracked, replaced; today 14:05
guard 12 missing => North header, guard 12: missing, replaced; today 14:05
guard 12 gone => North header, guard 12: missing, replaced; today 14:05
guard 12 lost => North header, guard 12: missing, replaced; today 14:05
guard 12 fell off => North header, guard 12: missing, replaced; today 14:05
feeder chain elongated => Red combine, feeder chain: stretched, replaced; today 14:05
belt left ripped => Red combine, drive belt left: torn, replaced; today 14:05
walker bearing 3 seized => Red combine, walker bearing 3: seized, replaced; today 14:05
hose red leaks => Red combine, hydraulic hose: leaking, replaced; today 14:05
fuse 3 blown => Red combine, fuse 3: failed, replaced; today 14:05
fuse 3 => Red combine, fuse 3: failed, replaced; today 14:05

# actions
guard 12 replaced => North header, guard 12: broken, replaced; today 14:05
guard 12 new one => North header, guard 12: broken, replaced; today 14:05
guard 12 changed => North header, guard 12: broken, replaced; today 14:05
guard 12 bent, straightened => North header, guard 12: bent, mended; today 14:05
guard 12 cracked, welded => North header, guard 12: cracked, mended; today 14:05
guard 12 loose, tightened => North header, guard 12: loose, mended; today 14:05
guard 12 left in => North header, guard 12: broken, left as it is; today 14:05
guard 12 left => North header, guard 12: broken, left as it is; today 14:05
guard 12 bent, left as it is => North header, guard 12: bent, left as it is; today 14:05
guard 12 bent, ran on => North header, guard 12: bent, left as it is; today 14:05
guard 12 not replaced => North header, guard 12: broken, left as it is; today 14:05

# durations
section 41, 20 min => North header, knife section 41: broken, replaced; stood 20 min; today 14:05
section 41 20min => North header, knife section 41: broken, replaced; stood 20 min; today 14:05
section 41 90 minutes => North header, knife section 41: broken, replaced; stood 1 h 30 min; today 14:05
section 41 1.5 h => North header, knife section 41: broken, replaced; stood 1 h 30 min; today 14:05
section 41 .5 h => North header, knife section 41: broken, replaced; stood 30 min; today 14:05
1,5 h section 41 => North header, knife section 41: broken, replaced; stood 1 h 30 min; today 14:05
section 41, 1,5 h => North header, knife section 41: broken, replaced; stood 1 h 30 min; today 14:05
section 41, 1 1/2 h => North header, knife section 41: broken, replaced; stood 1 h 30 min; today 14:05
section 41 1 1/2 h => North header, knife section 41: broken, replaced; stood 1 h 30 min; today 14:05
sections 41-43 1/2 hour => North header, knife section 41-43: broken, replaced; stood 30 min; today 14:05
½ h section 41 => North header, knife section 41: broken, replaced; stood 30 min; today 14:05
1½ h section 41 => North header, knife section 41: broken, replaced; stood 1 h 30 min; today 14:05
section 41 half an hour => North header, knife section 41: broken, replaced; stood 30 min; today 14:05
section 41 a quarter of an hour => North header, knife section 41: broken, replaced; stood 15 min; today 14:05
section 41 three quarters of an hour => North header, knife section 41: broken, replaced; stood 45 min; today 14:05
section 41 an hour and a half => North header, knife section 41: broken, replaced; stood 1 h 30 min; today 14:05
section 41 one and a half hours => North header, knife section 41: broken, replaced; stood 1 h 30 min; today 14:05
section 41 two hours and a half => North header, knife section 41: broken, replaced; stood 2 h 30 min; today 14:05
section 41 a couple of hours => North header, knife section 41: broken, replaced; stood 2 h; today 14:05
section 41 1 h 20 min => North header, knife section 41: broken, replaced; stood 1 h 20 min; today 14:05
section 41 1 hour and twenty minutes => North header, knife section 41: broken, replaced; stood 1 h 20 min; today 14:05
section 41 1h20 => North header, knife section 41: broken, replaced; stood 1 h 20 min; today 14:05
section 41 1h20m => North header, knife section 41: broken, replaced; stood 1 h 20 min; today 14:05
section 41 1:20 h => North header, knife section 41: broken, replaced; stood 1 h 20 min; today 14:05
section 41 twenty-five min => North header, knife section 41: broken, replaced; stood 25 min; today 14:05
section 41 2 days => North header, knife section 41: broken, replaced; stood 48 h; today 14:05
section 41 stood 20 min => North header, knife section 41: broken, replaced; stood 20 min; today 14:05
section 41 20 min down => North header, knife section 41: broken, replaced; stood 20 min; today 14:05
section 41 lost 20 min => North header, knife section 41: broken, replaced; stood 20 min; today 14:05
section 41 lost, 20 min => North header, knife section 41: missing, replaced; stood 20 min; today 14:05
section 41 took about 20 min => North header, knife section 41: broken, replaced; stood 20 min; today 14:05
section 41 30 min labour => North header, knife section 41: broken, replaced; 30 min labour; today 14:05
section 41 labor 30 min => North header, knife section 41: broken, replaced; 30 min labour; today 14:05
section 41 30 min in the shop => North header, knife section 41: broken, replaced; 30 min labour; today 14:05
section 41 20 min, labour 1 h => North header, knife section 41: broken, replaced; stood 20 min; 1 h labour; today 14:05
section 41 1 h work, 20 min => North header, knife section 41: broken, replaced; stood 20 min; 1 h labour; today 14:05
section 41 down 20 min, worked 1 h => North header, knife section 41: broken, replaced; stood 20 min; 1 h labour; today 14:05

# times
section 41 now => North header, knife section 41: broken, replaced; today 14:05
section 41 today => North header, knife section 41: broken, replaced; today 14:05
section 41 9:15 => North header, knife section 41: broken, replaced; today 09:15
section 41 at 9:15 => North header, knife section 41: broken, replaced; today 09:15
section 41 9:15:30 => North header, knife section 41: broken, replaced; today 09:15
section 41 9 am => North header, knife section 41: broken, replaced; today 09:00
section 41 9:15 a.m. => North header, knife section 41: broken, replaced; today 09:15
section 41 1.30 pm => North header, knife section 41: broken, replaced; today 13:30
section 41 noon => North header, knife section 41: broken, replaced; today 12:00
section 41 midnight => North header, knife section 41: broken, replaced; today 00:00
section 41 yesterday => North header, knife section 41: broken, replaced; yesterday 12:00
section 41 yesterday 16:20 => North header, knife section 41: broken, replaced; yesterday 16:20
section 41 yesterday afternoon => North header, knife section 41: broken, replaced; yesterday 15:00
section 41 yesterday afternoon 4:20 => North header, knife section 41: broken, replaced; yesterday 16:20
section 41 yesterday, 4 o'clock in the afternoon => North header, knife section 41: broken, replaced; yesterday 16:00
section 41 this morning => North header, knife section 41: broken, replaced; today 09:00
section 41 this afternoon => North header, knife section 41: broken, replaced; today 14:05
section 41 last night => North header, knife section 41: broken, replaced; yesterday 21:00
section 41 the day before yesterday 8 am => North header, knife section 41: broken, replaced; Sun 26 July 08:00
section 41 mon 9:15 => North header, knife section 41: broken, replaced; yesterday 09:15
section 41 on monday at 9:15 => North header, knife section 41: broken, replaced; yesterday 09:15
section 41 tue 9:15 => North header, knife section 41: broken, replaced; today 09:15
section 41 wednesday => North header, knife section 41: broken, replaced; Wed 22 July 12:00
section 41 last tuesday => North header, knife section 41: broken, replaced; Tue 21 July 12:00
section 41 2 h ago => North header, knife section 41: broken, replaced; today 12:05
section 41 20 min ago, 30 min labour => North header, knife section 41: broken, replaced; 30 min labour; today 13:45
section 41 half an hour ago => North header, knife section 41: broken, replaced; today 13:35
section 41 2 days ago => North header, knife section 41: broken, replaced; Sun 26 July 12:00
section 41 2 days ago 16:20 => North header, knife section 41: broken, replaced; Sun 26 July 16:20
section 41 a week ago => North header, knife section 41: broken, replaced; Tue 21 July 12:00
section 41 july 27 16:20 => North header, knife section 41: broken, replaced; yesterday 16:20
section 41 july 27th at 4:20 pm => North header, knife section 41: broken, replaced; yesterday 16:20
section 41 27 july 16:20 => North header, knife section 41: broken, replaced; yesterday 16:20
section 41 27th of july => North header, knife section 41: broken, replaced; yesterday 12:00
section 41 28 july => North header, knife section 41: broken, replaced; today 14:05
section 41 7/27 16:20 => North header, knife section 41: broken, replaced; yesterday 16:20
section 41 7/27/2025 => North header, knife section 41: broken, replaced; Sun 27 July 2025 12:00
section 41 7/27/25 4 pm => North header, knife section 41: broken, replaced; Sun 27 July 2025 16:00
section 41 aug. 3 2025 => North header, knife section 41: broken, replaced; Sun 3 August 2025 12:00
section 41 2026-07-27 => North header, knife section 41: broken, replaced; yesterday 12:00
section 41 2026-07-27 16:20 => North header, knife section 41: broken, replaced; yesterday 16:20
section 41 2026-07-27T16:20 => North header, knife section 41: broken, replaced; yesterday 16:20
section 41 2026-07-27T21:20Z => North header, knife section 41: broken, replaced; yesterday 16:20
section 41 2026-07-27T16:20:30-05:00 => North header, knife section 41: broken, replaced; yesterday 16:20
section 41 2025-11-02T01:30-06:00 => North header, knife section 41: broken, replaced; Sun 2 November 2025 01:30

# remarks
tine 3 rock -- flat, by the creek => North header, reel tine 3: broken by impact, replaced; today 14:05; note "flat, by the creek"
tine 3 rock // ask about row 2 => North header, reel tine 3: broken by impact, replaced; today 14:05; note "ask about row 2"
tine 3 rock note: 20 min too long => North header, reel tine 3: broken by impact, replaced; today 14:05; note "20 min too long"
section 41 "hit a post" 20 min => North header, knife section 41: broken, replaced; stood 20 min; today 14:05; note "hit a post"
section 41 “flat one” rock => North header, knife section 41: broken by impact, replaced; today 14:05; note "flat one"
section 41-- because of dust => North header, knife section 41: broken, replaced; today 14:05; note "because of dust"

# how it is typed
(section 41) rock! => North header, knife section 41: broken by impact, replaced; today 14:05
section 41 ,rock ;20 min. => North header, knife section 41: broken by impact, replaced; stood 20 min; today 14:05
SECTION 41 RÖCK => North header, knife section 41: broken by impact, replaced; today 14:05
séction ４１–４３ => North header, knife section 41-43: broken, replaced; today 14:05
"""

#: nothing cuts: the machine is named, or only one machine has the part
NOTHING_CURRENT = """
north 3 sections 41-43 rock, 20 min => North header, knife section 41-43: broken by impact, replaced; stood 20 min; today 14:05
nor guard 12 bent => North header, guard 12: bent, replaced; today 14:05
red combine sections 41-43 => North header, knife section 41-43: broken, replaced; today 14:05
blue feeder chain stretched => Blue combine, feeder chain: stretched, replaced; today 14:05
truck hose => Norton truck, hydraulic hose: leaking, replaced; today 14:05
shear bolt sheared => Blue combine, shear bolt: broken, replaced; today 14:05
unloading auger chain => Red combine, unloading auger chain: broken, replaced; today 14:05
red north guard 12 => North header, guard 12: broken, replaced; today 14:05
"""


def _rows(table: str) -> list[tuple[str, str]]:
    rows = [row.partition(" => ") for row in table.splitlines() if row and not row.startswith("# ")]
    return [(line, meant) for line, _, meant in rows]


@pytest.mark.parametrize(("line", "meant"), _rows(WHILE_CUTTING))
def test_a_line_written_while_cutting_is_understood(line: str, meant: str) -> None:
    understood = understand(line, CUTTING, NOW)
    assert understood.problems == ()
    assert describe(understood, PRAIRIE).splitlines()[0] == meant


@pytest.mark.parametrize(("line", "meant"), _rows(NOTHING_CURRENT))
def test_a_line_that_says_enough_needs_no_current_machine(line: str, meant: str) -> None:
    understood = understand(line, FARM, NOW)
    assert understood.problems == ()
    assert describe(understood, PRAIRIE).splitlines()[0] == meant


def test_the_table_is_as_long_as_it_says() -> None:
    """A row lost to a slip in the table would otherwise pass unseen."""
    assert (len(_rows(WHILE_CUTTING)), len(_rows(NOTHING_CURRENT))) == (229, 8)
