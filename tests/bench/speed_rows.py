"""What is measured of speed: each piece of work with its mark, as processor time or as a ratio to a floor of the same run.

`python -m tests.bench.speed_rows > docs/speed.md` makes the table anew; with `--long` the rows of a hundred farms too, which take
many minutes, and those of the screens, which want a machine that does nothing else. With `--only WORDS` just the rows are measured
in whose work one of the words stands (parted by commas); the others are left as they stand in `docs/speed.md`, which then says so.
`test_bench_table.py` fails for every row beyond its mark.
"""

from __future__ import annotations

import os
import platform
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from tests.bench.big_import import BroughtIn, brought_in_beside_raw
from tests.bench.big_notebook import understood_beside_reading
from tests.bench.decision_work import checking, comparing, fetching, growing, raining, stopping
from tests.bench.many_farms_rows import (
    growth_of_plan,
    hundred_farms,
    intervals_beside_fetching,
    kinds_beside_one_fit,
    plan_of_ten,
    planned_farms,
    told_by,
)
from tests.bench.own_process import told
from tests.bench.saving_beside_raw import saved_and_raw
from tests.bench.screen_rows import all_figures, first_paint, key_to_paint
from tests.bench.test_bench_merge import DEEDS, ROWS_OF_EACH, measured
from wearlog.cli import overview
from wearlog.exchange.importer import import_source
from wearlog.logbook.farm.first_day import start_log
from wearlog.settings import shipped
from wearlog.store.location import Location

PASS = (sys.executable, "-c", "pass")
LIBRARIES = (sys.executable, "-c", "import numpy, scipy.special, scipy.optimize, sqlalchemy")
OURS = (sys.executable, "-c", "from wearlog.cli.main import main; main()")


@dataclass(frozen=True)
class Bench:
    """Where the rows find what they work on: a log of the demo fleet in a folder of its own, and the surroundings of commands."""

    log: Path
    env: Mapping[str, str]


@dataclass(frozen=True)
class Row:
    """One piece of work: `figure` measures it in `unit`, at most `mark` is wanted. A `long` one takes minutes."""

    work: str
    mark: float
    unit: str
    figure: Callable[[Bench], float]
    long: bool = False

    def shown(self, figure: float) -> str:
        return f"| {self.work} | {self.mark:g} {self.unit} | {figure:.2f} {self.unit} | {'yes' if figure <= self.mark else 'no'} |"


@contextmanager
def bench() -> Iterator[Bench]:
    """Lay out the demo's log; commands find their modules compiled, as an installed program does."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        env = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
        env |= {"PYTHONPYCACHEPREFIX": str(folder / "compiled"), "WEARLOG_HOME": str(folder / "home")}
        log = folder / "demo.db"
        store = start_log(Location(file=log))
        import_source(store, shipped("demo_fleet"))
        store.close()
        yield Bench(log, env)


def processor(words: Sequence[str], env: Mapping[str, str]) -> float:
    """Return the processor seconds of a process, user and system."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(words, env=env, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def ratio(floor: Sequence[str], ours: Sequence[str], env: Mapping[str, str], rounds: int) -> float:
    """Medians in turns, so that whatever else the machine does hits both; the first round only compiles."""
    pairs = [(processor(floor, env), processor(ours, env)) for _ in range(rounds + 1)][1:]
    return statistics.median(two for _, two in pairs) / statistics.median(one for one, _ in pairs)


def slowest_help(given: Bench) -> float:
    """The help that takes longest of all commands."""
    return max(ratio(PASS, (*OURS, name, "-h"), given.env, 5) for name in overview.names())


def whole(command: str) -> Callable[[Bench], float]:
    """Measure a command from its start to its end, against loading the libraries that the sums need."""
    return lambda given: ratio(LIBRARIES, (*OURS, command, "--db", str(given.log)), given.env, 5)


def saving(given: Bench) -> float:
    """One breakage saved, against its rows sent raw with the same durability."""
    file = given.log.with_name("saving.db")
    shutil.copyfile(given.log, file)
    ours, floor = saved_and_raw(file)
    return ours / floor


def understanding(given: Bench) -> float:
    """A notebook of 100,000 rows understood, against reading its workbook with the same library."""
    with tempfile.TemporaryDirectory(dir=given.log.parent) as folder:
        return understood_beside_reading(Path(folder)).times


def bringing_in(times: Callable[[BroughtIn], float]) -> Callable[[Bench], float]:
    """Measure an import of 100,000 readings, the median of its turns; both of its rows are measured in one go."""
    return lambda given: statistics.median(map(times, _brought_in(given.log.parent)))


@lru_cache(maxsize=1)
def _brought_in(folder: Path) -> list[BroughtIn]:
    beside = folder / "import"
    beside.mkdir()
    return brought_in_beside_raw(beside)


def checking_a_hundred(*, memory: bool) -> Callable[[Bench], float]:
    """Measure `check` on a hundred farms with their journal, which it goes through."""
    return lambda given: told_by("check", planned_farms(given.log.parent, 100), given.env)[1 if memory else 0]


def on_a_hundred(command: str, *, memory: bool) -> Callable[[Bench], float]:
    """Measure a command on a hundred farms: its processor seconds, or its peak memory in MB."""
    return lambda given: told_by(command, hundred_farms(given.log.parent), given.env)[1 if memory else 0]


def reporting(given: Bench) -> float:
    """The report of the demo fleet, the whole process: season plan, charts and page, in processor seconds."""
    words = (*OURS, "plan", "--html", str(given.log.with_name("report.html")), "--db", str(given.log))
    return statistics.median(processor(words, given.env) for _ in range(4))


def planning(given: Bench) -> float:
    """The demo's season plan, in processor seconds."""
    return told("plan", given.log)


def toggling(given: Bench) -> float:
    """A line of the plan chosen otherwise and all settled anew, in milliseconds of processor."""
    return told("toggle", given.log)


def saving_on_a_hundred(given: Bench) -> float:
    """One breakage saved on a hundred farms, against its rows sent raw with the same durability."""
    file = given.log.with_name("saving_100.db")
    shutil.copyfile(hundred_farms(given.log.parent), file)
    ours, floor = saved_and_raw(file)
    return ours / floor


def merging(given: Bench) -> float:
    """A bundle of 200,000 versions read and merged, against a raw insert of the same rows."""
    folder = given.log.with_name("merging")
    folder.mkdir()
    turns = measured(folder, DEEDS, ROWS_OF_EACH)
    return statistics.median((reading + merged) / floor for floor, reading, merged in turns)


ROWS = (
    Row("`wearlog --help` / `python -c pass`", 1.8, "x", lambda given: ratio(PASS, (*OURS, "--help"), given.env, 11)),
    Row("the slowest `COMMAND -h` / `python -c pass`", 3.5, "x", slowest_help),
    Row("one breakage saved / its rows sent raw to SQLite with the same durability", 2.0, "x", saving),
    Row("the same on 100 farms", 2.5, "x", saving_on_a_hundred, long=True),
    Row("first paint of the screens / bare app", 1.2, "x", lambda given: first_paint(given.log.parent), long=True),
    Row(
        "all figures of the Yard / first paint of the bare app",
        2.3,
        "x",
        lambda given: all_figures(given.log.parent),
        long=True,
    ),
    Row(
        "key to paint in a list of a million runs / bare app, 95 of 100",
        1.5,
        "x",
        lambda given: key_to_paint(given.log.parent),
        long=True,
    ),
    Row("`wear`, the whole process / importing numpy, scipy and SQLAlchemy", 2.0, "x", whole("wear")),
    Row("`plan`, the same", 2.2, "x", whole("plan")),
    Row("`brief`, the same", 2.2, "x", whole("brief")),
    Row("`stock`, the same", 1.5, "x", whole("stock")),
    Row("`due`, the same", 1.5, "x", whole("due")),
    Row("season plan of the demo fleet", 0.5, "s", planning),
    Row("a line of the plan toggled and all settled anew, 95 of 100", 30.0, "ms", toggling),
    Row("season plan of 10 farms in one log", 5.0, "s", lambda given: plan_of_ten(given.log.parent)),
    Row(
        "the same from 1 farm to 10, as a power of their number",
        1.1,
        "",
        lambda given: growth_of_plan(given.log.parent),
    ),
    Row("the report of the demo fleet, the whole process", 2.5, "s", reporting),
    Row(
        "all wear intervals, 100 farms / fetching the same columns raw",
        2.0,
        "x",
        lambda given: intervals_beside_fetching(given.log.parent),
        long=True,
    ),
    Row(
        "the lives of all 27 kinds of a farm / the one in the middle",
        5.0,
        "x",
        lambda given: kinds_beside_one_fit(given.log.parent),
    ),
    Row("peak memory of `wear`, 100 farms", 400.0, "MB", on_a_hundred("wear", memory=True), long=True),
    Row("peak memory of `brief`, 100 farms", 400.0, "MB", on_a_hundred("brief", memory=True), long=True),
    Row("`brief`, 100 farms", 6.0, "s", on_a_hundred("brief", memory=False), long=True),
    Row("peak memory of `check`, 100 farms", 200.0, "MB", checking_a_hundred(memory=True), long=True),
    Row("`check`, 100 farms", 20.0, "s", checking_a_hundred(memory=False), long=True),
    Row(
        "import of 100,000 readings, CSV / raw insert of the same rows and versions",
        2.0,
        "x",
        bringing_in(lambda turn: turn.csv_times),
    ),
    Row("the same as a workbook / reading it", 8.0, "x", bringing_in(lambda turn: turn.workbook_times)),
    Row("merge of 200,000 versions, reading the bundle with every digest too / raw insert", 3.0, "x", merging),
    Row("run on or stop: 8 ways and mending first, of an old part", 5.0, "ms", lambda _: stopping()),
    Row("part numbers: 31 lives of 3 on 2 grounds", 46.0, "ms", lambda _: comparing(3, 31, 2)()),
    Row("part numbers: 400 lives of 20 on 3 grounds", 280.0, "ms", lambda _: comparing(20, 400, 3)()),
    Row("loss against wear, 200 checks", 30.0, "ms", lambda _: growing()),
    Row("what one more check is worth", 5.0, "ms", lambda _: checking()),
    Row("a rainy day: 120 jobs with 25 openings", 120.0, "ms", lambda _: raining()),
    Row("50 suppliers of a part weighed", 10.0, "ms", lambda given: fetching(given.log)),
    Row("a notebook of 100,000 rows understood / reading its workbook with the same library", 10.0, "x", understanding),
)


def table(given: Bench, *, long: bool, only: Sequence[str] = (), before: str = "") -> Iterator[str]:
    """Yield the page, line by line; without `long` what takes many minutes is named and not measured.

    With `only` the rows are measured in whose work one of these words stands; the others stand as in the page of `before`.
    """
    yield "# Speed"
    yield ""
    yield "Made by `python -m tests.bench.speed_rows > docs/speed.md`. Ratios and processor time, since the machine did other work"
    yield "beside: each floor is measured in turns with what stands above it. What misses its mark stands here as it is."
    yield ""
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else 0.0
    empty = statistics.median(processor(PASS, given.env) for _ in range(11))
    yield f"Measured on {platform.system()}, {os.cpu_count()} processors, Python {platform.python_version()}, load {load:.1f}:"
    yield f"an empty Python took {empty * 1e3:.0f} ms of processor there (seconds and milliseconds below go with that)."
    kept = {
        line.split(" | ")[0].removeprefix("| "): line
        for line in before.splitlines()
        if line.endswith(("yes |", "no |"))
    }
    if only:
        yield f"So the rows with {', '.join(only)}; the others were measured earlier, as `git log` tells."
    yield ""
    yield "| work | at most | measured | reached |"
    yield "|---|---|---|---|"
    for row in ROWS:
        if only and not any(word in row.work for word in only):
            yield kept.get(row.work, _unmeasured(row))
        elif long or only or not row.long:
            yield row.shown(row.figure(given))
        else:
            yield _unmeasured(row)


def _unmeasured(row: Row) -> str:
    return f"| {row.work} | {row.mark:g} {row.unit} | by `python -m tests.bench.speed_rows --long` | |"


if __name__ == "__main__":
    words = sys.argv[1:]
    named = words[words.index("--only") + 1].split(",") if "--only" in words else []
    # as it was kept last: the page itself may be what this is written to
    shown = ("git", "show", "HEAD:docs/speed.md")
    stood = subprocess.run(shown, check=True, capture_output=True, text=True).stdout if named else ""
    with bench() as laid_out:
        for line in table(laid_out, long="--long" in words, only=named, before=stood):
            print(line, flush=True)
