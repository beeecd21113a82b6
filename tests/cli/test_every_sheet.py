"""Every sheet of the import format by command: a row is entered, listed with its number, changed and taken back."""

from __future__ import annotations

from typing import Any

import pytest

from tests.cli.running import Ran, Wearlog
from tests.cli.sheet_samples import BEFORE, SAMPLES
from tests.small_farm import SmallFarm, harvest
from wearlog.exchange.sheets import SHEETS
from wearlog.facts.fact import Fact
from wearlog.facts.parts import StockMove
from wearlog.facts.wearing import Breakage, Fitting, Repair
from wearlog.facts.work import Stoppage
from wearlog.ids import long_number, short_number
from wearlog.settings import load_preferences
from wearlog.store.finding import find_all


def done(ran: Ran) -> Ran:
    assert ran.code == 0, ran.err
    return ran


def rows(farm: SmallFarm, fact_type: type[Fact]) -> list[Any]:
    with farm.store.reading() as connection:
        return list(find_all(connection, fact_type))


def number_of(own: Wearlog, sheet: str, *words: str) -> str:
    found: str = done(own("entries", sheet, *words, "--json")).json["rows"][0]["entry_number"]
    return found


def test_there_is_a_sample_of_every_sheet() -> None:
    assert list(SAMPLES) == list(SHEETS)


def test_whatever_a_sheet_can_hold_a_command_enters_changes_and_takes_back(own: Wearlog) -> None:
    for words in BEFORE:
        done(own(*words))
    numbers: dict[str, str] = {}
    for sheet, sample in SAMPLES.items():
        entered = done(own("enter", sheet, *(cell.format(**numbers) for cell in sample.enter), "--yes", "--json")).json
        numbers[sheet] = entered["entry_number"]
        listed = done(own("entries", sheet, "--json")).json["rows"]
        assert numbers[sheet] in [row["entry_number"] for row in listed], sheet
        assert "Taken back" not in done(own("entries", numbers[sheet])).out, sheet
        before = own("entries", numbers[sheet], "--json").json["rows"]
        dry = done(own("change", numbers[sheet], sample.change, "--dry-run", "--json")).json
        assert (dry["saved"], dry["changes"][0]["column"]) == (None, sample.heading), sheet
        assert own("entries", numbers[sheet], "--json").json["rows"] == before, sheet
        changed = done(own("change", numbers[sheet], sample.change, "--json")).json
        assert [one["column"] for one in changed["changes"]] == [sample.heading], sheet
        row = own("entries", numbers[sheet], "--json").json["rows"]
        assert row[0]["cells"][sample.heading].removesuffix("+00:00") == sample.becomes, sheet
    for sheet in reversed(SAMPLES):
        if sheet == "setting":
            continue
        done(own("undo", numbers[sheet]))
        listed = done(own("entries", sheet, "--json")).json["rows"]
        assert numbers[sheet] not in [row["entry_number"] for row in listed], sheet
        # its number still finds it, and says that it is gone
        assert "Taken back: it is in no sheet and counts nowhere." in done(own("entries", numbers[sheet])).out, sheet
    assert done(own("check")).code == 0


def test_a_setting_is_taken_back_like_any_row(own: Wearlog) -> None:
    done(own("enter", "setting", "setting=labour_rate", "content=28.50"))
    done(own("undo", number_of(own, "setting", "labour_rate")))
    assert own("entries", "setting", "labour_rate", "--json").json["rows"] == []


def test_a_number_is_made_of_the_rows_id_alone_and_told_apart_by_more_digits(
    own: Wearlog, file_farm: SmallFarm
) -> None:
    number = number_of(own, "part")
    assert number == short_number(file_farm.section_part.id) == long_number(file_farm.section_part.id)[:6]
    longer = long_number(file_farm.section_part.id)[:9]
    assert done(own("entries", longer)).out.startswith("Part ")
    assert own("entries", "12").code == 2
    assert "has 6 digits" in own("change", "abc", "note=x").err


def test_a_breakage_that_was_an_hour_later_takes_its_parts_repair_and_stop_along(
    own: Wearlog, file_farm: SmallFarm
) -> None:
    harvest(file_farm)
    done(own("set", "time_zone", "UTC"))
    done(own("log", "sections 41-42 rock, 20 min, 2026-08-01 16:00", "--yes"))
    number = number_of(own, "breakage")
    done(own("change", number, "at=2026-08-01 17:00"))
    (breakage,) = rows(file_farm, Breakage)
    (repair,), (stop,) = rows(file_farm, Repair), rows(file_farm, Stoppage)
    used = next(one for one in rows(file_farm, StockMove) if one.breakage_id == breakage.id)
    assert breakage.at == repair.started_at == stop.started_at == used.at
    fittings = {one.id: one for one in rows(file_farm, Fitting)}
    assert {fittings[one].removed_at for one in breakage.broke_fitting_ids} == {breakage.at}
    assert {fittings[one].fitted_at for one in breakage.followed_fitting_ids} == {breakage.at}


def test_other_positions_of_a_breakage_change_the_fittings_and_the_shelf(own: Wearlog, file_farm: SmallFarm) -> None:
    harvest(file_farm)
    done(own("set", "time_zone", "UTC"))
    done(own("log", "sections 41-42 rock, 2026-08-01 16:00", "--yes"))
    number = number_of(own, "breakage")
    done(own("change", number, "positions=42-44"))
    (breakage,) = rows(file_farm, Breakage)
    on = [one for one in rows(file_farm, Fitting) if one.fitted_at == breakage.at]
    assert sorted(one.position for one in on) == [42, 43, 44]
    assert [one.quantity for one in rows(file_farm, StockMove) if one.breakage_id == breakage.id] == [3]
    whole = [one for one in rows(file_farm, Fitting) if one.position == 41]
    assert [one.removed_at for one in whole] == [None]
    done(own("change", number, "action=mended"))
    assert [one for one in rows(file_farm, Fitting) if one.fitted_at == breakage.at] == []
    assert [one for one in rows(file_farm, StockMove) if one.breakage_id == breakage.id] == []
    done(own("undo"))
    done(own("undo", number))
    assert rows(file_farm, Breakage) == []
    assert len(rows(file_farm, Fitting)) == 161


def test_one_breakage_of_a_line_with_two_is_taken_back_alone(own: Wearlog, file_farm: SmallFarm) -> None:
    harvest(file_farm)
    done(own("enter", "component", "machine=North", "part_kind=guard", "place=guards", "positions=80"))
    done(own("enter", "fitting", "machine=North", "component=guards", "fitted=2026-05-01"))
    done(own("log", "section 41 and guard 20 rock, 2026-08-01 16:00", "--yes"))
    assert len(rows(file_farm, Breakage)) == 2
    done(own("undo", number_of(own, "breakage", "guards")))
    (left,) = rows(file_farm, Breakage)
    assert left.component_id == file_farm.knife.id
    assert [one.removed_at for one in rows(file_farm, Fitting) if one.position == 20] == [None, None]


def test_what_rests_on_a_row_is_named_before_it_can_go(own: Wearlog, file_farm: SmallFarm) -> None:
    harvest(file_farm)
    ran = own("undo", number_of(own, "machine", "Kestrel"))
    assert ran.code == 4
    assert "on this" in ran.err


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (("area=sixty",), "area_ac: "),
        (("acres=60",), "no heading 'acres'"),
        (("ground=swampy",), "ground: 'swampy' is not in the list. Write one of"),
        (("area",), "'area' says no column. Write it like: area=62"),
        (("area=1", "area=2"), "The column area stands twice."),
        (("area=158 ac",), "It says so already"),
    ],
)
def test_what_cannot_be_read_is_said_with_its_column(own: Wearlog, cells: tuple[str, ...], said: str) -> None:
    done(own("add", "field", "north quarter", "--area", "158", "--ground", "stony"))
    ran = own("change", number_of(own, "field"), *cells)
    assert ran.code in (2, 4)
    assert said in " ".join(ran.err.split())


def test_a_second_row_of_one_name_is_refused_and_a_twin_is_asked_about(own: Wearlog) -> None:
    done(own("enter", "field", "name=home", "area=60", "ground=clean"))
    again = own("enter", "field", "name=Home", "area=61", "ground=clean")
    assert (again.code, "of this name already" in again.err) == (4, True)
    sample = ("enter", "moisture_sample", "crop=oats", "at=2026-08-21 14:30", "tester_pct=9.4")
    done(own("enter", "crop", "name=oats"))
    done(own(*sample))
    twin = own(*sample)
    assert (twin.code, "the same moisture sample" in twin.err.casefold()) == (4, True)
    done(own(*sample, "--yes"))


def test_who_did_it_is_said_once_and_remembered_on_this_device(
    own: Wearlog, tmp_path: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    done(own("enter", "crop", "name=oats", "--by", "Anna"))
    assert load_preferences().person == "Anna"
    done(own("enter", "crop", "name=rye"))
    latest = own("history", "--last", "2", "--json").json["entries"]
    assert [row["person"] for row in latest] == ["Anna", "Anna"]
    done(own("enter", "crop", "name=flax", "--by", ""))
    assert own("history", "--last", "1", "--json").json["entries"][0]["person"] is None


def test_an_entry_of_the_history_is_changed_by_its_own_number(own: Wearlog) -> None:
    done(own("add", "field", "river bottom", "--area", "62", "--ground", "clean"))
    entry = own("history", "--last", "1", "--json").json["entries"][0]["entry_number"]
    done(own("change", entry, "ground=stony"))
    assert own("entries", "field", "river", "--json").json["rows"][0]["ground"] == "stony"
