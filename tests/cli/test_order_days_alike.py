"""The last day to order a part is the same on the lines of the plan, in its orders and on the printed report."""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path

from tests.cli.running import Wearlog


def test_the_day_to_order_is_one_day_everywhere(demo: Wearlog, tmp_path: Path) -> None:
    found = demo("plan", "--json").json
    lines = {one["part"]: one for order in found["orders"] for one in order["lines"]}
    assert len(lines) > 5
    days = {part: date.fromisoformat(one["order_by"]) for part, one in lines.items()}
    for part, one in lines.items():
        assert days[part] == date.fromisoformat(one["needed_on"]) - timedelta(days=one["days_9_in_10"])
    for order in found["orders"]:
        assert order["order_by"] == min(days[one["part"]] for one in order["lines"]).isoformat()
    # the lines that fit what is ordered
    fitted = [one for one in found["replace"] if one["in_plan"] and one["order_by"] is not None]
    assert fitted
    for one in fitted:
        assert one["order_by"] == days[one["part"]].isoformat()
    # the table of the terminal, and the page that is printed
    said = demo("plan").out
    report = tmp_path / "report.html"
    assert demo("report", str(report)).code == 0
    page = report.read_text("utf-8")
    for part, day in days.items():
        row = next(line for line in said[said.index("ORDER LIST") :].splitlines() if line.strip().startswith(part))
        assert row.split()[-1] == day.isoformat()
        printed = [one for one in re.findall(r"<tr.*?</tr>", page, re.DOTALL) if f">{part}<" in one]
        assert {one for row in printed for one in re.findall(r">(20\d\d-\d\d-\d\d)<", row)} == {day.isoformat()}
