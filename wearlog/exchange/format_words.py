"""The words of docs/import-format.md that are the same for every sheet, and a small farm as an example."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

INTRODUCTION: Final = """\
# The import format

`wearlog import PATH` reads a folder of CSV files, one CSV file, or a workbook (.xlsx). `wearlog export FOLDER` writes the same
format, `wearlog export FILE.xlsx` as one workbook with a worksheet for each sheet, which `wearlog import` reads again.
Notebooks with columns of any name come in by `wearlog notebook`. This page is made from the program's own list of sheets.

## Files
- One CSV file for each sheet, called like the sheet (`run.csv`; `runs.csv` will do), or one worksheet of that name in a workbook.
  Any number of sheets may be missing. Other files in the folder are passed over; a CSV file of another name is mentioned.
- The first row that is not empty holds the headings, in any order and any case. `Area (acres)` is as good as `area_ac`. An unknown
  heading is a problem, so that no column is lost in silence.
- Separated by commas, semicolons or tabs. UTF-8, UTF-16 with its mark, or Windows-1252. Blank lines and empty columns at the end do
  no harm.
- All or nothing: every problem is listed with file, line and column, and while there is one nothing is imported.

## Numbers and units
- The unit stands at the end of the heading: `area_ac` or `area_ha`, `shown_h`, `cut_width_ft`. A column may stand twice in
  different units (`shown_h` and `shown_ac`); then each row fills one of them.
- Files with commas between the cells have decimal points: 1234.5 or "1,234.5". Files with semicolons or tabs have decimal commas:
  1234,5 or 1.234,5. If such a file has points all through, they are taken as decimal points. What could be read in two ways a
  thousand apart is refused.
- A cell may say its own unit, as after a command, where it measures the same thing as the heading's: `48.5 ha` under `area_ac`,
  `40 ft` or `19 7/8 in` under a length, `90 min` or `1 h 20 min` under hours. An age may be `new` or `unknown`,
  or be told roughly: `about 3 seasons` by what the machine runs a season by the log (else a usual one), `since new` by what its
  counter had run when the part was noted. The import says what it took; the log keeps that figure, also when the file comes again.
- In columns of hours 1:30 is an hour and a half. Money is in the farm's currency. No number is below 0.

## Times
- `2025-07-28 16:20`, by the farm's clock (the setting `time_zone`), or with an offset: `2025-07-28 16:20-05:00` or
  `2025-07-28 21:20Z`. Seconds may follow the minutes. `jul 28 2025 4:20 pm` will do as well; `7/28/2025` is refused, and so
  is what would be another day when the file is read again: `yesterday`, a day without its year.
- A day alone will do where nobody wrote the hour: `2025-07-28` means the start of that day under `started`, `fitted`, `from`, `to`,
  `removed` and `opened`, the end of it under `ended` and `closed`, and noon under `at`.
- An hour that the clock skipped in spring is a problem; of an hour that it showed twice in autumn the first is taken.
- In a workbook a time at midnight cannot be told from a day alone.

## How rows are named
- A machine, field, crop or kind of part goes by its name, a part by its number, a season by its harvest year. A component, meter,
  service or node goes by its own name and the column `machine`; without `machine` when only one machine has it.
- Every sheet may have a column `key`: any label that is the row's own in that sheet for good, such as `R-2025-3`. Repairs,
  breakages and faults are named by it. Wherever a row is named, its key will do.
- A beginning that no other name of the sheet has will do, as after a command (`Jun`), and for a kind of part the words that people
  call it (`sickle section`). The import says which row it took.
- Text that begins with = + - or @ is written with an apostrophe before it, so that no spreadsheet reckons with it; the reader takes
  it off again.

## What need not be written
- A breakage whose part was `replaced` ends the fitting at that position and begins a new one, without a row in the sheet fitting.
  A row that fits a part there within a day is taken for it. For a component that is in the log already, have its rows of the sheet
  fitting in the same folder, too: without them its fittings are left as they are.
- A fitting or a hitch without an end lasts until the next one at its place.
- Rows with a key that the program gave (a UUID) are taken as they stand.

## Importing again
- Importing the same file again changes nothing. A row is known again by its key, else by its name, else by the columns marked
  "same row" (rows that agree in all of them are told apart by their order). Rows that are new are added.
- A row that is there already and says something else now is refused, unless `--replace` says that the file is right.
- A heading that is left out leaves alone what the log holds there, so an older export comes in again; an empty cell under a heading
  empties it.
"""


#: sheet -> what its rows are, in a sentence
HOLDS: Final = MappingProxyType(
    {
        "setting": "The farm's own figures: rates, prices, units, clock.",
        "person": "Who works on the farm, for the repairs, services and visits that they did.",
        "machine": "Combines, headers and what else is kept in order.",
        "hitch": "Which header was on which combine, from when to when.",
        "meter": "The meters that a machine has.",
        "reading": "What a meter showed, and when.",
        "field": "The land, with its area and its ground.",
        "crop": "What grows, with its test weight.",
        "season": "From which day to which a harvest year goes.",
        "run": "What was cut: when, where, how much, by which combine.",
        "part_kind": "Kinds of part: the words for them, how long they last, their limits.",
        "part": "Parts as they are ordered: number, price, how many to keep.",
        "part_fit": "Which part is of which kind, or fits one machine alone.",
        "component": "What sits on a machine, and how many positions it has.",
        "fitting": "Which position was fitted when, how old it was, when it came off.",
        "repair": "Work on a machine, own or hired: breakdown, planned, overhaul.",
        "breakage": "What broke, where, by what, and what was done.",
        "measurement": "Wear as it was measured.",
        "stoppage": "When a machine stood, and why.",
        "service_item": "What is to be serviced, and how often.",
        "service_done": "Services as they were done, with time and cost.",
        "supplier": "Where parts are bought: how far, by which phone.",
        "supplier_hours": "When a supplier is open, a row a day.",
        "supply": "What a supplier asks for a part, and how long it says that takes.",
        "supply_asked": "Whether a supplier had a part when somebody asked.",
        "part_order": "Parts on order; what came of them stands in stock_move.",
        "warranty_claim": "Claims for parts that failed within their terms, and what was paid.",
        "stock_move": "Parts that came, were used, brought back or counted.",
        "circuit_node": "Fuses, relays, plugs, loads and grounds of a machine's wiring.",
        "circuit_edge": "Which of them is wired to which.",
        "circuit_cut": "What one machine lacks of the diagram that its type shares.",
        "fault": "Electrical faults, open and past.",
        "fault_visit": "Stretches of work on a fault, and whether it was there then.",
        "fault_sign": "What was seen of a fault: dead, working, a code.",
        "fault_check": "What was checked while a fault was looked for.",
        "fault_finding": "What a fault was, and how it was put right.",
        "fault_opening": "What was undone on the machine for a fault, and when it was put back.",
        "calibration": "Sensors held against a scale or a tape.",
        "loss_check": "Kernels counted on the ground.",
        "moisture_sample": "Moisture by the farm's tester and by the elevator.",
        "season_plan": "A plan for a season: its money and its shop hours.",
        "planned_area": "What is to be cut in a plan, and on which ground.",
        "plan_choice": "What was decided by hand in a plan: replace or run.",
    }
)

#: a farm in six sheets; the tests import it
EXAMPLE_FILES: Final = MappingProxyType(
    {
        "machine.csv": """\
name,kind,cut_width_ft
Juniper,combine,
Plover,header,35
""",
        "field.csv": """\
name,area_ac,ground
Long Bench,846.5,stony
""",
        "component.csv": """\
machine,part_kind,place,positions
Plover,knife section,knife sections,140
""",
        "fitting.csv": """\
machine,component,position,fitted,age_when_fitted_ac
Plover,knife sections,1-140,2024-03-10,0
""",
        "run.csv": """\
combine,header,field,started,ended,area_ac
Juniper,Plover,Long Bench,2024-07-22 10:30,2024-07-22 21:15,131.5
Juniper,Plover,Long Bench,2024-07-23 11:00,2024-07-23 20:40,118
""",
        "breakage.csv": """\
machine,component,positions,at,cause,mode,action,note
Plover,knife sections,"41-43, 50",2024-07-22 16:20,impact,broken,replaced,rock in the draw
""",
    }
)
