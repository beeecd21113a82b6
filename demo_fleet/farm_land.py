"""The invented farm itself: machines, fields, crops, seasons and settings. What happened on it is elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from wearlog.facts.bookkeeping import Setting
from wearlog.facts.closed_lists import Ground, MachineKind
from wearlog.facts.machines import Machine
from wearlog.facts.work import Crop, Field, Season
from wearlog.units import to_stored

from .records import Records

FIRST_YEAR: Final = 2021
LAST_YEAR: Final = 2026
PLANNED_YEAR: Final = 2027
#: the log begins here: nothing earlier is known but ages and meter readings
LOG_BEGINS: Final = date(2021, 3, 1)
#: and the story ends here
STORY_ENDS: Final = date(2026, 11, 20)

COMBINES: Final = ("Juniper", "Tamarack", "Alder")
HEADERS: Final = ("Kestrel", "Merlin", "Plover", "Wren")
WREN_BOUGHT: Final = date(2023, 3, 14)


@dataclass(frozen=True, slots=True)
class CropPlan:
    """A crop's harvest on this farm: ready on (month, day), usual yield in lb/ac, ground speed in mph, harvest moisture in %."""

    name: str
    bushel_lb: int
    ready: tuple[int, int]
    yield_lb_per_ac: int
    speed_mph: float
    moisture_pct: float
    low_crop: bool


#: in the order of harvest; pulses are cut low, hence slowly
CROPS: Final = (
    CropPlan("field peas", 60, (7, 19), 2300, 3.7, 16.5, low_crop=True),
    CropPlan("lentils", 60, (7, 30), 1450, 3.3, 13.4, low_crop=True),
    CropPlan("wheat", 60, (8, 9), 2650, 4.3, 13.6, low_crop=False),
    CropPlan("canola", 50, (9, 2), 1900, 4.4, 8.9, low_crop=False),
)

#: name, acres, ground
FIELDS: Final = (
    ("Long Bench", "846.5", Ground.FEW_STONES),
    ("Creek Bottom", "702.0", Ground.CLEAN),
    ("Stone Pile", "655.4", Ground.VERY_STONY),
    ("Old Windmill", "911.2", Ground.CLEAN),
    ("Schoolhouse", "788.0", Ground.STONY),
    ("North Quarter", "634.8", Ground.FEW_STONES),
    ("Tin Shed", "742.6", Ground.STONY),
    ("Gravel Pit", "598.3", Ground.VERY_STONY),
    ("Homeplace", "817.9", Ground.CLEAN),
    ("Coulee", "696.1", Ground.FEW_STONES),
    ("Knuckle Ridge", "721.7", Ground.STONY),
    ("Far Eighty", "885.5", Ground.FEW_STONES),
)

#: name, kind, width ft, model year, list price, bought, note
_MACHINES: Final = (
    ("Juniper", MachineKind.COMBINE, None, 2014, 540000, date(2016, 2, 20), "bought with 610 separator hours"),
    ("Tamarack", MachineKind.COMBINE, None, 2017, 585000, date(2018, 3, 5), ""),
    ("Alder", MachineKind.COMBINE, None, 2010, 470000, date(2013, 1, 28), "the old one"),
    ("Kestrel", MachineKind.HEADER, 40, 2017, 112000, date(2018, 3, 5), "draper, double guards"),
    ("Merlin", MachineKind.HEADER, 40, 2018, 115000, date(2019, 4, 2), "draper, single guards"),
    ("Plover", MachineKind.HEADER, 30, 2010, 64000, date(2013, 1, 28), "auger platform, single guards"),
    (
        "Wren",
        MachineKind.HEADER,
        30,
        2015,
        88000,
        WREN_BOUGHT,
        "draper, double guards; bought used, hours and acres unknown",
    ),
)

_SETTINGS: Final = (
    ("farm_name", "Quillfeather Farm (invented)"),
    ("currency", "USD"),
    ("units", "us"),
    ("time_zone", "America/Chicago"),
    ("seed of wheat", "hard red"),
    ("seed of lentils", "red"),
    ("labour_rate", "26.00"),
    ("downtime_value_per_hour", "340.00"),
    (
        "downtime_value_source",
        "Timeliness: 0.5 % of the crop lost per day of delay (D497, from memory), 2,000 ac still standing, 40 bu/ac at 6.00, "
        "10 h a day, 7 of 10 days workable: 343 an hour, rounded down.",
    ),
)


def year_start(year: int) -> date:
    """Return the first day of a season."""
    return date(year, 1, 1)


def write_land(records: Records) -> None:
    """Enter settings, machines, fields, crops and seasons."""
    for key, content in _SETTINGS:
        records.add(Setting(id=records.shared_id("setting", key), key=key, content=content))
    for name, kind, feet, model_year, price, bought, note in _MACHINES:
        width = None if feet is None else to_stored(Decimal(feet), "ft")
        records.add(
            Machine(
                id=records.id_of("machine", name),
                name=records.named(name),
                kind=kind,
                cut_width_micrometres=width,
                model_year=model_year,
                list_price_minor=price * 100,
                bought_on=bought,
                note=note,
            )
        )
    for name, acres, ground in FIELDS:
        area = to_stored(Decimal(acres), "ac")
        named = records.named(name)
        records.add(Field(id=records.id_of("field", name), name=named, area_square_metres=area, ground=ground))
    for crop in CROPS:
        bushel = to_stored(Decimal(crop.bushel_lb), "lb")
        records.add(Crop(id=records.shared_id("crop", crop.name), name=crop.name, bushel_grams=bushel))
    for year in range(FIRST_YEAR, PLANNED_YEAR + 1):
        season_id = records.shared_id("season", str(year))
        records.add(Season(id=season_id, harvest_year=year, starts_on=year_start(year), ends_on=year_start(year + 1)))


def width_feet(header: str) -> int:
    """Return a header's width of cut in feet."""
    return next(feet for name, _, feet, *_ in _MACHINES if name == header and feet is not None)
