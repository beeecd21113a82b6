"""The ten stories, each walked on the screens by keys alone or by the mouse alone, on the demo fleet or on a log begun empty.

A story is a function of the walker and its stage: it plays from the yard to where the story ends, and fails where the screens do
not lead on. What somebody would have on a stick or in a pocket (a notebook, a note, the other cab's log) is laid beside the log
before.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from tests.e2e.terminal import ROOT
from tests.walks.walker import Walker

#: six in the evening of the day on which the demo fleet's story ends, by this machine's clock
AUTUMN: Final = datetime(2026, 11, 20, 18, 0, tzinfo=UTC)
FEBRUARY: Final = datetime(2027, 2, 10, 17, 0, tzinfo=UTC)
WET_MORNING: Final = datetime(2027, 7, 29, 13, 0, tzinfo=UTC)
HARVEST: Final = datetime(2026, 8, 13, 20, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Stage:
    """Where a story plays: its log, when, and the names of a header with a knife and of a combine there."""

    folder: Path
    log: Path
    on_demo: bool
    header: str
    combine: str


def lays_nothing(stage: Stage) -> None:
    """Most stories need nothing beside the log."""


@dataclass(frozen=True)
class Story:
    """A story: its number and name, how it is played, and the logs and the moment on which it is."""

    number: int
    name: str
    play: Callable[[Walker, Stage], None]
    on_demo: datetime | None = AUTUMN
    on_own: datetime | None = HARVEST
    #: it begins without a log
    from_nothing: bool = False
    lays: Callable[[Stage], None] = lays_nothing


# -- 1: at the header ------------------------------------------------------------------------------------------------


def at_the_header(walk: Walker, stage: Stage) -> None:
    """A section breaks: logged, on the strip, off the shelf, undone."""
    walk.does("b", "breakage")
    walk.reads_cautions()
    walk.sees("Enter saves:")
    before = walk.count.keys
    if walk.by_keys:
        walk.types("41-43")
        walk.sees("41-43")
    else:
        for _ in range(6):
            if "section 41" in walk.settles():
                break
            # one click more goes to the next of those that share a cell
            walk.click_at(*cell_of(walk, 41))
    walk.chooses("r", "r rock")
    walk.sees("broken by impact, replaced")
    walk.saves()
    shown = walk.sees("Saved:", "broken by impact, replaced")
    assert before <= walk.count.keys
    walk.marked("logged")
    assert "left" in shown if stage.on_demo else True
    walk.area("7", "Stock")
    walk.settles()
    walk.area("2", "Machine")
    walk.settles()
    walk.does("u", "undo")
    walk.sees("undid:", "broken by impact")


def cell_of(walk: Walker, position: int) -> tuple[int, int]:
    """Return where a position stands on the bar of the cutterbar, column and line from 0."""
    lines = walk.lines()
    to_a_mark = re.search(r"(\d+) to a mark", " ".join(lines))
    per = int(to_a_mark[1]) if to_a_mark else 1
    number, line = next((n, one) for n, one in enumerate(lines) if one.startswith(" broke "))
    first = len(line) - len(line.removeprefix(" broke").lstrip())
    return first + (position - 1) // per, number


# -- 2: February -----------------------------------------------------------------------------------------------------


def in_february(walk: Walker, stage: Stage) -> None:
    """The plan within 6,000; a rebuild put in and out; the order as a workbook and the page to print."""
    walk.area("6", "Plan")
    walk.settles()
    if not stage.on_demo:
        plan_an_area(walk)
        walk.does("l", "limits")
        walk.sees("MONEY AND SHOP HOURS")
        walk.field("Money", 0)
        walk.types("6000")
        walk.saves()
        walk.sees("Saved:")
    if not stage.on_demo:
        walk.settles()
        # nothing pays yet by the guesses: m shows also what is best run on
        walk.does("m", "more")
        walk.settles()
    walk.goes_to("Merlin knife sections" if stage.on_demo else "Kestrel rasp bars")
    walk.marked("read")
    walk.does("Space", "replace/run")
    # a phone has no room for how many: the row that was chosen has its mark
    walk.sees("1 not saved" if walk.wide > 46 else "by hand *")
    walk.does("Ctrl+S", "save")
    walk.sees("Saved: the plan for 2027")
    walk.settles()
    writes(walk, "workbook", "order-2027.xlsx")
    writes(walk, "page", "plan-2027.html")
    walk.does("u", "undo")
    walk.sees("undid: the plan for 2027")
    assert (stage.folder / "order-2027.xlsx").exists()
    assert (stage.folder / "plan-2027.html").exists()


def plan_an_area(walk: Walker, area: str = "2400") -> None:
    """The first area of a plan, on a log that has none."""
    walk.does("a", "add")
    walk.sees("ADD AN AREA TO CUT")
    walk.field("Area to cut", 0)
    walk.types(area)
    walk.saves()
    walk.sees("Saved:")
    walk.settles()


# -- 3: a fault --------------------------------------------------------------------------------------------------------


def a_fault_again(walk: Walker, stage: Stage) -> None:
    """A fuse blows once more: what is seen is ticked, the checks are done in their order, found, closed, its trail read."""
    walk.area("4", "Faults")
    walk.settles()
    if stage.on_demo:
        walk.goes_to("header fuse blows when the header moves")
    else:
        draw_circuits(walk)
    walk.does("a", "open a fault")
    walk.sees("OPEN AN ELECTRICAL FAULT")
    dead = ("Reel lift valve", "Stubble lights") if stage.on_demo else ("Left work light", "Right work light")
    walk.sees("[ ] Auger swing valve")
    if not walk.by_keys:
        walk.field("What happens")
    walk.types("header fuse blows" if stage.on_demo else "work lights dead")
    ticks(walk, dead)
    walk.saves()
    walk.sees("BEFORE YOU TOUCH IT")
    reads_whole_page(walk)
    walk.marked("first check")
    checks_until_found(walk)
    # its trail comes by itself
    walk.sees("Saved: closed")
    walk.sees("EVERY TIME")
    walk.settles()


def draw_circuits(walk: Walker) -> None:
    """Put the starting diagram of a combine on: p, F3, Ctrl+S."""
    walk.does("p", "circuits")
    walk.sees("starting diagram")
    walk.does("F3", "starting diagram")
    walk.sees("Battery")
    walk.does("Ctrl+S", "save")
    walk.sees("Saved:")
    walk.settles()


def ticks(walk: Walker, dead: tuple[str, ...]) -> None:
    """Tick what is dead in the list of what was seen."""
    if not walk.by_keys:
        for name in dead:
            wind_to(walk, f"[ ] {name}")
            walk.click(f"[ ] {name}", nth=0)
            walk.sees(f"[x] {name}")
            walk.settles()
        return
    walk.press(*["Tab"] * (2 if any(line.startswith(" Circuit ") for line in walk.lines()) else 1))
    here = 0
    for name in dead:
        names = names_to_tick(walk)
        for _ in range(40):
            if name in names:
                break
            # below what is in view: the list winds on with the cursor
            walk.press("Right")
            walk.settles()
            here += 1
            names = sorted({*names, *names_to_tick(walk)})
        place = sorted(names).index(name)
        walk.press(*["Right"] * (place - here), "d")
        walk.sees(f"[x] {name}")
        here = place


def names_to_tick(walk: Walker) -> list[str]:
    """Return what there is to tick, as far as it is in view, in the order of the arrows."""
    return re.findall(r"\[.\] ([A-Z][\w -]*?)(?=  |$)", "\n".join(line.rstrip() for line in walk.lines()), re.MULTILINE)


def wind_to(walk: Walker, words: str) -> None:
    """Turn the wheel until the words are in view."""
    for _ in range(20):
        if any(words in line for line in walk.lines()):
            return
        walk.winds()


def reads_whole_page(walk: Walker) -> None:
    """Read the cautions of a fault to their end: Enter turns the page, the last Enter says that all of it is read."""
    for _ in range(8):
        if "BEFORE YOU TOUCH IT" not in walk.settles():
            return
        walk.does("Enter", "I have read it")
    raise AssertionError(walk.terminal.screen())


def checks_until_found(walk: Walker) -> None:
    """Note the first check as it is proposed, look at the second, then close the fault at its likeliest place."""
    walk.settles()
    walk.does("Enter", "open")
    walk.sees_one_of("DOES THIS ALSO WORK", "CHECK AT")
    # nobody has the hand at the mouse before the form stands still
    asked = walk.settles()
    if "DOES THIS ALSO WORK" not in asked:
        # a check with an end, where the cursor stands: it showed nothing
        if walk.by_keys:
            walk.press("Right")
        else:
            walk.picks("That is", 1)
        walk.settles()
        walk.sees("[whole")
    elif walk.by_keys:
        walk.press("w")
    else:
        name = names_to_tick(walk)[0]
        walk.click(f"[ ] {name}", nth=0)
        walk.sees(f"[o] {name}")
    walk.sees("Enter saves:")
    walk.saves()
    walk.sees("Saved:")
    if "BEFORE YOU TOUCH IT" in walk.settles():
        reads_whole_page(walk)
    walk.does("f", "found it")
    walk.sees("CLOSE ", "Enter saves: closed")
    walk.saves()


# -- 4 and 10: the first day -------------------------------------------------------------------------------------------


def the_first_day(walk: Walker, stage: Stage) -> None:
    """From nothing to an answer: one combine, one header, one reading."""
    first_four_pages(walk, stage, metric=False)
    walk.marked("answer")
    walk.area("5", "Wear")
    walk.sees("guess")
    walk.settles()


def first_four_pages(walk: Walker, stage: Stage, *, metric: bool) -> None:
    """The four pages of the first day, as a farm that counts in acres or in hectares."""
    walk.sees("page 1 of 4")
    if not walk.by_keys:
        walk.field("Farm")
    walk.types("Stony Hill")
    if metric:
        if walk.by_keys:
            walk.press("Tab", "Right")
        else:
            walk.picks("Units", 1)
        walk.sees("[hectares")
        walk.field("Currency")
        walk.types("EUR")
    walk.does("Enter", "next page")
    walk.sees("page 2 of 4")
    if not walk.by_keys:
        walk.field("Combine")
    walk.types(stage.combine)
    walk.field("Engine h")
    walk.types("2310.4")
    walk.does("Enter", "next page")
    walk.sees("page 3 of 4")
    if not walk.by_keys:
        walk.field("Header")
    walk.types("North")
    walk.field("Cut width")
    walk.types("12.2" if metric else "40")
    walk.does("Enter", "next page")
    walk.sees("page 4 of 4", "STARTING GUESSES")
    walk.does("Enter", "begin the log")
    walk.sees("The log is begun.", "STARTING GUESSES")


def a_metric_farm(walk: Walker, stage: Stage) -> None:
    """The same in hectares, an area planned and one cut, every area looked at, the report written: no acre, no foot, no inch."""
    first_four_pages(walk, stage, metric=True)
    walk.marked("answer")
    walk.area("6", "Plan")
    walk.settles()
    plan_an_area(walk, "900")
    walk.area("1", "Yard")
    walk.settles()
    walk.does("c", "cut")
    walk.sees("AN AREA CUT")
    walk.settles()
    walk.field("Area cut", 0)
    walk.types("40")
    walk.field("Hours")
    walk.types("6")
    walk.saves()
    walk.sees("Saved:")
    walk.settles()
    walk.area("6", "Plan")
    walk.settles()
    writes(walk, "page", ".html")
    for key, name in AREAS:
        walk.area(key, name)
        shown = walk.settles()
        found = re.findall(r"\b(?:ac|acres?|ft|feet|in(?=ch)|inch(?:es)?|bu|lb)\b", shown)
        assert not found, (name, found, shown)


def writes(walk: Walker, form: str, name: str) -> None:
    """Write the plan in that form, and see the name of the file."""
    walk.does("s", "file")
    walk.sees("THE PLAN AS A FILE", "Enter saves")
    for _ in range(3):
        if f"[{form}]" in walk.terminal.screen():
            break
        walk.chooses("Right", form)
        walk.settles()
    walk.saves()
    # where the line ends within the name, the name stands on two
    walk.terminal.wait_until(lambda now: name in "".join(now.split()), name)
    walk.settles()


AREAS = (
    ("1", "Yard"),
    ("2", "Machine"),
    ("3", "Daybook"),
    ("4", "Faults"),
    ("5", "Wear"),
    ("6", "Plan"),
    ("7", "Stock"),
    ("8", "Costs"),
    ("9", "Harvest"),
)


# -- 5: the notebook ---------------------------------------------------------------------------------------------------


def lay_a_notebook(stage: Stage) -> None:
    """Five winters of a book: a line that is in doubt, one that names no position."""
    combine, header = stage.combine, stage.header
    lines = ["Date,Combine,Header,Item,Pos,Remedy by,Acres"]
    for year in range(2021, 2026):
        lines += [
            f"{year}-08-03,{combine},{header},,,,85",
            f"{year}-08-04,,{header},section,{year - 1980},rock,",
            f"{year}-08-05,,{header},guard,{year - 2000},rock,",
        ]
    lines.append(f"2025-08-06,,{header},section,,rock,")
    (stage.folder / "book.csv").write_text("\n".join(lines) + "\n", "utf-8")


def five_years_of_a_notebook(walk: Walker, stage: Stage) -> None:
    """The book lies open, what is sure is saved, the doubtful line stays with its number; once more brings nothing new."""
    walk.area("3", "Daybook")
    walk.settles()
    opens_paper(walk, "book")
    walk.sees("NOTEBOOK book.csv")
    walk.settles()
    walk.does("a", "save the sure")
    walk.settles()
    walk.does("Esc", "back")
    walk.settles()


def opens_paper(walk: Walker, name: str) -> None:
    """Bring in the file or sheet of which these are the first letters."""
    walk.does("i", "bring in")
    walk.sees("BRING IN")
    walk.types(name)
    walk.settles()
    if walk.by_keys:
        walk.press("Enter")
    else:
        walk.click(name, nth=0, within=lambda line: line.startswith(">"))


# -- 6: two cabs -------------------------------------------------------------------------------------------------------


def lay_a_stick(stage: Stage) -> None:
    """The other laptop has the same log, cut an area meanwhile, and packed all of it onto a stick."""
    (stage.folder / "stick").mkdir()
    other = stage.folder / "cab2.db"
    other.write_bytes(stage.log.read_bytes())
    by_cab_2(stage, "add", "field", "east quarter", "--area", "80", "--ground", "clean")
    by_cab_2(stage, "pack", str(stage.folder / "stick" / "wearlog.bundle"))


def by_cab_2(stage: Stage, *words: str) -> str:
    """Run a command on the other laptop and return what it says."""
    environment = os.environ | {
        "WEARLOG_DB": str(stage.folder / "cab2.db"),
        "WEARLOG_HOME": str(stage.folder / "home2"),
        "WEARLOG_DEVICE": "cab 2",
        "PYTHONPATH": str(ROOT),
    }
    script = "import sys; from wearlog.cli.main import run; sys.exit(run(sys.argv[1:]))"
    done = subprocess.run(
        [sys.executable, "-c", script, *words], env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def two_cabs(walk: Walker, stage: Stage) -> None:
    """What the other cab packed is looked at and taken in; this one logs, packs; both export the same rows."""
    stick = str(stage.folder / "stick")
    walk.does("j", "two cabs")
    walk.sees("TWO CABS, ONE LOG")
    walk.opens("take ")
    walk.sees("TAKE IN WHAT ANOTHER CAB PACKED")
    if not walk.by_keys:
        walk.field("Bundle")
    walk.types(stick)
    walk.saves()
    walk.sees("from 'cab 2':")
    walk.saves()
    walk.sees("Taken in:")
    walk.marked("taken in")
    walk.settles()
    walk.opens("pack ", up=True)
    walk.sees("PACK FOR ANOTHER CAB", stick[-20:])
    walk.saves()
    walk.sees("Packed")
    walk.settles()
    by_cab_2(stage, "merge", f"{stick}/wearlog.bundle", "--yes")
    by_cab_2(stage, "export", str(stage.folder / "out2"))
    by_cab_2(stage, "export", str(stage.folder / "out1"), "--db", str(stage.log))
    mine, theirs = (
        {file.name: file.read_bytes() for file in (stage.folder / out).iterdir()} for out in ("out1", "out2")
    )
    assert mine == theirs


# -- 7: a rain day -----------------------------------------------------------------------------------------------------


def a_rain_day(walk: Walker, stage: Stage) -> None:
    """Six shop hours: what to do first; the round of what is due, ticked off; what was changed, entered."""
    walk.area("1", "Yard")
    walk.settles()
    walk.does("k", "rain")
    walk.settles()
    walk.section("6 h", 2)
    walk.settles()
    walk.marked("read")
    walk.does("Esc", "back")
    walk.sees("[1 Yard]")
    walk.settles()
    walk.does("f", "tonight")
    reads_all_cautions(walk, "[Tonight]")
    walk.sees("[Tonight]")
    walk.settles()
    walk.does("Space", "tick")
    walk.sees("[x]")
    walk.does("f", "done")
    walk.sees("done")
    walk.settles()
    walk.does("Esc", "back")
    walk.settles()
    walk.does("b", "breakage")
    reads_all_cautions(walk, "LOG A BREAKAGE")
    walk.sees("or write it")
    if walk.by_keys:
        walk.press("Tab")
    else:
        walk.click("or write it")
    walk.types(f"{stage.header.lower()} new sections 1-58, 4 h labour")
    walk.settles()
    walk.does("Enter", "save")
    reads_all_cautions(walk, "Saved:")
    if "Saved:" not in walk.terminal.screen():
        walk.sees("Enter save")
        walk.does("Enter", "save")
    walk.sees("Saved:", "1-58")


def reads_all_cautions(walk: Walker, *then: str) -> None:
    """Say that the cautions are read, where they stand before the work; one page after the other."""
    walk.sees_one_of("I have read it", *then)
    for _ in range(8):
        if "I have read it" not in walk.settles():
            return
        time.sleep(0.6)
        walk.does("Enter", "I have read it")
        walk.settles()


# -- 8: a note from the field ------------------------------------------------------------------------------------------


def lay_a_note(stage: Stage) -> None:
    """Six lines as a phone hears them, two of them doubtful."""
    header, combine = stage.header.lower(), stage.combine.lower()
    (stage.folder / "phone.txt").write_text(
        f"{'sep 9 2026' if stage.on_demo else 'aug 12 2026'}\n{header} sections 41-43 rock at 10 am, 20 min\n"
        f"{header} guard 12 bent straightened at 11 am\n"
        "the thing on the left rattles\n"
        f"{header} section rock\n"
        f"{combine} did 40 ac, 5 h\n"
        f"{header} hold-down 5 broken, rock, at 2 pm, 15 min\n",
        "utf-8",
    )


def a_note_from_the_field(walk: Walker, stage: Stage) -> None:
    """Picked, four lines sure; one doubtful line is written otherwise, the other stays; saved a line an entry."""
    walk.area("3", "Daybook")
    walk.settles()
    opens_paper(walk, "phone")
    walk.sees("Ctrl+S saves")
    walk.settles()
    walk.opens(f"{stage.header.lower()} section rock")
    walk.sees("A LINE OF THE NOTE")
    walk.settles()
    if not walk.by_keys:
        walk.field("Line")
    walk.press("End")
    walk.types(" #90")
    walk.saves()
    walk.sees("Ctrl+S saves 5 lines")
    walk.does("Ctrl+S", "save")
    walk.sees("Saved 5 lines")


# -- 9: the spring round -----------------------------------------------------------------------------------------------


def the_spring_round(walk: Walker, stage: Stage) -> None:
    """The printed sheet of a header comes back from the clipboard: one measured, two to order; wear and plan have them."""
    walk.area("3", "Daybook")
    walk.settles()
    walk.does("i", "bring in")
    walk.sees("BRING IN")
    walk.types(stage.header.lower())
    walk.settles()
    if walk.by_keys:
        walk.press("Enter")
    else:
        walk.click(f"{stage.header}: inspection before", nth=0, within=lambda line: line.startswith(">"))
    walk.sees("SHEET")
    walk.settles()
    field_of_part(walk, "hold-down")
    walk.types("12: 0.02in; 12,13 order")
    walk.does("Ctrl+S", "save")
    walk.sees("Saved", "measured")
    walk.area("5", "Wear")
    walk.settles()
    walk.area("6", "Plan")
    walk.settles()


def field_of_part(walk: Walker, part: str) -> None:
    """Go to the line of the sheet on which this part stands."""
    if not walk.by_keys:
        wind_to(walk, part)
        number = next(n for n, one in enumerate(walk.lines()) if part in one)
        walk.click_at(walk.wide - 3, number)
        return
    for _ in range(40):
        found = [one for one in walk.lines() if re.match(rf"\s*\d+\. .*{part}", one)]
        if found:
            break
        walk.press("Enter")
    numbers = [int(match[1]) for one in walk.lines() if (match := re.match(r"\s*(\d+)\. ", one))]
    at = next(int(match[1]) for one in found if (match := re.match(r"\s*(\d+)\. ", one)))
    walk.press(*["Enter"] * (at - numbers[0]))


STORIES = (
    Story(1, "at the header", at_the_header),
    Story(2, "February: plan, order, paper", in_february, on_demo=FEBRUARY, on_own=FEBRUARY),
    Story(3, "a fault comes back", a_fault_again),
    Story(4, "the first day", the_first_day, on_demo=None, from_nothing=True),
    Story(5, "five years of a notebook", five_years_of_a_notebook, lays=lay_a_notebook),
    Story(6, "two cabs", two_cabs, lays=lay_a_stick),
    Story(7, "a rain day", a_rain_day, on_demo=WET_MORNING),
    Story(8, "a note from the field", a_note_from_the_field, lays=lay_a_note),
    Story(9, "the spring round", the_spring_round, on_demo=FEBRUARY, on_own=FEBRUARY),
    Story(10, "a metric farm", a_metric_farm, on_demo=None, from_nothing=True),
)
