"""The faults commands as a person types them: story 3 from end to end, and the demo's recurring fault found by the advice."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from scipy.stats import beta

from tests.cli.running import Wearlog
from tests.simulated_truth import ShortToGround
from tests.small_farm import SmallFarm
from wearlog.cli.faults_commands import SUBCOMMANDS
from wearlog.facts.closed_lists import CheckKind
from wearlog.faults.circuit import Circuit
from wearlog.faults.starting_diagrams import starting_diagram
from wearlog.logbook.faults.circuits import circuit_on
from wearlog.logbook.names import known_names, machine_named
from wearlog.store.location import Location
from wearlog.store.opening import open_store

SIGNS = (
    "--sign",
    "header fuse blew on movement",
    "--sign",
    "reel lift valve dead",
    "--sign",
    "stubble lights dead",
    "--when",
    "header raised, rough ground",
)


@pytest.fixture
def at(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Set the clock of the commands."""

    def set_to(text: str) -> None:
        now = datetime.fromisoformat(text).astimezone()
        for module in ("options", "faults_commands", "fault_answer_commands"):
            monkeypatch.setattr(f"wearlog.cli.{module}.local_now", lambda: now)

    return set_to


@pytest.fixture
def own(wearlog: Wearlog, file_farm: SmallFarm, at: Callable[[str], None]) -> Wearlog:
    """wearlog on the small farm's log, in its season."""
    at("2026-08-03 15:00")
    return lambda *words: wearlog(*words, "--db", str(file_farm.store.location.file))


@pytest.fixture
def demo_copy(demo_file: Path, tmp_path: Path) -> Path:
    copy = tmp_path / "demo.db"
    shutil.copyfile(demo_file, copy)
    return copy


@pytest.fixture
def demo(wearlog: Wearlog, demo_copy: Path, at: Callable[[str], None]) -> Wearlog:
    """wearlog on a copy of the demo fleet's log, on the day its story ends."""
    at("2026-11-20 12:00")
    return lambda *words: wearlog(*words, "--db", str(demo_copy))


def follow(wearlog: Wearlog, number: int, truth: ShortToGround, *, most: int = 10) -> list[tuple[str, str]]:
    """Do what `faults next` says, and note what the truth shows, until the right place is to be repaired."""
    steps: list[tuple[str, str]] = []
    for _ in range(most):
        step = wearlog("faults", "next", str(number), "--json").json["checks"][0]
        steps.append((step["check"], step["node"]))
        if step["check"] == "repair":
            if step["node"] == truth.node:
                return steps
            note = ("swap", step["node"], "good")
        elif step["check"] == "look_beyond":
            note = ("beyond", "good")
        else:
            kind = CheckKind(step["check"])
            note = (kind.value.replace("_", "-"), step["node"], truth.verdict(kind, step["node"]).value)
        assert wearlog("faults", "check", str(number), *note, "--minutes", str(step["minutes"])).code == 0
    raise AssertionError(f"not found after {steps}")


def told(steps: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """The steps that tell something; putting the lamp in the fuse's place belongs to the first plug that is opened."""
    return [step for step in steps if not (step[0] == "lamp" and "fuse" in step[1].lower())]


@pytest.mark.parametrize("name", SUBCOMMANDS)
def test_every_subcommand_has_help_with_examples(wearlog: Wearlog, name: str) -> None:
    ran = wearlog("faults", name, "-h")
    assert ran.code == 0
    assert f"wearlog faults {name}" in ran.out.split("Examples:")[1]


def test_without_a_subcommand_it_lists_with_the_numbers_that_name_a_fault(demo: Wearlog) -> None:
    lines = demo("faults").out.splitlines()
    assert lines[2].split()[:3] == ["12", "OPEN", "Alder"]
    assert [line.split()[0] for line in lines[2:]] == [str(number) for number in range(12, 0, -1)]
    assert [row["number"] for row in demo("faults", "--json").json["faults"]] == list(range(12, 0, -1))


def test_options_before_the_subcommand_are_refused_and_not_dropped(wearlog: Wearlog) -> None:
    ran = wearlog("faults", "--json", "trail")
    assert ran.code == 2
    assert "Write them behind it: wearlog faults trail ..." in ran.err


def test_a_fault_of_the_third_season_is_found_closed_and_watched(own: Wearlog, at: Callable[[str], None]) -> None:
    """Story 3: the wire at the header's back sheet is worn through; two seasons of guesses, then the checks find it."""
    at("2026-08-03 15:00")
    assert own("faults", "diagram", "kestrel", "--start", "header").out == (
        "Saved: drew starting diagram 'header' of Kestrel: added 16 places and 22 connections.\n"
        "  starting diagram, adapt it; layout and ratings are common practice, without a source\n"
    )
    own("read", "kestrel", "engine", "2400")
    first = own("faults", "open", "kestrel", "header fuse blows", *SIGNS)
    assert first.out == (
        "Saved: opened on Kestrel: header fuse blows (header fuse blew on movement, reel lift valve dead, stubble lights dead, "
        "header raised, rough ground), 3 Aug 2026 15:00.\n"
        "It is fault 1: 'wearlog faults next 1' says what to check first.\n"
    )
    assert first.err.startswith("Before you touch it:\n- Stop the engine, take the key out and keep it")
    closed = own("faults", "close", "1", "stubble", "short-to-ground", "--fix", "unplugged the lights", "--fuse", "15")
    assert closed.out == (
        "Saved: closed 'header fuse blows': short to ground at Stubble lights, unplugged the lights, 15 A fuse, "
        "3 Aug 2026 15:00.\n"
        "Kestrel: header fuse blows, so far once.\n"
        "not run since; 60 % that it holds; 95 % after 4,661 more hours\n"
    )

    at("2027-08-05 15:00")
    own("read", "kestrel", "engine", "2600")
    second = own("faults", "open", "kestrel", "header fuse blows", *SIGNS)
    assert second.out.splitlines()[1] == (
        "It is here for the 2nd time; last time (3 Aug 2026): checked 0, no check showed it; taken to be "
        "Stubble lights, short to ground (inferred, not seen)."
    )
    own("faults", "close", "2", "--fix", "dried the plug")

    at("2028-08-06 15:00")
    own("read", "kestrel", "engine", "2850")
    third = own("faults", "open", "kestrel", "header fuse blows", *SIGNS)
    assert third.out.splitlines()[1:] == [
        "It is here for the 3rd time; last time (5 Aug 2027): checked 0, not found.",
        "It is fault 3: 'wearlog faults next 3' says what to check first.",
    ]
    ranked = own("faults", "suspects", "3", "--json").json["suspects"]
    assert [one["node"] for one in ranked[:2]] == ["Feeder harness", "Header harness"]
    assert sum(one["chance"] for one in ranked) == pytest.approx(1, abs=1e-4)

    truth = ShortToGround(starting_diagram("header").circuit(), "Header harness")
    steps = follow(own, 3, truth)
    assert steps[-1] == ("repair", "Header harness")
    assert len(told(steps)) <= 4
    own("faults", "close", "3", "header harness", "short-to-ground", "--fix", "sleeved", "--evidence", "inferred")

    sentences = []
    for hours, day in ((2850, "2028-08-06 16:00"), (2990, "2028-08-20 16:00"), (3450, "2028-09-20 16:00")):
        at(day)
        own("read", "kestrel", "engine", str(hours))
        sentences.append(own("faults", "trail", "3").out.splitlines()[-1])
    # one such fix failed before: 2.4 / (2.4 + 1.6 + 1). Always under the same conditions, a tenth of all hours: bound by .999;
    # gaps of 200 and 250 h, a tenth of them so: gamma(3, 85) under them, gamma(3, 490) over all
    expected = [0.48 / (0.48 + 0.52 * still_quiet(u)) for u in (0, 140, 600)]
    assert [f"{chance * 100:.0f} %" for chance in expected] == ["48 %", "55 %", "73 %"]
    so = "as none or all of these hours were under the conditions in which it shows"
    assert sentences == [
        "not run since; 48 % that it holds; 95 % after 2,021 more hours",
        f"quiet 140 h; 55 % that it has held; 95 % after 1,881 more hours (48 % to 94 %, {so})",
        f"quiet 600 h; 73 % that it has held; 95 % after 1,421 more hours (48 % to over 99 %, {so})",
    ]
    assert own("faults", "trail", "3").out.startswith("Kestrel: header fuse blows, for the 3rd time\n")


def still_quiet(u: float) -> float:
    """The chance that what was not fixed stays quiet: the hours under the conditions are a tenth of u, worth one for every 50 h."""
    bound = 0.5 / (0.5 + 0.5 * 0.1**3)
    under = beta(0.1 * u / 50, 0.9 * u / 50).expect(lambda share: (85 / (85 + share * u)) ** 3) if u else 1.0
    return float(bound * under + (1 - bound) * (490 / (490 + u)) ** 3)


def demo_circuit(file: Path) -> Circuit:
    store = open_store(Location(file=file))
    with store.reading() as connection:
        found = circuit_on(connection, machine_named(known_names(connection), "tamarack").id)
    store.close()
    return found


@pytest.mark.parametrize(
    ("when", "most"),
    [("2022-08-01 12:00", 4), ("2023-08-05 12:00", 4), ("2024-07-24 10:00", 4), ("2025-08-03 12:00", 6)],
)
def test_the_demos_recurring_fault_is_found_by_the_programs_own_advice(
    demo: Wearlog, demo_copy: Path, when: str, most: int
) -> None:
    """Each of its four seasons anew, knowing only what was known then: the wire behind the header plug, in a few steps."""
    place = "Header plug pigtail"
    opened = demo(
        *("faults", "open", "tamarack", "the header goes dead", "--at", when),
        *(
            "--sign",
            "fuse 5 header blew on movement",
            "--sign",
            "reel lift valve dead",
            "--sign",
            "stubble lights dead",
        ),
        *("--sign", "left height sensor dead", "--sign", "left work light works", "--when", "header raised"),
    )
    number = int(re.search(r"It is fault (\d+)", opened.out)[1])
    steps = follow(demo, number, ShortToGround(demo_circuit(demo_copy), place))
    assert steps[-1] == ("repair", place)
    # the farm of the story made 11 checks over four seasons before it looked there
    assert len(told(steps)) <= most
    demo("faults", "check", str(number), "look", "pigtail", "bad", "--measured", "chafed to the copper")
    closed = demo("faults", "close", str(number), "pigtail", "short-to-ground", "--fix", "sleeved", "--fuse", "15 A")
    assert closed.code == 0
    found = next(row for row in demo("faults", "--json").json["faults"] if row["number"] == number)
    assert (found["node"], found["evidence"], found["fix"]) == (place, "seen", "sleeved, 15 A fuse")


def test_the_cautions_stand_before_the_first_check_and_later_only_what_a_check_adds(demo: Wearlog) -> None:
    demo(
        "faults",
        "open",
        "tamarack",
        "reel dead",
        "--sign",
        "reel lift valve dead",
        "--sign",
        "fuse 5 header blew later",
    )
    before = demo("faults", "next", "13")
    assert before.err.splitlines()[1:3] == [
        "- Stop the engine, take the key out and keep it, and wait until everything stands still.",
        "- Take the negative lead off the battery before you open, cut or move a harness.",
    ]
    assert "Never bridge a fuse and never fit a larger one" in before.err
    assert "Never trust hydraulics to hold a header" in before.err
    assert before.err.splitlines()[-1].startswith("- The machine's own book comes before this list")
    assert "Fuse 5 header: put back 15 A (blue), the same rating and never a larger one." in before.out
    as_json = demo("faults", "next", "13", "--json").json
    assert as_json["cautions"][0] in before.err
    assert set(as_json["checks"][0]) == {"check", "node", "minutes", "expect", "why"}
    demo("faults", "check", "13", "look", "header plug", "good")
    assert "Take the negative lead off" not in demo("faults", "next", "13").err


def test_a_larger_fuse_is_refused_and_nothing_is_closed(demo: Wearlog) -> None:
    demo("faults", "open", "tamarack", "reel dead", "--sign", "fuse 5 header blew later")
    ran = demo("faults", "close", "13", "header harness", "short-to-ground", "--fuse", "20")
    assert (ran.code, ran.out) == (4, "")
    assert "This circuit takes 15 A, not 20 A." in ran.err
    assert demo("faults", "--open").out.count("OPEN") == 2


def test_no_advice_ever_names_a_bridge_or_a_larger_rating(demo: Wearlog) -> None:
    """Whatever the fault: amperes are named only where the same rating goes back, and a bridge only where it is forbidden."""
    signs = (
        "fuse 5 header blew at once",
        "fuse 2 unloading blew later",
        "fuse 1 lights blew on movement",
        "fuse whole",
    )
    for place, sign in enumerate(signs):
        demo("faults", "open", "tamarack", f"case {place}", "--sign", sign)
        advice = demo("faults", "next", f"case {place}", "--most", "12").out
        assert "bridge" not in advice
        named = [line for line in advice.splitlines() if re.search(r"\d A\b", line)]
        assert all(line.endswith("the same rating and never a larger one.") for line in named)
        assert len(named) == (0 if sign == "fuse whole" else 1)


def test_the_trail_of_the_demo_says_how_often_what_it_cost_and_whether_it_has_held(demo: Wearlog) -> None:
    ran = demo("faults", "trail")
    assert ran.out.splitlines()[0] == "Tamarack: header fuse blows when the header moves, for the 4th time"
    assert ran.out.splitlines()[-5:] == [
        "It came back after 329 h (3,519 ac), 196 h (2,379 ac) and 346 h (3,937 ac).",
        "No trend that so few times could prove (p 0.86).",
        "It goes with header raised: noted 4 of 4 times, with other faults 0 of 8 (p under 0.01).",
        "So far it has cost 1,203.08 USD (4 repairs, 4 stops and 7 parts at its moments).",
        "quiet 460 h; 98 % that it has held",
    ]
    (trail,) = demo("faults", "trail", "--json").json["trails"]
    assert (trail["machine"], trail["count"], trail["open"], trail["evidence"]) == ("Tamarack", 4, False, "seen")
    assert [one["number"] for one in trail["episodes"]] == [3, 6, 7, 9]
    assert trail["cost"]["total"] == {"amount": "1203.08", "currency": "USD"}
    assert trail["held"]["engine_hours_to_target"] == 0
    assert len(demo("faults", "trail", "--all", "--json").json["trails"]) == 9


def test_the_checklist_of_last_time_is_shown_when_the_fault_opens_again(demo: Wearlog) -> None:
    opened = demo(
        *("faults", "open", "tamarack", "header dead again", "--sign", "fuse 5 header blew on movement"),
        *("--sign", "reel lift valve dead", "--sign", "stubble lights dead"),
    )
    assert opened.out.splitlines()[1] == (
        "It is here for the 5th time; last time (3 Aug 2025): checked 3, found at 4: Header plug pigtail, short to ground."
    )
    shown = demo("faults", "next", "13").out.splitlines()
    assert shown[1].startswith("last time (3 Aug 2025): checked 3, found at 4")
    assert " ".join(shown[7].split()) == (
        "4 wiggling Header plug pigtail lamp steady lamp flickers as the header lifts bad 6"
    )


def test_a_measured_number_is_judged_by_its_published_rule(demo: Wearlog) -> None:
    ran = demo("faults", "check", "12", "voltage-drop", "engine ground", "--measured", "0.9 V")
    said = "check 4 of 'controllers drop off the data line': voltage drop Engine ground, 0.9 V, bad, 20 Nov 2026 13:00"
    assert ran.out == f"Saved: {said}.\n  0.9 V is above 0.1 V: clean it; alone it seldom keeps a load dead.\n"
    assert demo("faults", "check", "12", "look", "engine ground").code == 2


def test_what_names_no_fault_or_several_is_said_with_what_to_do(demo: Wearlog) -> None:
    assert demo("faults", "suspects", "99").code == 3
    several = demo("faults", "suspects", "header fuse")
    assert several.code == 2
    assert several.err == ("wearlog: 'header fuse' could be any of 4 faults.\n  Give the number: 3, 6, 7, 9.\n")
    # of two with one title the one that is open is meant
    assert demo("faults", "suspects", "controllers drop", "--json").json["fault"]["number"] == 12
    assert demo("faults", "next", "9").code == 4


def test_a_machine_without_a_diagram_says_how_to_begin(own: Wearlog) -> None:
    opened = own("faults", "open", "kestrel", "lights out", "--sign", "fuse blew later")
    assert opened.out.splitlines()[1:] == [
        "It is fault 1. Nothing is drawn of Kestrel yet, so nothing can be suspected.",
        "  Begin with 'wearlog faults diagram Kestrel --start header', or draw your own.",
    ]
    assert own("faults", "next", "1").code == 3
    assert own("faults", "trail").out == "No fault has come back.\n"


def test_a_diagram_is_drawn_written_edited_and_set_again(own: Wearlog, tmp_path: Path) -> None:
    own("faults", "diagram", "kestrel", "--start", "header")
    drawn = own("faults", "diagram", "kestrel")
    assert "Header plug (connector); returns by Frame ground" in drawn.out
    file = tmp_path / "kestrel.txt"
    text = own("faults", "diagram", "kestrel", "--text").out
    file.write_text(text)
    assert own("faults", "diagram", "kestrel", "--set", str(file)).code == 4
    file.write_text(text.replace("fuse 15 A", "fuse 20 A"))
    assert own("faults", "diagram", "kestrel", "--set", str(file)).out == (
        "Saved: drew the diagram of Kestrel: changed 1 place.\n"
    )
    nodes = own("faults", "diagram", "kestrel", "--json").json["nodes"]
    assert next(one for one in nodes if one["node"] == "Header fuse")["rating_amperes"] == 20
    file.write_text("Battery; battery\n")
    wrong = own("faults", "diagram", "kestrel", "--set", str(file))
    assert (wrong.code, wrong.err.splitlines()[0]) == (
        2,
        "wearlog: Line 1 of the diagram: a line needs a name, one colon and a kind.",
    )


def test_one_circuit_is_drawn_with_what_it_hangs_on(demo: Wearlog) -> None:
    lines = demo("faults", "diagram", "tamarack", "--circuit", "header").out.splitlines()
    assert lines[:2] == ["Alternator", "└─ Battery"]
    assert lines[5] == "            └─ Fuse 5 header (fuse 15 A)"
    assert not any("Fuse 1 lights" in line for line in lines)
    assert demo("faults", "diagram", "tamarack", "--circuit", "moon").code == 3


def test_a_code_is_looked_up_by_the_open_standard(wearlog: Wearlog) -> None:
    assert wearlog("faults", "codes", "639/9").out.splitlines()[:2] == [
        "SPN 639, FMI 9: messages come too seldom or too often.",
        "Suspect first (common practice, no source): the sender, or the data line.",
    ]
    assert len(wearlog("faults", "codes", "--json").json["failure_modes"]) == 32
    assert wearlog("faults", "codes", "639/40").code == 4
    assert wearlog("faults", "codes", "left").code == 2


def test_the_drawing_has_the_chance_beside_each_suspect(demo: Wearlog) -> None:
    lines = demo("faults", "suspects", "9", "--draw").out.splitlines()
    line = next(one for one in lines if "└ Header plug pigtail" in one)
    assert line.split() == ["98", "%", "└", *["Header", "plug", "pigtail", "(wire", "run)", "short", "to", "ground"]]
    assert "this time: checked 3, found at 4: Header plug pigtail, short to ground" in lines


def test_the_rows_of_a_trail_go_into_a_file_and_a_file_holds_one_trail(demo: Wearlog, tmp_path: Path) -> None:
    file = tmp_path / "trail.csv"
    refused = demo("faults", "trail", "--save", str(file))
    assert (refused.code, file.exists()) == (2, False)
    assert "A file holds one trail." in refused.err
    assert demo("faults", "trail", "9", "--save", str(file)).err == f"Wrote 4 rows into {file}.\n"
    written = file.read_text("utf-8").splitlines()
    assert written[0] == "no.,opened,checks,found,evidence,quiet before"
    assert written[-1] == '9,2025-08-03,5,"Header plug pigtail, short to ground",damage seen and repaired,346 h'
