"""The page docs/import-format.md, made from the sheets themselves so that it cannot say anything else than the reader does."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from wearlog.exchange.columns import (
    SENSOR_UNITS,
    UNITS,
    By,
    Form,
    LoneDay,
    Measure,
    SheetColumn,
    heading_with,
    written_unit,
)
from wearlog.exchange.format_words import EXAMPLE_FILES, HOLDS, INTRODUCTION
from wearlog.exchange.headings import helpers_of
from wearlog.exchange.sheets import SHEETS
from wearlog.facts.closed_lists import Action, Cause, MeterKind, Mode
from wearlog.logbook.said.choices import words_for

_FORM_WORDS: Final = MappingProxyType(
    {
        Form.TEXT: "text",
        Form.COUNT: "whole number",
        Form.AREA: "area",
        Form.DURATION: "duration",
        Form.USAGE: "hours or area, as the meter counts",
        Form.AGE: "hours or area, as the meter counts",
        Form.LENGTH: "length",
        Form.MASS: "mass",
        Form.MASS_PER_AREA: "yield; bushels need the crop and its bushel",
        Form.MONEY: "money",
        Form.IMPACTS: "breakages",
        Form.THOUSANDTHS: "number, up to 3 decimals",
        Form.HUNDREDTHS: "per cent, up to 2 decimals",
        Form.SHARE: "per cent, up to 4 decimals",
        Form.MILLIONTHS: "number, up to 6 decimals",
        Form.MILLIMETRES: "length of a wire",
        Form.DISTANCE: "distance by road",
        Form.CLOCK: "time of day",
        Form.WEEKDAY: "day of the week, or its first letters",
        Form.AMPERES: "amperes",
        Form.PER_FT2: "kernels on the ground",
        Form.SENSOR: "amount in a unit of the sensor",
        Form.INSTANT: "time",
        Form.DAY: "day",
        Form.FLAG: "yes or no; empty = no",
        Form.WORDS: "words, separated by commas",
        Form.POSITIONS: "positions from 1 at the left",
    }
)
_FORM_EXAMPLES: Final = MappingProxyType(
    {
        Form.TEXT: "bolts were loose",
        Form.COUNT: "3",
        Form.AREA: "141.5",
        Form.DURATION: "0.75",
        Form.USAGE: "2310.4",
        Form.AGE: "unknown",
        Form.LENGTH: "35",
        Form.MASS: "60",
        Form.MASS_PER_AREA: "2350",
        Form.MONEY: "16.85",
        Form.IMPACTS: "1.5",
        Form.THOUSANDTHS: "2.5",
        Form.HUNDREDTHS: "14.2",
        Form.SHARE: "1.5",
        Form.MILLIONTHS: "12.4",
        Form.MILLIMETRES: "3.5",
        Form.DISTANCE: "12",
        Form.CLOCK: "07:30",
        Form.WEEKDAY: "Monday",
        Form.AMPERES: "15",
        Form.PER_FT2: "42",
        Form.SENSOR: "5940",
        Form.INSTANT: "2025-07-28 16:20",
        Form.DAY: "2025-01-01",
        Form.FLAG: "yes",
        Form.WORDS: "section, sickle section",
        Form.POSITIONS: "41-43, 50",
    }
)
#: where the example of the form would mislead
_EXAMPLES: Final = MappingProxyType(
    {
        "machine.name": "Juniper",
        "person.name": "Sam",
        "person.short": "s",
        "breakage.seen_whole": "2025-07-28 12:30",
        "fault_visit.ended": "2025-07-29 11:20",
        "fault_opening.put_back": "2025-07-29 11:15",
        "crop.seed_g_per_1000": "38",
        "part.warranty": "400",
        "part.warranty_months": "12",
        "service_item.first_interval": "50",
        "circuit_node.pins": "A3",
        "circuit_node.photo": "plug-behind-seat.jpg",
        "circuit_node.splice_place": "under the floor plate",
        "circuit_node.wire_colour": "green",
        "circuit_node.wire_number": "217",
        "circuit_node.wire_gauge": "16",
        "fault.worked_on": "new lamp fitted",
        "fault_check.place": "pin 2",
        "field.name": "Long Bench",
        "crop.name": "durum",
        "part_kind.name": "knife section",
        "part.name": "knife section",
        "service_item.name": "engine oil",
        "circuit_node.name": "Fuse 5",
        "circuit_node.place": "cab, right side",
        "supplier.name": "Hollow Road Parts",
        "supplier_hours.closes": "17:30",
        "season_plan.name": "winter list",
        "season_plan.budget": "6000",
        "component.positions": "140",
        "measurement.position": "1",
        "season.ends": "2026-01-01",
        "hitch.to": "2025-09-10 15:00",
        "fitting.removed": "2026-02-14",
        "run.ended": "2025-07-28 21:05",
        "stoppage.ended": "2025-07-28 17:10",
        "repair.ended": "2025-07-28 17:05",
        "fault.closed": "2025-07-29",
        "calibration.sensor": "yield_load",
        "measurement.measured": "19.66",
        "part_kind.new": "19.56",
        "part_kind.limit": "20.15",
        "part_kind.pitch": "1.63",
        "part_kind.pitches": "12",
        "part_kind.life_low": "1500",
        "part_kind.life_high": "8000",
        "service_item.interval": "250",
        "service_item.interval_months": "12",
        "lead_time_days": "2",
        "pack_size": "25",
        "keep_on_hand": "20",
        "discharge_width": "60",
        "number": "Q-1010",
        "place": "knife sections",
        "setting": "time_zone",
        "content": "America/Chicago",
        "harvest_year": "2025",
        "words": "section, sickle section",
        "model_year": "2012",
        "list_price": "540000",
        "supplier": "Hollow Road Parts",
        "circuit": "lights",
        "title": "left work light dead",
        "fix": "new connector",
        "expected": "12 V at the plug",
        "measured": "0.3 V",
        "spn": "168",
        "positions": "41-43, 50",
        "machine": "Juniper",
        "combine": "Juniper",
        "header": "Plover",
        "field": "Long Bench",
        "crop": "durum",
        "part_kind": "knife section",
        "part": "Q-1010",
        "component": "knife sections",
        "meter": "separator_hours",
        "season": "2025",
        "plan": "winter list",
        "service": "engine oil",
        "node": "Fuse 5",
        "from_node": "Battery",
        "to_node": "Fuse 5",
        "repair": "R-2025-3",
        "breakage": "B-2025-7",
        "fault": "F-2025-1",
    }
)
_POINTER_WORDS: Final = MappingProxyType(
    {
        By.NAME: "names a row of `{}`",
        By.KEY: "key of a row of `{}`",
        By.METER: "which meter of the machine",
        By.COMPONENT: "place of a component of the machine",
        By.SERVICE: "name of a service of the machine",
        By.NODE: "name of a node of the machine",
        By.SHARED_NODE: "name of a shared node of the machine's type",
        By.PLAN: "name of a plan of the season; empty for a plan without a name",
    }
)
_LONE_DAYS: Final = MappingProxyType({LoneDay.FIRST: "its start", LoneDay.NOON: "its noon", LoneDay.LAST: "its end"})


def format_page() -> str:
    """Return the page as Markdown."""
    return "\n".join(
        [
            INTRODUCTION,
            *_example_farm(),
            "## Sheets",
            *_table_of_units(),
            *_table_of_words(),
            *(line for name in SHEETS for line in _sheet(name)),
        ]
    )


def _example_farm() -> Iterator[str]:
    yield "## A small farm\n"
    yield "Every new log knows the kind of part `knife section`; a kind that it does not know goes into the sheet part_kind.\n"
    for name, content in EXAMPLE_FILES.items():
        yield f"`{name}`\n\n```\n{content}```\n"
    yield "With these files in a folder `notebook`:\n"
    yield "    wearlog import notebook/ --dry-run"
    yield "    wearlog import notebook/"
    yield "    wearlog export all-of-it/"
    yield "    wearlog export all-of-it.xlsx\n"


def _table_of_units() -> Iterator[str]:
    yield ""
    yield "Under *needed*: yes = every row has it; name = the row's own name; same row = a row without a key is known by it."
    yield ""
    yield "Units that may end a heading:"
    yield ""
    for form, units in UNITS.items():
        named = [f"`_{unit}`" for unit in units if unit]
        if named and form not in (Form.AGE, Form.SENSOR):
            yield f"- {_FORM_WORDS[form]}: {', '.join(named)}"
    for sensor, units_of_sensor in SENSOR_UNITS.items():
        yield f"- sensor {str(sensor).replace('_', ' ')}: {', '.join(f'`_{unit}`' for unit in units_of_sensor)}"


def _table_of_words() -> Iterator[str]:
    yield ""
    yield "A cause, a mode or an action may be written in any word that the plain line reads for it:"
    yield ""
    for what, closed_list in (("cause", Cause), ("mode", Mode), ("action", Action)):
        for value, words in words_for(closed_list).items():
            if words:
                yield f"- {what} {value}: {', '.join(words)}"


def _sheet(name: str) -> Iterator[str]:
    from wearlog.exchange.headings import NAME_FIELDS, OWN_FIELDS

    columns = SHEETS[name]
    own = OWN_FIELDS.get(name, ())
    yield f"\n### {name}\n"
    yield f"{HOLDS[name]}\n"
    yield "| heading | needed | what stands there | example |"
    yield "|---|---|---|---|"
    headings = [column.heading for column in columns]
    for helper in helpers_of(columns):
        if helper not in headings:
            yield f"| `{helper}` | | says whose {_helped(columns, helper)} is meant | {_EXAMPLES[helper]} |"
    for column in columns:
        needed = "yes" if column.needed else ""
        marks = [
            needed,
            "name" if column.field in NAME_FIELDS.get(name, ()) else "",
            "same row" if column.field in own else "",
        ]
        yield f"| {_headings(column)} | {', '.join(filter(None, marks))} | {_meaning(column)} | {_example(name, column)} |"


def _helped(columns: tuple[SheetColumn, ...], helper: str) -> str:
    wanted = (By.PLAN,) if helper == "season" else (By.METER, By.COMPONENT, By.SERVICE, By.NODE)
    return " or ".join(column.heading for column in columns if column.by in wanted)


def _headings(column: SheetColumn) -> str:
    """Return the heading in the units that the program writes; the others are listed above the sheets."""
    written = dict.fromkeys(
        written_unit(column, system, measure)
        for system in ("us", "metric")
        for measure in (Measure(meter=MeterKind.ENGINE_HOURS), Measure(meter=MeterKind.AREA))
    )
    more = ", or with a unit" if column.form is Form.SENSOR else ""
    also = f", `{column.also}`" if column.also else ""
    return ", ".join(f"`{heading_with(column, unit)}`" for unit in written) + more + also


def _meaning(column: SheetColumn) -> str:
    if column.form is Form.POINTER and column.by is not None:
        said = _POINTER_WORDS[column.by].format(column.target)
    elif column.closed_list is not None:
        said = _values(column.closed_list, several=column.form is Form.SEVERAL)
    else:
        said = _FORM_WORDS[column.form]
    if column.form is Form.INSTANT:
        said = f"time; a day alone is {_LONE_DAYS[column.lone_day]}"
    if column.meaning and column.form is Form.TEXT:
        return column.meaning
    return f"{column.meaning}; {said}" if column.meaning else said


def _values(closed_list: type[StrEnum], *, several: bool) -> str:
    how = "any of, separated by commas" if several else "one of"
    return f"{how}: {', '.join(closed_list)}"


def _example(name: str, column: SheetColumn) -> str:
    if column.closed_list is not None:
        values = list(column.closed_list)
        return ", ".join(values[:2]) if column.form is Form.SEVERAL else str(values[0])
    plain = column.heading if column.form is not Form.LENGTH or column.heading == "discharge_width" else ""
    return _EXAMPLES.get(f"{name}.{column.heading}") or _EXAMPLES.get(plain) or _FORM_EXAMPLES.get(column.form, "")


if __name__ == "__main__":
    print(format_page(), end="")
