"""The year of an invented farm, day by day: two people, a laptop in the house, one in the cab, a phone in a pocket."""

from __future__ import annotations

from typing import Final

from tests.year.player import PHONE, Device, Pressed, Scene, Typed, Written

HOUSE: Final = Device("house", "Ana")
CAB: Final = Device("cab", "Joe")
POCKET: Final = Device("phone", "Joe", PHONE)

SCENES: Final = (
    Scene(
        "10 January: what there is",
        "Ana begins the log in the house. The combine has run some seasons; what nobody knows stays unknown, what is known "
        "roughly is told roughly.",
        (
            Typed(
                HOUSE,
                "2026-01-10 09:00",
                "wearlog add combine Curlew --engine 1840 --separator 1310 --price 480000 --year 2019 --services usual --by Ana",
                3,
            ),
            Typed(
                HOUSE,
                "2026-01-10 09:05",
                "wearlog add header Teal --width 35ft --knife 140 --guards 70 --age 'about 2 seasons' --services usual",
                4,
            ),
            Typed(HOUSE, "2026-01-10 09:06", "wearlog hitch teal curlew", 2),
            Typed(
                HOUSE,
                "2026-01-10 09:08",
                "wearlog add component 'feeder chain' --on curlew --kind 'feeder conveyor chain' --age 820",
                2,
            ),
            Typed(
                HOUSE,
                "2026-01-10 09:10",
                "wearlog add component 'rasp bars' --on curlew --kind 'rasp bars' --age unknown",
                2,
            ),
            Typed(HOUSE, "2026-01-10 09:12", "wearlog add field 'long slope' --area 210 --ground stony", 1),
            Typed(HOUSE, "2026-01-10 09:13", "wearlog add field creek --area 340 --ground few_stones", 1),
            Typed(HOUSE, "2026-01-10 09:14", "wearlog add crop wheat --bushel 60lb --price 6.10", 1),
            Typed(HOUSE, "2026-01-10 09:15", "wearlog add season 2026", 1),
            Typed(
                HOUSE,
                "2026-01-10 09:20",
                "wearlog supplier 'Mill Street Parts' --distance 14mi --open 'Mon-Fri 8-17, Sat 8-12' --phone 555-0137",
                2,
            ),
            Typed(
                HOUSE,
                "2026-01-10 09:22",
                "wearlog add part TS-1 --fits 'knife section' --price 4.85 --pack 25 --on-hand 20 --keep 25 "
                "--supplier 'Mill Street Parts'",
                1,
            ),
            Typed(
                HOUSE,
                "2026-01-10 09:23",
                "wearlog add part TG-2 --fits guard --price 21.40 --pack 1 --on-hand 3 --supplier 'Mill Street Parts'",
                1,
            ),
            Typed(
                HOUSE,
                "2026-01-10 09:24",
                "wearlog add part FC-9 --fits 'feeder conveyor chain' --price 940 --supplier 'Mill Street Parts'",
                1,
            ),
        ),
    ),
    Scene(
        "17 January: orders",
        "What the acres to come will take, within 3,000. The order goes out as a workbook.",
        (
            Typed(HOUSE, "2026-01-17 19:00", "wearlog plan make 2026 --budget 3000 --shop-hours 40", 1),
            Typed(HOUSE, "2026-01-17 19:01", "wearlog plan area --field 'long slope' --crop wheat", 1),
            Typed(HOUSE, "2026-01-17 19:02", "wearlog plan area --field creek --crop wheat", 1),
            Typed(HOUSE, "2026-01-17 19:03", "wearlog plan area 900ac --ground few_stones --crop wheat", 1),
            Typed(HOUSE, "2026-01-17 19:05", "wearlog plan", None),
            Typed(HOUSE, "2026-01-17 19:10", "wearlog plan --xlsx order.xlsx", None),
        ),
    ),
    Scene(
        "18 January: the other laptop, and the phone",
        "Everything on a stick. The laptop in the cab and the phone begin their logs with it.",
        (
            Typed(HOUSE, "2026-01-18 10:00", "wearlog pack stick.bundle"),
            Typed(CAB, "2026-01-18 10:05", "wearlog merge stick.bundle --yes"),
            Typed(POCKET, "2026-01-18 10:10", "wearlog merge stick.bundle --yes", 2),
        ),
    ),
    Scene(
        "24 February: the parcel",
        "What was ordered came, all of it.",
        (
            Typed(HOUSE, "2026-02-24 16:00", "wearlog plan receive order.xlsx"),
            Typed(HOUSE, "2026-02-24 16:02", "wearlog stock"),
        ),
    ),
    Scene(
        "11 April: the spring round",
        "Ana prints the sheet of the header, Joe writes on it in the shed, Ana types it in. The stick goes round.",
        (
            Typed(HOUSE, "2026-04-11 08:00", "wearlog sheet before-season teal", 20),
            Typed(HOUSE, "2026-04-11 18:00", "wearlog sheet-in E2F409 '1 ok' '2 12,13 order'"),
            Typed(HOUSE, "2026-04-11 18:05", "wearlog log 'teal new sections 1-20, winter work, 1 h labour' --yes"),
            Typed(HOUSE, "2026-04-11 18:10", "wearlog due --done curlew 'engine oil' --cost 96 --labour '50 min'"),
            Typed(HOUSE, "2026-04-11 18:20", "wearlog pack stick.bundle", 1),
            Typed(CAB, "2026-04-11 18:22", "wearlog merge stick.bundle --yes"),
            Typed(POCKET, "2026-04-11 18:25", "wearlog merge stick.bundle --yes"),
        ),
    ),
    Scene(
        "20 July: the first acre",
        "Joe cuts; a stone comes. He types it on the phone beside the header, and the day's acres on the laptop in the cab.",
        (
            Typed(CAB, "2026-07-20 09:00", "wearlog read curlew engine 1843.5 --by Joe"),
            Pressed(POCKET, "2026-07-20 14:20", ("b", "41-43", "r", "t", "15", "Enter"), ("Saved:",)),
            Typed(CAB, "2026-07-20 21:00", "wearlog cut curlew 92 --field 'long slope' --crop wheat --hours 8.5"),
            Typed(CAB, "2026-07-20 21:05", "wearlog log 'teal 3 sections 41-43 rock, today 14:20, 15 min' --yes"),
        ),
    ),
    Scene(
        "21 July: the stick goes round",
        "Joe told the phone and the laptop of the same stone, so it stands there twice. It is made one.",
        (
            Typed(POCKET, "2026-07-21 06:30", "wearlog pack phone.bundle"),
            Typed(CAB, "2026-07-21 06:32", "wearlog merge phone.bundle --yes"),
            Typed(CAB, "2026-07-21 06:33", "wearlog twins"),
            Typed(CAB, "2026-07-21 06:34", "wearlog join 482913 591022"),
            Typed(CAB, "2026-07-21 06:35", "wearlog twins"),
            Typed(CAB, "2026-07-21 06:36", "wearlog check"),
        ),
    ),
    Scene(
        "22 July: a fuse",
        "The header fuse blows when the header moves. Joe looks where it is told, finds a chafed wire and sleeves it.",
        (
            Typed(CAB, "2026-07-22 07:00", "wearlog faults diagram curlew --start 'combine main harness'", 1),
            Typed(CAB, "2026-07-22 07:00", "wearlog faults diagram curlew --start header", 1),
            Typed(
                CAB,
                "2026-07-22 11:00",
                "wearlog faults open curlew 'header fuse blows' --sign 'header fuse blew on movement'",
                99,
            ),
            Typed(CAB, "2026-07-22 11:02", "wearlog faults tell 1 --others all-fine --present yes --all-conditions"),
            Typed(CAB, "2026-07-22 11:05", "wearlog faults next 1"),
            Typed(CAB, "2026-07-22 11:25", "wearlog faults check 1 wiggle 'feeder harness' good --minutes 5"),
            Typed(
                CAB,
                "2026-07-22 11:45",
                "wearlog faults check 1 look 'header harness' bad --measured 'chafed at the back sheet' --minutes 10",
            ),
            Typed(
                CAB,
                "2026-07-22 12:10",
                "wearlog faults close 1 'header harness' short-to-ground --fix 'sleeved the wire' --evidence seen",
            ),
            Typed(CAB, "2026-07-22 20:30", "wearlog cut curlew 70 --field 'long slope' --crop wheat --hours 7"),
        ),
    ),
    Scene(
        "29 July: rain",
        "Nothing is cut. What to do with five hours in the shed, and what was done.",
        (
            Typed(
                CAB,
                "2026-07-28 21:00",
                "wearlog cut curlew 260 --field creek --crop wheat --hours 24 --from '2026-07-25 10:00'",
            ),
            Typed(CAB, "2026-07-29 07:30", "wearlog rain-day --hours 5"),
            Typed(CAB, "2026-07-29 12:00", "wearlog log 'teal new sections 60-80, 1.5 h labour' --yes"),
            Pressed(CAB, "2026-07-29 15:00", ("f", "A", "f"), ("done",)),
        ),
    ),
    Scene(
        "3 August: a note dictated in the field, and the fuse again",
        "Four lines on the phone come in by the cab's laptop. The fuse blew again: the program knows it.",
        (
            Written(
                "note.txt",
                "aug 3 2026\n"
                "teal guard 12 bent, straightened at 10 am\nteal sections 90-91 rock at 3 pm, 10 min\n"
                "curlew feeder chain rattles\n",
            ),
            Typed(CAB, "2026-08-03 21:00", "wearlog inbox note.txt --yes"),
            Typed(CAB, "2026-08-03 21:10", "wearlog cut curlew 300 --crop wheat --hours 27 --from '2026-07-31 09:00'"),
            Typed(
                CAB,
                "2026-08-03 21:12",
                "wearlog faults open curlew 'header fuse blows' --sign 'header fuse blew on movement' --yes",
                99,
            ),
            Typed(CAB, "2026-08-03 21:15", "wearlog faults trail 2"),
            Typed(
                CAB,
                "2026-08-03 21:40",
                "wearlog faults check 2 look 'header plug' bad --measured 'water in it' --minutes 10",
            ),
            Typed(
                CAB,
                "2026-08-03 22:00",
                "wearlog faults close 2 'header plug' short-to-ground --fix 'dried, new seal' --evidence seen",
            ),
        ),
    ),
    Scene(
        "16 August: the house hears of it",
        "Cab and house swap a stick; both logs are the same then.",
        (
            Typed(HOUSE, "2026-08-16 09:00", "wearlog log 'got 1 box of sections at 121' --yes"),
            Typed(CAB, "2026-08-16 19:00", "wearlog cut curlew 640 --crop wheat --hours 62 --from '2026-08-05 09:00'"),
            Typed(CAB, "2026-08-16 20:00", "wearlog pack cab.bundle"),
            Typed(HOUSE, "2026-08-16 20:05", "wearlog merge cab.bundle --yes"),
            Typed(HOUSE, "2026-08-16 20:06", "wearlog pack stick.bundle", 1),
            Typed(CAB, "2026-08-16 20:10", "wearlog merge stick.bundle --yes"),
            Typed(POCKET, "2026-08-16 20:12", "wearlog merge stick.bundle --yes"),
        ),
    ),
    Scene(
        "5 September: an offer",
        "The dealer asks 395,000 for a combine of 350 hours and allows 190,000 for Curlew.",
        (
            Typed(
                HOUSE,
                "2026-09-05 20:00",
                "wearlog trade curlew --price 395000 --allowance 190000 --list-price 560000 --hours 350 --age 2",
            ),
        ),
    ),
    Scene(
        "7 November: washed and put away",
        "The machine is washed, blown off, greased, its battery taken in.",
        (
            Typed(CAB, "2026-11-07 10:00", "wearlog log 'washed curlew, 4 h labour' --yes", ends=2),
            Typed(CAB, "2026-11-07 10:01", "wearlog add repair 'washed and blown off' --on curlew --labour 4h"),
            Typed(CAB, "2026-11-07 12:00", "wearlog log 'greased teal knife head, 1 h labour' --yes"),
            Typed(
                CAB,
                "2026-11-07 12:10",
                "wearlog add repair 'put away: battery in, tank and elevators emptied, mice kept out' --on curlew --labour 3h",
            ),
            Typed(CAB, "2026-11-07 13:00", "wearlog read curlew engine 2011"),
            Typed(CAB, "2026-11-07 14:00", "wearlog sheet after-season teal", 20),
            Typed(CAB, "2026-11-07 17:00", "wearlog pack cab.bundle", 1),
            Typed(HOUSE, "2026-11-07 18:00", "wearlog merge cab.bundle --yes"),
        ),
    ),
    Scene(
        "30 December: the year for the accountant",
        "What the year cost, by machine and by subsystem, and for the accountant as a workbook; every entry behind it as sheets. "
        "The copy of the log is for the drawer.",
        (
            Typed(HOUSE, "2026-12-30 10:00", "wearlog cost --season 2026"),
            Typed(HOUSE, "2026-12-30 10:05", "wearlog cost --by subsystem --season 2026"),
            Typed(HOUSE, "2026-12-30 10:06", "wearlog cost --by crop --season 2026 --save year.xlsx"),
            Typed(HOUSE, "2026-12-30 10:12", "wearlog export out"),
            Typed(HOUSE, "2026-12-30 10:15", "wearlog backup farm-2026.db"),
        ),
    ),
)
