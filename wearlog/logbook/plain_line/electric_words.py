"""What people call electrical things and what these do, for a line that tells of a fault. Data: phrases, parted by strokes."""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import Condition, SignKind
from wearlog.logbook.plain_line.said_table import listed_in


def _table(*rows: tuple[SignKind, str]) -> tuple[tuple[SignKind, list[str]], ...]:
    return tuple((sign, listed_in(text)) for sign, text in rows)


_THINGS: Final = listed_in(
    """
    fuse | fuses | relay | light | lights | lamp | lamps | headlights | beacon | strobe | work light | work lights |
    unload light | stubble light | stubble lights | head light | head lights | flasher | hazards | brake light | yield monitor |
    monitor | screen | display | terminal | camera | gps | autosteer | auto steer | guidance | horn | wiper | wipers |
    cab fan | blower | heater | radio | air con | air conditioning | alternator | reel speed | reel lift |
    reel fore aft | header height | header lift | height control | auto height | header tilt | tilt | loss sensor |
    loss sensors | sensor | sensors | height sensor | yield sensor | moisture sensor | wire | wires | plug | connector
    | switch | joystick | solenoid | header fuse | header plug | charging light | warning light | oil light |
    seat switch | key switch | ignition | ground wire | ground strap | tank sensor | full sensor | bin sensor |
    grain tank sensor | monitor screen | console | module | controller | speed sensor | rotor speed | fan speed |
    separator switch | header switch | unload switch | auger swing | unload swing | feeder reverser | reel control |
    header control | hydro handle | starter | dash | gauge | fuel gauge | temp gauge | tach | tachometer | buzzer |
    beeper | alarm | warning | wiring | harness | antenna | receiver | backup camera | rear camera | cab light |
    cab lights | dome light | turn signal | signals | power outlet | lighter socket | compressor clutch |
    fuel pump relay | header sensor | knife speed | draper speed
    """
)
#: how people call a thing -> how the line says it back
THINGS: Final[dict[str, str]] = {
    **dict.fromkeys(_THINGS, ""),
    "shaft speed": "shaft speed sensor",
    "crank": "starter",
    "no crank": "starter",
    "wont crank": "starter",
    "won't crank": "starter",
    "will not crank": "starter",
    "does not crank": "starter",
    "doesnt crank": "starter",
    **dict.fromkeys(listed_in("wont start | won't start | will not start | does not start | doesnt start"), "starter"),
}
#: a thing by itself says that the line is of a fault; the others only where the farm has no such part there
ONLY_ELECTRIC: Final = frozenset(
    listed_in(
        """
        alarm | autosteer | beacon | beeper | buzzer | camera | crank | fuse | fuses | gauge | gps | horn | lamp |
        lamps | light | lights | monitor | no crank | radio | relay | strobe | wiper | wipers | yield monitor
        """
    )
)
SIGNS: Final = _table(
    (
        SignKind.DEAD,
        """
        not working | doesnt work | does not work | wont work | will not work | not work | isnt working |
        stopped working | dead | went out | is out | out | reads zero | reads 0 | zero | blank | went blank | no power
        | no signal | nothing happens | no response | went dead | quit | quit working | wont come on |
        will not come on | stays off | wont turn on | no reading | reads nothing | no picture | burnt out | burned out
        | no crank | wont crank | will not crank | does not crank | doesnt crank | wont lift | will not lift |
        wont raise | will not raise | wont move | will not move | wont start |
        will not start | does not start | doesnt start | not charging | not reading | no lights
        | black | dark | shows nothing | dont work | do not work | wont go up | wont go down | wont engage | no sound | failed |
        fails | not coming on | went black
        """,
    ),
    (
        SignKind.ERRATIC,
        """
        flickers | flickering | flicker | jumps around | jumps | jumping around | cuts out | cutting out | cut out |
        intermittent | comes and goes | on and off | erratic | goes black | goes blank | quits when | quits | blinks |
        shorted | shorted out | shorting | shorts
        | going off | goes off | false alarm | surges | reads high | reads low | reads wrong | acting up | acts up |
        glitchy | now and then | sometimes | drops out | in and out | bounces | hunting | jumpy | drifts |
        all over the place | works sometimes | comes on | keeps coming on | beeps | beeping | goes dead | goes out |
        loses signal | twitches
        """,
    ),
    (
        SignKind.WEAK,
        """
        dim | weak | slow to | too slow | is slow | faint | turns slow
        """,
    ),
    (
        SignKind.STAYS_ON,
        """
        stays on | wont turn off | wont go off | stuck on | will not turn off | always on |
        alarm on | alarm is on | warning on | buzzer on | light on | light is on | lights on | light came on
        """,
    ),
    (
        SignKind.WORKING,
        """
        works now | working now | fixed | works again | working again | fixed itself | back on now | ok now
        | reads again | reads now | charges again | charges now | starts again | starts now
        | fine now | good now | all good now | ok again | fine again | good again | works fine now | works ok now
        | back on again | back working | working fine now | working ok now
        """,
    ),
)
#: of a fuse
BLEW: Final = listed_in(
    "blew | blows | blowing | blown | blew again | keeps blowing | popped | pops | keeps popping | burnt | burned"
)
AT_ONCE: Final = listed_in(
    """
    as soon as | at once | right away | when i switched on | immediately | instantly | the moment | key on |
    straight away | every time i turn | when i turned the key | with key on
    """
)
CONDITIONS: Final = tuple(
    (condition, listed_in(text))
    for condition, text in (
        (Condition.RAIN, "after rain | in the rain | rain | when wet | wet"),
        (Condition.DEW, "dew | in the dew"),
        (Condition.ROUGH_GROUND, "on rough ground | rough ground | over bumps | on bumps | bumps | rough"),
        (Condition.TANK_FULL, "tank full | full tank | with a full tank"),
        (
            Condition.HEADER_RAISED,
            "when i raise the header | header raised | header up | raise the header | raising the header",
        ),
        (Condition.TURNING, "on a turn | on turns | when turning | turning | on the turn | on corners"),
        (Condition.HOT, "when hot | hot | when warm | in the heat"),
        (Condition.COLD, "when cold | cold | in the cold | on cold mornings"),
        (Condition.DUST, "dust | in dust | dusty"),
        (Condition.AFTER_WASH, "after washing | after wash | after a wash"),
    )
)
