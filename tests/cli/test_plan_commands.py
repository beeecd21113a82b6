"""The winter by commands: the plan within its money, choices, orders as files, the delivery, the report; and the first winter."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import pytest
from python_calamine import CalamineWorkbook

from tests.cli.running import Wearlog, runner
from wearlog.costs.published_curves import COMBINE
from wearlog.costs.remaining_value import COMBINE_VALUE, remaining_value
from wearlog.costs.repair_curve import accumulated_repair, repair_per_hour

WINTER = datetime(2026, 11, 20, 18, tzinfo=UTC)


@pytest.fixture
def wearlog(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Wearlog:
    """wearlog on the demo's last day; what C code writes past Python is seen too."""
    for module in ("plan", "plan_entry", "cost", "brief"):
        monkeypatch.setattr(f"wearlog.cli.{module}_commands.local_now", lambda: WINTER)
    return runner(capfd)


def cents(money: dict[str, str]) -> int:
    assert money["currency"] == "USD"
    return round(Decimal(money["amount"]) * 100)


def line(plan: dict, component: str) -> dict:
    return next(row for row in plan["replace"] if row["component"] == component)


def test_the_json_has_the_keys_that_others_rely_on(demo: Wearlog) -> None:
    plan = demo("plan", "--json").json
    assert (plan["season"], plan["planned_area"], plan["area_unit"]) == (2027, 9000.0, "ac")
    for row in plan["replace"]:
        assert {
            "component",
            "kind",
            "positions",
            "age",
            "cost_keep",
            "cost_replace",
            "saving",
            "limit_age",
            "do",
        } <= set(row)
        assert row["do"] in ("replace", "run", "either_way")
        assert cents(row["cost_keep"]) - cents(row["cost_replace"]) == cents(row["saving"])
    for row in plan["spares"]:
        assert {"part", "on_hand", "expected", "buy", "run_out_chance"} <= set(row)
        assert 0 <= row["run_out_chance"] <= 1
    assert cents(plan["budget"]) == 600_000
    assert (
        cents(plan["total"]) == sum(cents(row["sum"]) for order in plan["orders"] for row in order["lines"]) <= 600_000
    )
    assert 0 <= plan["stop_free_chance"] <= 1


def test_story_2_february_the_plan_within_6000_a_rebuild_toggled_the_order_and_the_report(
    demo: Wearlog, tmp_path: Path
) -> None:
    before = demo("plan", "--budget", "6000", "--json").json
    rasp = line(before, "Alder rasp bars")
    assert (rasp["do"], rasp["by_hand"], rasp["in_plan"]) == ("replace", True, True)
    assert demo("plan", "run", "alder rasp bars").out == "Saved: the plan for 2027: chose to run Alder, rasp bars.\n"
    book, page, folder = tmp_path / "order.xlsx", tmp_path / "plan.html", tmp_path / "orders"
    ran = demo("plan", "--budget", "6000", "--json", "--xlsx", str(book), "--csv", str(folder), "--html", str(page))
    plan = ran.json
    assert ran.code == 0
    assert line(plan, "Alder rasp bars")["in_plan"] is False
    assert cents(plan["total"]) <= 600_000
    # the money of the rasp bars goes where it saves more
    assert cents(plan["expected_saving"]) > cents(before["expected_saving"])
    rows = CalamineWorkbook.from_path(str(book)).get_sheet_by_name("order").to_python()
    assert round(Decimal(str(rows[-1][8])) * 100) == cents(plan["total"])
    ordered = {row["part"]: row["pieces"] for order in plan["orders"] for row in order["lines"]}
    assert {row[2]: row[6] for row in rows[1:-1]} == ordered
    assert len(list(folder.iterdir())) == len(plan["orders"])
    assert "Season plan 2027" in page.read_text("utf-8")
    on_hand = {row["number"]: row["on_hand"] for row in demo("stock", "--json").json["parts"]}
    received = demo("plan", "receive", str(book), "--at", "2026-11-21 9:00")
    assert received.code == 0, received.err
    after = {row["number"]: row["on_hand"] for row in demo("stock", "--json").json["parts"]}
    assert {number: after[number] - on_hand[number] for number in ordered} == ordered
    assert demo("plan", "receive", str(book)).code == 4
    # what came is spent: hardly anything more is bought, and the page tells why
    now = demo("plan", "--json").json
    assert now["received"] == plan["total"]
    assert cents(now["total"]) <= 600_000 - cents(plan["total"])
    assert "came in already" in demo("plan").out
    demo("undo")
    assert {row["number"]: row["on_hand"] for row in demo("stock", "--json").json["parts"]} == on_hand
    assert demo("plan", "figures", "alder rasp bars").out.startswith(
        "Saved: the plan for 2027: let the figures decide on Alder, rasp bars"
    )


def test_the_page_stays_within_its_width_and_says_what_it_rests_on(demo: Wearlog) -> None:
    page = demo("plan").out
    assert max(len(text) for text in page.splitlines()) <= 104
    for heading in ("REPLACE OR RUN", "SPARES TO CARRY", "ORDER LIST", "THE SUMS", "NOT DECIDED", "WHAT IT RESTS ON"):
        assert heading in page
    assert "unsure" in page
    assert "common practice, no source" in page
    assert "Timeliness" in page


def test_cautions_stand_before_the_work_that_is_planned(demo: Wearlog) -> None:
    page = demo("plan").out
    assert page.index("Engine off, key out") < page.index("Alder rasp bars")
    assert page.index("The machine's own book comes before this list") < page.index("Alder rasp bars")


def test_each_recommendation_opens_to_its_why(demo: Wearlog) -> None:
    why = demo("plan", "--explain", "merlin knife sections").out
    for said in (
        "Age: ",
        "Half of them last",
        "failures in",
        "Chance that the most worn",
        "Run: ",
        "Replacing saves",
        "QF-1010",
    ):
        assert said in why
    assert "Wear cut-proof gloves." in why
    # where some of the positions were measured there are two chances, and each is named
    both = demo("plan", "--explain", "plover hold-downs").out
    assert "Chance that the most worn one fails in the season, by its age: 10 %." in both
    assert "By what was measured at 1, 17 the worst of them lasts the season with 59 %" in both
    measured = demo("plan", "--explain", "tamarack clean grain elevator chain", "--json").json
    assert measured["explained"]["measurements"] == 12
    assert any("measurements of this very part" in sentence for sentence in measured["why"])
    assert demo("plan", "--explain", "nobody's part").code == 3


def test_no_money_and_too_little_money_are_answered_plainly(demo: Wearlog) -> None:
    too_little = demo("plan", "--budget", "1000")
    assert too_little.code == 0
    assert "goes beyond the budget by 1,729.70 USD" in too_little.out
    demo("plan", "figures", "alder rasp bars")
    none = demo("plan", "--budget", "0")
    assert "Nothing to order." in none.out
    assert "With no money nothing is bought" in none.out
    assert demo("plan", "--budget", "-5").code == 2


def test_the_next_100_is_told(demo: Wearlog) -> None:
    assert "100 USD more would" in demo("plan").out
    assert demo("plan", "--json").json["next_money"]["saves"]["amount"] > "0"


def test_nothing_but_the_answer_reaches_stdout_with_json(demo: Wearlog) -> None:
    for budget in ("137.11", "2999.99", "6543.21"):
        ran = demo("plan", "--budget", budget, "--shop-hours", "13.7", "--json")
        assert ran.out.startswith("{")
        assert cents(ran.json["total"]) <= max(round(float(budget) * 100), 272_970)


def test_a_season_that_is_over_or_unknown(demo: Wearlog) -> None:
    assert (demo("plan", "--season", "2024").code, demo("plan", "--season", "2050").code) == (4, 3)
    assert "There is no plan for 2031 yet." in demo("plan", "run", "alder rasp bars", "--season", "2031").err


def test_an_option_before_another_word_is_not_swallowed(wearlog: Wearlog) -> None:
    ran = wearlog("plan", "--budget", "100", "make", "2027")
    assert ran.code == 2
    assert "Write them behind it" in ran.err


def test_the_first_winter_from_nothing_to_a_plan_that_says_it_guesses(own: Wearlog) -> None:
    empty = own("plan")
    assert empty.code == 0
    assert "Nothing says what the machines will do" in empty.out
    assert (
        own("plan", "make", "2027", "--budget", "900", "--shop-hours", "40").out == "Saved: began the plan for 2027.\n"
    )
    assert own("plan", "area").code == 2
    planned = own("plan", "area", "2,000ac", "--ground", "stony", "--header", "north", "--combine", "kestrel")
    assert planned.out == "Saved: planned one area to cut.\n"
    listed = own("plan", "area", "--list").out
    assert ("2,000 ac" in listed, "cut by" in listed, "1 area, together 2,000 ac, all stony." in listed) == (True,) * 3
    (area,) = own("plan", "area", "--list", "--json").json["areas"]
    assert (area["number"], area["acres"], area["ground"], area["combine"]) == (1, 2000.0, "stony", "Kestrel")
    assert own("plan", "area", "640ac", "--json").code == 2
    plan = own("plan", "--json").json
    knife = line(plan, "North knife section")
    assert (knife["failures"], knife["starting_guess"], knife["standing_from"]) == (0.0, True, "usual_labour")
    assert [row["why"] for row in plan["undecided"]] == ["no_price"]
    assert plan["undecided"][0]["worth_below"] is not None
    assert plan["spares"][0]["expected"] > 5
    page = own("plan").out
    assert "1 component rests on the starting guess alone (common practice, no source)" in page
    assert own("plan", "area", "--drop", "1").code == 0
    assert own("plan", "area", "--drop", "1").code == 3
    assert own("plan", "make", "2027", "--budget", "none").out == "Saved: changed the plan for 2027.\n"
    assert own("plan", "--json").json["budget"] is None


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def parsed(page: Path) -> _Tags:
    found = _Tags()
    found.feed(page.read_text("utf-8"))
    return found


def test_the_report_is_one_file_that_needs_no_other_and_holds_everything(demo: Wearlog, tmp_path: Path) -> None:
    page = tmp_path / "season.html"
    assert demo("report", str(page)).out == f"Wrote {page}.\n"
    found = parsed(page)
    heads = " ".join(found.text)
    for heading in (
        "Orders",
        "Spares to carry",
        "What wears",
        "Faults open",
        "Services due",
        "Costs",
        "What it rests on",
    ):
        assert heading in heads
    names = {tag for tag, _ in found.tags}
    assert not names & {"script", "link", "img", "iframe", "object"}
    assert [tag for tag, _ in found.tags].count("svg") == 57
    addresses = [value for _, attrs in found.tags for name, value in attrs.items() if name in ("src", "href")]
    assert [one for one in addresses if one and not one.startswith("#")] == []
    assert "@page" in page.read_text("utf-8")
    assert "Engine off, key out" in heads


def test_a_name_with_markup_in_it_stays_a_name(own: Wearlog, tmp_path: Path) -> None:
    own("set", "farm_name", "<script>alert(1)</script>")
    own("plan", "make", "2027")
    page = tmp_path / "season.html"
    assert own("report", str(page)).code == 0
    assert "<script>" not in page.read_text("utf-8")
    assert "&lt;script&gt;" in page.read_text("utf-8")


def test_the_report_of_an_empty_farm_is_a_page_too(wearlog: Wearlog, tmp_path: Path) -> None:
    db = str(tmp_path / "new.db")
    assert wearlog("add", "combine", "Kestrel", "--engine", "2310", "--db", db).code == 0
    assert "want of a part: not known" in wearlog("plan", "--db", db).out
    assert wearlog("plan", "--json", "--db", db).json["stop_free_chance"] is None
    page = tmp_path / "season.html"
    assert wearlog("report", str(page), "--db", db).code == 0
    assert "Nothing to order." in page.read_text("utf-8")
    assert wearlog("report", str(tmp_path / "season.pdf"), "--db", db).code == 4


def test_the_farm_s_own_curve_stands_beside_the_published_one(demo: Wearlog) -> None:
    found = demo("cost", "--curve", "--json").json
    assert {machine["machine"] for machine in found["machines"]} == {"Juniper", "Tamarack", "Alder"}
    assert (found["published_curve"]["factor"], found["published_curve"]["exponent"]) == (0.04, 2.1)
    fleet = found["fleet_curve"]
    assert fleet["exponent_low"] < fleet["exponent"] < fleet["exponent_high"]
    assert fleet["seasons"] == sum(len(machine["seasons"]) for machine in found["machines"]) == 18
    for machine in found["machines"]:
        hours = [(one["from_hours"], one["to_hours"]) for one in machine["seasons"]]
        assert all(before[1] == after[0] for before, after in pairwise(hours))
        assert hours[-1][1] == machine["field_hours"] < machine["engine_hours"]
    assert "All combines together" in demo("cost", "--curve").out


def test_repairs_by_curve_are_the_repairs_of_the_cost_table(demo: Wearlog) -> None:
    curves = demo("cost", "--curve", "--json").json
    table = {row["key"]: row for row in demo("cost", "--by", "machine", "--json").json["rows"]}
    for machine in curves["machines"]:
        row = table[machine["machine"]]
        repairs = cents(row["parts"]) + cents(row["labour"]) + cents(row["service"])
        assert sum(cents(one["repair"]) for one in machine["seasons"]) == repairs


def test_economic_life_by_both_curves(demo: Wearlog) -> None:
    machines = demo("cost", "--economic-life", "--json").json["machines"]
    tamarack = next(machine for machine in machines if machine["machine"] == "Tamarack")
    life = tamarack["published"]
    assert life["as_good_from"] <= life["best_years"] <= life["as_good_to"]
    assert tamarack["own_curve_of"] == "this_combine"
    costlier = demo("cost", "--economic-life", "--interest", "8", "--json").json["machines"]
    after = next(machine for machine in costlier if machine["machine"] == "Tamarack")["published"]
    assert cents(after["yearly_cost"]) > cents(life["yearly_cost"])
    assert "past its cheapest age" in demo("cost", "--economic-life").out
    assert demo("cost", "--curve", "--season", "2025").code == 2


def test_a_years_cost_is_owning_and_repairs_and_the_machine_has_a_worth(demo: Wearlog) -> None:
    """Without interest: what is not value lost is the mean of the published repairs over the years kept."""
    for machine in demo("cost", "--economic-life", "--json").json["machines"]:
        priced = next(
            one for one in demo("cost", "--curve", "--json").json["machines"] if one["machine"] == machine["machine"]
        )
        life, price = machine["published"], cents(priced["list_price"])
        kept_hours = life["best_years"] * machine["field_hours_per_year"]
        repairs = accumulated_repair(COMBINE, price, kept_hours) / life["best_years"]
        assert cents(life["yearly_cost"]) - cents(life["owning_cost"]) == pytest.approx(repairs, rel=1e-3)
        assert cents(machine["worth_now"]) == pytest.approx(
            remaining_value(COMBINE_VALUE, price, machine["age_years"], machine["field_hours_per_year"]), rel=1e-3
        )
        by_the_hour = repair_per_hour(COMBINE, price, priced["field_hours"])
        assert cents(priced["expected_per_hour"]) == pytest.approx(by_the_hour, rel=1e-3)


def test_a_combine_without_list_price_says_what_it_needs(wearlog: Wearlog, tmp_path: Path) -> None:
    db = str(tmp_path / "new.db")
    wearlog("add", "combine", "Kestrel", "--engine", "2310", "--db", db)
    assert "It needs: list price" in wearlog("cost", "--economic-life", "--db", db).out
    assert (
        "No own curve" in wearlog("cost", "--curve", "--db", db).out
        or "no season" in wearlog("cost", "--curve", "--db", db).out
    )
