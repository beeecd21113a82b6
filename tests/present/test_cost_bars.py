"""The bars of what an acre costs: as long as it, made of its parts, and what lies too far right is marked as further."""

from __future__ import annotations

from dataclasses import replace

from wearlog.facts.farm_settings import FarmSettings
from wearlog.present.costs.cost_charts import cost_bars
from wearlog.present.costs.cost_sheet import cost_sheet
from wearlog.present.digits import Measures
from wearlog.present.sheet_faces import sheet_json, table_lines
from wearlog.reckoning.costs.costs import CostRow, CostTable, Split
from wearlog.units import ACRE_SQUARE_METRES

_MEASURES = Measures(FarmSettings())
_ROW = CostRow(
    "Heron", 100 * float(ACRE_SQUARE_METRES), 3600.0, 50_000, 25_000, 0, 25_000, 1000 / float(ACRE_SQUARE_METRES)
)


def _table(row: CostRow, elsewhere_minor: int = 0) -> CostTable:
    elsewhere = CostRow("elsewhere", 0.0, 0.0, elsewhere_minor, 0, 0, 0, None)
    return CostTable(Split.MACHINE, (row,), elsewhere, replace(row, key="total"), 0)


def test_repairs_stand_beside_the_published_curve_on_a_scale_of_their_own() -> None:
    table = _table(replace(_ROW, expected_repair_minor=1_000_000))
    *legend, bar = cost_bars(table, _MEASURES, 80, 5)
    assert legend[-1] == "%: repairs against the published curve; ┼ is 100 %"
    # 75,000 of 1,000,000 for repairs, whatever standing cost: beyond the strip's tenth, and no mark on the bar
    assert bar.endswith("  8 % ←─────┼")
    assert (bar.count("█"), bar.count("▓"), bar.count("░")) == (23, 11, 12)


def test_the_bars_of_costs_and_their_legend_find_room_on_a_phone() -> None:
    lines = cost_bars(_table(replace(_ROW, expected_repair_minor=150_000)), _MEASURES, 41, 5)
    assert lines[:3] == [
        "USD an acre: █ parts  ▓ labour  ▒ service",
        "  ░ downtime",
        "%: repairs against the published curve",
    ]
    assert lines[3].endswith(" 50 %")
    assert max(map(len, lines)) <= 41


def test_what_belongs_to_no_row_stands_last_and_is_no_row_of_the_json() -> None:
    sheet = cost_sheet(_table(_ROW, elsewhere_minor=700), _MEASURES)
    drawn = table_lines(sheet)
    assert [line.split()[0] for line in drawn[2:]] == ["Heron", "elsewhere", "---------", "total"]
    told = sheet_json(sheet)
    assert [row["key"] for row in told["rows"]] == ["Heron"]
    assert told["elsewhere"]["parts"] == {"amount": "7.00", "currency": "USD"}
    assert told["rows"][0]["per_acre"] == {"amount": "10.00", "currency": "USD"}
