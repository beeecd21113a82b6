"""Two and three laptops, one log: packed and merged in any order they end up the same; what is not to be trusted is refused."""

from __future__ import annotations

import gzip
import json
import os
import shutil
import zlib
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, TypeAlias

import pytest
from psycopg.errors import CheckViolation, ForeignKeyViolation
from sqlalchemy.exc import IntegrityError

from tests.exchange.bundle_forging import Lines, lines_of, reseal_deed, sealed, with_content, with_version
from tests.servers import Server
from wearlog.errors import ConflictError, NotFoundError, RefusedError, UsageError, VersionError
from wearlog.exchange import bundle_file
from wearlog.exchange.bundle_file import read_bundle
from wearlog.exchange.bundles import MergeAhead, look_at, merge, pack
from wearlog.exchange.export import export_folder
from wearlog.exchange.importer import import_source
from wearlog.facts.bookkeeping import Deed
from wearlog.facts.closed_lists import Doing, Ground, MachineKind, MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Meter, Reading
from wearlog.facts.work import Field
from wearlog.logbook.farm.first_day import start_log
from wearlog.logbook.files.mending import log_findings
from wearlog.logbook.files.undo import settle, undo
from wearlog.reckoning.farm import KeptFarm
from wearlog.store import ledger
from wearlog.store.copying import move_log
from wearlog.store.finding import find_all
from wearlog.store.inspection import inspect_log
from wearlog.store.journal import deed_lines
from wearlog.store.ledger import Entry, record, rows_apart
from wearlog.store.location import Location, locate
from wearlog.store.opening import Store, open_store

AT = datetime(2026, 7, 20, 18, 5, tzinfo=UTC)
WEST = Field(name="west", area_square_metres=640_000, ground=Ground.STONY)
EAST = Field(name="east", area_square_metres=320_000, ground=Ground.CLEAN)
COMBINE = Machine(name="north", kind=MachineKind.COMBINE)
ENGINE = Meter(machine_id=COMBINE.id, kind=MeterKind.ENGINE_HOURS)


Cabs: TypeAlias = tuple[Store, Store, Store]


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log with a field in it, before it is copied onto three laptops."""
    file = tmp_path_factory.mktemp("begun") / "cab.db"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WEARLOG_DEVICE", "shop")
        store = start_log(Location(file=file))
    enter(store, WEST)
    store.close()
    return file


@pytest.fixture
def file_cabs(begun: Path, tmp_path: Path) -> Iterator[Cabs]:
    """Three copies of it, on three laptops."""
    files = [shutil.copyfile(begun, tmp_path / f"cab{number}.db") for number in (1, 2, 3)]
    yield from _named([Location(file=file) for file in files])


@pytest.fixture(scope="module")
def begun_on_server(server: Server, begun: Path) -> Iterator[str]:
    """The same log as a template on a server."""
    with server.database() as url:
        store = open_store(Location(file=begun))
        move_log(store, locate(url))
        store.close()
        yield url.partition("?")[0].rpartition("/")[2]


@pytest.fixture
def server_cabs(server: Server, begun_on_server: str, begun: Path, tmp_path: Path) -> Iterator[Cabs]:
    """Two copies of it on a server and one in a file."""
    with server.database(begun_on_server) as first, server.database(begun_on_server) as second:
        third = shutil.copyfile(begun, tmp_path / "cab3.db")
        yield from _named([locate(first), locate(second), Location(file=third)])


def _named(places: list[Location]) -> Iterator[Cabs]:
    first, second, third = stores = [open_store(place) for place in places]
    for number, store in enumerate(stores, 1):
        store.device = f"cab {number}"
    yield first, second, third
    for store in stores:
        store.close()


@pytest.fixture(params=["file", pytest.param("server", marks=pytest.mark.postgres)])
def cabs(request: pytest.FixtureRequest) -> Cabs:
    """Three copies of one log: on three laptops, then two of them on a server."""
    made: Cabs = request.getfixturevalue(f"{request.param}_cabs")
    return made


def enter(store: Store, *facts: Fact) -> Deed:
    with store.writing() as connection:
        return record(connection, device=store.device, said="entered", entries=[Entry(fact) for fact in facts])


def edit(store: Store, fact: Fact, said: str = "edited") -> Deed:
    with store.writing() as connection:
        return record(connection, device=store.device, said=said, entries=[Entry(fact, Doing.EDITED)])


def carry(source: Store, target: Store, file: Path, *, since: str = "") -> MergeAhead:
    """Pack on one laptop and merge on the other."""
    pack(source, file, since=since)
    return merge(target, read_bundle(file))


def exported(store: Store, folder: Path) -> dict[str, bytes]:
    export_folder(store, folder)
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def shown(store: Store, fact: Fact) -> Any:
    with store.reading() as connection:
        return next(one for one in find_all(connection, type(fact)) if one.id == fact.id)


def sides(store: Store) -> int:
    with store.reading() as connection:
        return sum(len(heads) for heads in rows_apart(connection).values())


@pytest.mark.promise(
    about="two laptops",
    fault="two laptops log apart and swap a stick",
    holds="both logs are the same to the byte",
    on="both",
)
def test_two_cabs_that_swap_a_stick_end_up_the_same(cabs: Cabs, tmp_path: Path) -> None:
    first, second, _ = cabs
    enter(first, COMBINE, ENGINE)
    edit(first, replace(WEST, name="far west"))
    enter(second, EAST)
    edit(second, replace(WEST, ground=Ground.CLEAN))
    ahead = carry(first, second, tmp_path / "stick")
    assert (ahead.entries, ahead.by_device, ahead.touching) == (2, (("cab 1", 2),), ("edited",))
    assert carry(second, first, tmp_path / "stick").entries == 2
    assert exported(first, tmp_path / "a") == exported(second, tmp_path / "b")
    for store in (first, second):
        assert inspect_log(store).problems == ()
        assert sides(store) == 2
        assert shown(store, WEST) == replace(WEST, ground=Ground.CLEAN)


@pytest.mark.promise(
    about="two laptops", fault="a bundle comes twice, or an older one comes late", holds="nothing changes", on="both"
)
def test_a_bundle_again_or_an_older_one_changes_nothing(cabs: Cabs, tmp_path: Path) -> None:
    first, second, _ = cabs
    enter(first, EAST)
    pack(first, tmp_path / "older")
    edit(first, replace(EAST, name="far east"))
    carry(first, second, tmp_path / "newer")
    before = inspect_log(second)
    for name in ("newer", "older", "newer"):
        assert merge(second, read_bundle(tmp_path / name)).entries == 0
    assert inspect_log(second) == before
    assert shown(second, EAST).name == "far east"


@pytest.mark.promise(
    about="two laptops", fault="three laptops swap bundles in any order", holds="all end up the same", on="both"
)
def test_three_laptops_end_up_the_same_in_any_order(cabs: Cabs, tmp_path: Path) -> None:
    first, second, third = cabs
    for number, store in enumerate(cabs):
        edit(store, replace(WEST, name=f"west {number}"), f"renamed {number}")
    carry(first, second, tmp_path / "s1")
    carry(third, first, tmp_path / "s2")
    carry(second, third, tmp_path / "s3")
    carry(third, second, tmp_path / "s4")
    carry(second, first, tmp_path / "s5")
    assert [sides(store) for store in cabs] == [3, 3, 3]
    once = exported(first, tmp_path / "a")
    assert once == exported(second, tmp_path / "b") == exported(third, tmp_path / "c")
    settle(second)
    edit(second, replace(shown(second, WEST), area_square_metres=650_000))
    carry(second, first, tmp_path / "s6")
    carry(first, third, tmp_path / "s7")
    assert [sides(store) for store in cabs] == [0, 0, 0]
    assert [shown(store, WEST).area_square_metres for store in cabs] == [650_000] * 3


@pytest.mark.promise(
    about="two laptops",
    fault="the clocks are days apart",
    holds="what is shown may differ from what a true clock would show; nothing is lost",
    on="both",
)
def test_clocks_that_are_days_apart_decide_what_is_shown_and_nothing_else(
    cabs: Cabs, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second, _ = cabs
    edit(first, replace(WEST, name="by a right clock"))

    class Ahead(datetime):
        @classmethod
        def now(cls, tz: Any = None) -> datetime:
            return datetime.now(UTC) + timedelta(days=9)

    monkeypatch.setattr(ledger, "datetime", Ahead)
    edit(second, replace(WEST, name="by a wrong clock"))
    monkeypatch.undo()
    monkeypatch.setenv("WEARLOG_HOME", str(tmp_path / "home"))
    ahead = carry(second, first, tmp_path / "stick")
    assert ahead.ahead is not None
    assert ahead.ahead.days == 8
    assert shown(first, WEST).name == "by a wrong clock"
    settle(first, {WEST.id: 2})
    assert carry(first, second, tmp_path / "stick").ahead is not None
    assert [shown(store, WEST).name for store in (first, second)] == ["by a right clock"] * 2
    assert inspect_log(second).problems == ()


def test_one_sheet_imported_on_two_laptops_is_one_and_each_import_can_be_undone(cabs: Cabs, tmp_path: Path) -> None:
    first, second, third = cabs
    sheet = tmp_path / "field.csv"
    sheet.write_text("name,area_ac,ground\nupper,100,stony\nlower,50,clean\n")
    import_source(first, sheet)
    import_source(second, sheet)
    carry(first, second, tmp_path / "s1")
    assert sides(second) == 0
    carry(second, third, tmp_path / "s2")
    upper = next(one for one in all_fields(second) if one.name == "upper")
    edit(second, replace(upper, area_square_metres=1_000_000))
    assert sides(second) == 0
    with pytest.raises(ConflictError, match=r"^What this entered was changed since by 'edited'\.$"):
        undo_import(second, "cab 2")
    undo(second)
    undo_import(third, "cab 1")
    assert [one.name for one in all_fields(third)] == ["west"]
    assert inspect_log(third).problems == ()


def all_fields(store: Store) -> list[Field]:
    with store.reading() as connection:
        return find_all(connection, Field)


def undo_import(store: Store, device: str) -> None:
    with store.reading() as connection:
        lines = deed_lines(connection, limit=50)
    undo(store, next(line.id for line in lines if line.device == device and line.rows == 3))


def test_an_edit_of_a_row_that_is_apart_leaves_the_other_side_standing(cabs: Cabs, tmp_path: Path) -> None:
    first, second, _ = cabs
    edit(first, replace(WEST, name="left"), "said left")
    edit(second, replace(WEST, name="right"), "said right")
    carry(first, second, tmp_path / "stick")
    edit(second, replace(shown(second, WEST), area_square_metres=1))
    assert sides(second) == 2
    settled = settle(second, {WEST.id: 2})
    assert settled.said == "settled a field that was changed apart: as 'cab 1' said"
    assert shown(second, WEST).name == "left"
    with pytest.raises(RefusedError, match="Nothing is to be settled"):
        settle(second)


def test_an_undo_says_that_the_other_laptop_changed_it_too(cabs: Cabs, tmp_path: Path) -> None:
    first, second, _ = cabs
    edit(first, replace(WEST, name="left"), "said left")
    edit(second, replace(WEST, name="right"), "said right")
    carry(first, second, tmp_path / "stick")
    with pytest.raises(ConflictError) as refused:
        undo(second)
    assert refused.value.message == "What this entered was changed apart by 'said left' on 'cab 1'."
    assert refused.value.hint == "'wearlog settle' shows both sides."


def test_taking_a_settling_back_shows_what_was_shown_before(cabs: Cabs, tmp_path: Path) -> None:
    first, second, _ = cabs
    edit(first, replace(WEST, name="left"))
    edit(second, replace(WEST, name="right"))
    carry(first, second, tmp_path / "stick")
    settle(second, {WEST.id: 2})
    undo(second)
    assert shown(second, WEST).name == "right"


def test_what_was_built_on_what_the_other_took_away_is_a_finding(cabs: Cabs, tmp_path: Path) -> None:
    first, second, _ = cabs
    entered = enter(first, COMBINE, ENGINE)
    carry(first, second, tmp_path / "stick")
    enter(second, Reading(meter_id=ENGINE.id, at=AT, shown_usage=3600))
    undo(first, entered.id)
    carry(second, first, tmp_path / "stick")
    with first.reading() as connection:
        found = log_findings(connection)
    assert [one.message for one in found] == ["A reading rests on the meter, which was taken away."]
    assert inspect_log(first).problems == ()


def test_a_screen_notices_older_entries_arriving(cabs: Cabs, tmp_path: Path) -> None:
    first, second, _ = cabs
    kept = KeptFarm()
    enter(first, Machine(name="south", kind=MachineKind.COMBINE))
    enter(second, COMBINE)
    with second.reading() as connection:
        assert machine_names(kept, connection) == ["north"]
    carry(first, second, tmp_path / "stick")
    with second.reading() as connection:
        assert machine_names(kept, connection) == ["north", "south"]


def machine_names(kept: KeptFarm, connection: Any) -> list[str]:
    machines: Any = kept.at(connection, AT).machines
    return sorted(one.name for one in (machines.values() if isinstance(machines, dict) else machines))


def test_since_leaves_out_what_the_other_has(cabs: Cabs, tmp_path: Path) -> None:
    first, second, third = cabs
    enter(second, EAST)
    carry(second, first, tmp_path / "from2")
    enter(first, COMBINE)
    assert pack(first, tmp_path / "rest", since="cab 2").entries == 1
    assert merge(second, read_bundle(tmp_path / "rest")).entries == 1
    assert exported(first, tmp_path / "a") == exported(second, tmp_path / "b")
    with pytest.raises(RefusedError, match="leaves out entries that this log lacks"):
        merge(third, read_bundle(tmp_path / "rest"))
    with pytest.raises(NotFoundError, match=r"known: 'cab 2'"):
        pack(first, tmp_path / "rest", since="cab 3")
    with pytest.raises(UsageError, match="this device itself"):
        pack(first, tmp_path / "rest", since="cab 1")


def test_an_older_bundle_is_replaced_and_nothing_else(cabs: Cabs, tmp_path: Path) -> None:
    first, second, _ = cabs
    stick = tmp_path / "stick"
    assert not pack(first, stick).replaced
    enter(first, EAST)
    assert pack(first, stick).replaced
    enter(first, COMBINE)
    with pytest.raises(RefusedError, match="1 entries that this log lacks"):
        pack(second, stick)
    stick.write_text("a shopping list")
    with pytest.raises(RefusedError, match="There is a file"):
        pack(first, stick)
    assert stick.read_text() == "a shopping list"


@pytest.mark.promise(about="two laptops", fault="packing is interrupted", holds="the older bundle is whole", on="both")
def test_packing_that_is_interrupted_leaves_the_older_bundle(
    cabs: Cabs, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, _, _ = cabs
    stick = tmp_path / "on" / "stick"
    stick.parent.mkdir()
    pack(first, stick)
    before = stick.read_bytes()
    enter(first, EAST)
    real, calls = bundle_file.version_line, []

    def fails(version: Any) -> str:
        calls.append(version)
        if len(calls) == 5:
            raise KeyboardInterrupt
        return real(version)

    monkeypatch.setattr(bundle_file, "version_line", fails)
    with pytest.raises(KeyboardInterrupt):
        pack(first, stick)
    assert stick.read_bytes() == before
    (stick.parent / ".stick.7.part").write_bytes(b"left by a power cut")
    monkeypatch.undo()
    monkeypatch.setenv("WEARLOG_HOME", str(tmp_path / "home"))
    pack(first, stick)
    assert [one.name for one in stick.parent.iterdir()] == ["stick"]
    assert (stick.stat().st_mode & 0o777, len(read_bundle(stick).deeds)) == (0o600, 3)


def test_looking_at_a_bundle_takes_nothing(cabs: Cabs, tmp_path: Path) -> None:
    first, second, _ = cabs
    enter(first, EAST)
    pack(first, tmp_path / "stick")
    assert look_at(second, read_bundle(tmp_path / "stick")).entries == 1
    assert [one.name for one in all_fields(second)] == ["west"]


# ------------------------------------------------------------------ a bundle is distrusted

Change = Callable[[Lines], object]


def _first(lines: Lines, key: str) -> dict[str, Any]:
    return next(line for line in lines if key in line)


def _at_line(number: int, **said: Any) -> Change:
    return lambda lines: lines[number].update(said)


def _field(change: Callable[[dict[str, Any]], object]) -> Change:
    return lambda lines: with_content(lines, change, "field")


def _of_field(lines: Lines, **changed: Any) -> object:
    version = next(line for line in lines if line.get("table_name") == "field")
    deed = max((line for line in lines[: lines.index(version)] if "said" in line), key=lines.index)
    return with_version(lines, deed, version, **changed)


def _later_deed(lines: Lines) -> object:
    deed = _first(lines, "said")
    deed["recorded_at"] = "2300-01-01T00:00:00.000000+00:00"
    return deed


SPOILT: dict[str, tuple[Change, str]] = {
    "another format": (_at_line(0, wearlog_bundle="1"), "no bundle of wearlog"),
    "a head without a device": (lambda lines: lines[0].pop("device"), "'device' is missing"),
    "fewer entries than it says": (lambda lines: lines[0].update(deeds=1), r"another number"),
    "more entries than it says": (lambda lines: lines[0].update(deeds=9), "other things"),
    "more versions than it says": (lambda lines: lines[0].update(versions=99), "another number"),
    "an altered sentence": (lambda lines: _first(lines, "said").update(said="other"), "an altered entry"),
    "an altered version": (lambda lines: _first(lines, "content").update(content="{}"), "digest does not fit"),
    "a version of nothing": (lambda lines: _of_field(lines, table_name="sqlite_master"), "does not know"),
    "a path for a table": (lambda lines: _of_field(lines, table_name="../../field"), "does not know"),
    "content that is no JSON": (_field(lambda _: "{"), "no entry"),
    "no number": (_field(lambda content: content.update(area_square_metres=float("nan")) and None), "another kind"),
    "a broken number": (_field(lambda content: content.update(area_square_metres=1.5)), "another kind"),
    "a number beyond any": (_field(lambda content: content.update(area_square_metres=2**70)), "larger than any"),
    "text for a number": (_field(lambda content: content.update(area_square_metres="1")), "another kind"),
    "nothing for a name": (_field(lambda content: content.update(name=None)), "name is missing"),
    "a word of no list": (_field(lambda content: content.update(ground="lava")), "no entry"),
    "control codes": (_field(lambda content: content.update(name="\x1b]0;x\x07")), "control codes"),
    "another row": (_field(lambda content: content.update(id=str(EAST.id))), "another row"),
    "a million columns": (
        _field(lambda content: content.update({f"c{n}": n for n in range(1_000_000)})),
        "far more than its size tells",
    ),
    "columns that nobody knows": (_field(lambda content: content.update(c1=1)), "another form"),
    "deep nesting": (_field(lambda _: "[" * 100_000), "no entry"),
    "spaces": (_field(lambda content: json.dumps(content)), "another form"),
    "an id in another form": (lambda lines: _first(lines, "said").update(id="{0}"), "badly formed"),
    "a year that no clock shows": (_later_deed, "no clock shows"),
    "an entry that is there twice": (
        lambda lines: lines.extend(lines[1:]) or lines[0].update(deeds=4, versions=2 * lines[0]["versions"]),
        "is in it twice",
    ),
}


@pytest.fixture
def stick(file_cabs: Cabs, tmp_path: Path) -> Path:
    """A sound bundle of a log that the empty one, in which it is tried, knows nothing of."""
    pack(file_cabs[0], tmp_path / "stick")
    return tmp_path / "stick"


@pytest.mark.parametrize("what", SPOILT)
def test_a_bundle_that_nobody_would_have_packed_is_refused_whole(stick: Path, tmp_path: Path, what: str) -> None:
    change, said = SPOILT[what]
    lines = lines_of(stick)
    change(lines)
    sealed(stick, lines)
    with start_log_at(tmp_path / "other.db") as store:
        before = inspect_log(store)
        with pytest.raises(RefusedError, match=said) as refused:
            merge(store, read_bundle(stick))
        assert refused.value.message.endswith(".")
        assert "\x1b" not in refused.value.message
        assert inspect_log(store) == before


class start_log_at:  # noqa: N801 - reads as what it does
    def __init__(self, file: Path) -> None:
        self.store = start_log(Location(file=file))

    def __enter__(self) -> Store:
        return self.store

    def __exit__(self, *_: object) -> None:
        self.store.close()


def test_not_a_number_in_a_line_is_refused(stick: Path) -> None:
    sealed(stick, lines_of(stick), as_text=lambda text: text.replace('"versions":1', '"versions":NaN', 1))
    with pytest.raises(RefusedError, match="NaN is no number"):
        read_bundle(stick)


def test_a_line_nested_beyond_reason_is_refused(stick: Path) -> None:
    sealed(stick, lines_of(stick), as_text=lambda text: text.replace('"since":{}', f'"since":{"[" * 200_000}', 1))
    with pytest.raises(RefusedError, match="nested more deeply"):
        read_bundle(stick)


@pytest.mark.parametrize("part", [0, 1, 9, 500, -1, -9])
@pytest.mark.promise(about="two laptops", fault="a bundle was cut short", holds="it is refused whole", on="a file")
def test_a_bundle_cut_short_is_refused(stick: Path, part: int) -> None:
    stick.write_bytes(stick.read_bytes()[:part])
    with pytest.raises(RefusedError, match="cut short or damaged"):
        read_bundle(stick)


def says_the_same(flipped: bytes, sound: bytes) -> bool:
    """Whether both unpack to the same bytes."""
    try:
        return gzip.decompress(flipped) == gzip.decompress(sound)
    except (OSError, EOFError, zlib.error):
        return False


@pytest.mark.promise(
    about="two laptops", fault="a bit of a bundle is flipped", holds="it is refused whole", on="a file"
)
def test_a_flipped_bit_anywhere_is_refused(stick: Path) -> None:
    sound = stick.read_bytes()
    for place in range(12, len(sound), max(1, len(sound) // 40)):
        flipped = sound[:place] + bytes([sound[place] ^ 4]) + sound[place + 1 :]
        stick.write_bytes(flipped)
        if says_the_same(flipped, sound):
            # one of the few bits that only fill up the last byte of what is packed
            continue
        with pytest.raises(RefusedError):
            read_bundle(stick)


@pytest.mark.promise(
    about="two laptops",
    fault="a bundle unpacks without end",
    holds="it is refused before it fills the memory",
    on="a file",
)
def test_a_bomb_is_refused_before_it_fills_the_memory(stick: Path) -> None:
    stick.write_bytes(gzip.compress(b'{"wearlog_bundle":1,' + b" " * 50_000_000))
    with pytest.raises(RefusedError, match="far more than its size tells"):
        read_bundle(stick)


def test_an_entry_of_a_million_columns_is_refused(stick: Path) -> None:
    lines = with_content(
        lines_of(stick), lambda content: content.update((f"f{one}", one) for one in range(1_000_000)), "field"
    )
    sealed(stick, lines)
    with pytest.raises(RefusedError, match=r"stick.*(not to be trusted|cut short or damaged)"):
        read_bundle(stick)


def test_lines_without_end_are_refused(stick: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bundle_file, "_ALWAYS_ROOM", 1000)
    head, deed, version, *_ = lines_of(stick)
    deed["versions"] = 5000
    sealed(stick, [head, deed, *[version] * 5000])
    with pytest.raises(RefusedError, match="far more than its size tells"):
        read_bundle(stick)


def test_a_newer_bundle_says_so(stick: Path) -> None:
    for said in ({"wearlog_bundle": 2}, {"revision": "0099"}):
        lines = lines_of(stick)
        lines[0].update(said)
        sealed(stick, lines)
        with pytest.raises(VersionError, match="newer wearlog"):
            read_bundle(stick)


@pytest.mark.parametrize("kind", ["folder", "pipe", "log", "text", "nothing"])
def test_what_is_no_bundle_is_told(file_cabs: Cabs, tmp_path: Path, kind: str) -> None:
    file = tmp_path / "what"
    if kind == "folder":
        file.mkdir()
    elif kind == "pipe":
        os.mkfifo(file)
    elif kind == "log":
        file = file_cabs[0].location.file or file
    elif kind == "text":
        file.write_text("a shopping list")
    with pytest.raises(NotFoundError if kind == "nothing" else RefusedError):
        read_bundle(file)


@pytest.mark.promise(
    about="two laptops", fault="an entry was altered on one laptop", holds="the merge is refused whole", on="both"
)
def test_a_deed_that_says_something_else_than_here_is_refused_whole(cabs: Cabs, tmp_path: Path) -> None:
    first, second, _ = cabs
    enter(first, EAST)
    pack(first, tmp_path / "stick")
    lines = lines_of(tmp_path / "stick")
    began = _first(lines, "said")
    began["said"] = "began the log otherwise"
    sealed(tmp_path / "stick", reseal_deed(lines, began))
    with pytest.raises(ConflictError, match="says something else there: one was altered"):
        merge(second, read_bundle(tmp_path / "stick"))
    assert [one.name for one in all_fields(second)] == ["west"]


def test_a_bundle_that_points_at_nothing_is_taken_not_at_all(cabs: Cabs, tmp_path: Path) -> None:
    """A reading comes without its meter: the tables refuse it, and the field that came along is not taken either."""
    first, second, _ = cabs
    enter(first, EAST)
    enter(first, COMBINE, ENGINE)
    enter(first, Reading(meter_id=ENGINE.id, at=AT, shown_usage=3600))
    pack(first, tmp_path / "stick")
    lines = lines_of(tmp_path / "stick")
    start = next(n for n, line in enumerate(lines) if line.get("versions") == 2 and "said" in line)
    del lines[start : start + 3]
    lines[0]["deeds"] -= 1
    lines[0]["versions"] -= 2
    sealed(tmp_path / "stick", lines)
    with pytest.raises(RefusedError, match="builds on entries that this log lacks"):
        merge(second, read_bundle(tmp_path / "stick"))
    assert [one.name for one in all_fields(second)] == ["west"]
    assert inspect_log(second).problems == ()


@pytest.mark.parametrize(
    ("met", "said"),
    [
        (
            ForeignKeyViolation("Einfügen in Tabelle »reading« verletzt eine Bedingung"),
            "builds on entries that this log lacks",
        ),
        (CheckViolation("neue Zeile für Relation »reading«: foreign key"), "An entry in it does not fit the log"),
    ],
    ids=["points at nothing", "another constraint"],
)
def test_a_server_in_another_language_is_understood(
    cabs: Cabs, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, met: Exception, said: str
) -> None:
    first, second, _ = cabs
    enter(first, EAST)
    pack(first, tmp_path / "stick")

    def refuse(*_: object) -> None:
        raise IntegrityError("INSERT", {}, met)

    monkeypatch.setattr("wearlog.store.union.write_rows", refuse)
    with pytest.raises(RefusedError, match=said):
        merge(second, read_bundle(tmp_path / "stick"))
    monkeypatch.undo()
    assert [one.name for one in all_fields(second)] == ["west"]


def test_an_edit_of_what_this_log_lacks_is_refused(cabs: Cabs, tmp_path: Path) -> None:
    first, second, _ = cabs
    enter(first, EAST)
    edit(first, replace(EAST, name="far east"))
    pack(first, tmp_path / "stick")
    lines = lines_of(tmp_path / "stick")
    entered = [n for n, line in enumerate(lines) if line.get("table_name") == "field"][1]
    del lines[entered - 1 : entered + 1]
    lines[0]["deeds"] -= 1
    lines[0]["versions"] -= 1
    sealed(tmp_path / "stick", lines)
    with pytest.raises(RefusedError, match="builds on entries that this log lacks"):
        merge(second, read_bundle(tmp_path / "stick"))


def test_a_history_in_a_circle_is_refused(cabs: Cabs, tmp_path: Path) -> None:
    first, second, _ = cabs
    enter(first, EAST)
    edit(first, replace(EAST, name="far east"))
    pack(first, tmp_path / "stick")
    lines = lines_of(tmp_path / "stick")
    entered, edited = [line for line in lines if line.get("table_name") == "field"][1:]
    deed = lines[lines.index(entered) - 1]
    sealed(tmp_path / "stick", with_version(lines, deed, entered, parents=[edited["id"]]))
    with pytest.raises(RefusedError, match="follows what it cannot follow"):
        merge(second, read_bundle(tmp_path / "stick"))
