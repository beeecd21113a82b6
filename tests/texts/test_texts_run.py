"""Every command line of the texts and of every help runs, on the log that the text itself builds.

A section of the guide, the page of the notebook and the examples of a help are tried on the farm of the guide's section "Entering
your farm"; the README and the import format begin with nothing. What cannot run is listed in `NOT_RUN` with its reason.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import click
import pytest

from tests.cli.running import Wearlog
from tests.texts.command_lines import ROOT, TEXTS, Is, Shown, examples_of, files_in, shown_in
from tests.texts.help_pages import HELP_PAGES, before_help, edit_after
from tests.texts.running_texts import EVENING, at_the_terminal, failures, run_in_order, words_of
from wearlog.cli import overview
from wearlog.cli.app import app

TEXT = {name: (ROOT / name).read_text("utf-8") for name in TEXTS}
SHOWN = {name: shown_in(text) for name, text in TEXT.items()}
BUILDS = "Entering your farm"
SECTIONS = list(
    dict.fromkeys(
        shown.section for shown in SHOWN["docs/guide.md"] if shown.kind is Is.LINE and shown.section != BUILDS
    )
)

#: what stands in a block, or among the examples of a help, and is not run here -> why
#: the commands for another system; the window of the tests is none of it
_POWERSHELL = "py -3 -m venv .venv; .venv\\Scripts\\pip install -q -c .ci/constraints.txt"
NOT_RUN = {
    f"{_POWERSHELL} .; .venv\\Scripts\\wearlog demo": "of another system",
    f'{_POWERSHELL} -e ".[dev,postgres]"; .venv\\Scripts\\python -m pytest': "of another system",
    "python3 -m venv .venv && .venv/bin/pip install -q -c .ci/constraints.txt . && .venv/bin/wearlog demo": (
        "installs from a registry; the wheel has its own test"
    ),
    "bash .ci/test": "runs these very tests",
    "wearlog demo": "six seasons are brought in once, by the next line; tests/cli/test_commands.py runs this one",
    "wearlog demo --json </dev/null": "the same once more; `wearlog brief --json` is run",
    "wearlog move-log postgresql://shed/farm": "needs that server; tests/cli/test_server_commands.py runs it",
    "wearlog sheet-in E2F409 '2 19.9in' '5 ok' '8 order'": "the mark is of a printed sheet; test_sheet_commands.py runs it",
    "wearlog sheet-in E2F409 --file kestrel.txt --at 2026-11-20": "the same",
    "wearlog move-log cab.db --db postgresql://shed/farm": "the same",
    "wearlog backup /media/stick/farm-copy.db": "needs a stick",
    "from 'cab 2': 14 entries, 2 touch the same part": "what the line above answers",
    'wearlog pack stick.bundle --since "cab 2"': "needs a bundle of another laptop; tests/exchange/test_bundles.py runs it",
}


def lines_of(text: str, section: str | None = None) -> list[str]:
    """The command lines of a text, or of one of its sections."""
    return [one.words for one in SHOWN[text] if one.kind is Is.LINE and section in (None, one.section)]


@pytest.fixture(scope="module")
def guide_farm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder in which somebody typed the lines of the guide's section "Entering your farm"."""
    folder = tmp_path_factory.mktemp("guide")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WEARLOG_DEVICE", "shop")
        at_the_terminal(patch, folder, EVENING)
        write_files("docs/guide.md")
        assert run_in_order(lines_of("docs/guide.md", BUILDS)) == []
    return folder


def write_files(text: str, folder: Path = Path()) -> None:
    folder.mkdir(exist_ok=True)
    for file in files_in(TEXT[text]):
        (folder / file.name).write_text(file.content)


@pytest.fixture
def at_the_farm(guide_farm: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of that folder, with its log as the usual one."""
    folder = shutil.copytree(guide_farm, tmp_path / "farm")
    at_the_terminal(monkeypatch, folder, EVENING)
    return folder


@pytest.mark.parametrize("hour", [0, 21])
def test_the_first_five_minutes_work_on_an_empty_log(
    wearlog: Wearlog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, hour: int
) -> None:
    at_the_terminal(monkeypatch, tmp_path / "new", EVENING.replace(hour=hour))
    said = {}
    for line in lines_of("README.md", "The first five minutes"):
        ran = wearlog(*words_of(line))
        assert ran.code == 0, (line, ran)
        said[line] = ran.out
    began, ended = ("13 Aug 2026 14:30", "14 Aug 2026 00:00") if hour == 0 else ("14 Aug 2026 11:30", "21:00")
    assert said["wearlog undo"] == (
        f"Undid: Kestrel cut 118.0 ac on north quarter, with North, {began} to {ended}, 9.5 separator hours\n"
    )
    assert "KS-3: 3 used, 47 left" in said['wearlog log "3 sections 41-43 rock, 20 min"']
    assert wearlog("stock", "--json").json["parts"][0]["on_hand"] == 47
    assert lines_of("README.md") == list(said)


@pytest.mark.parametrize("section", SECTIONS)
def test_the_lines_of_the_guide_run(wearlog: Wearlog, at_the_farm: Path, section: str) -> None:
    assert failures(wearlog, lines_of("docs/guide.md", section)) == []


def test_the_lines_of_the_import_format_run(wearlog: Wearlog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    at_the_terminal(monkeypatch, tmp_path / "new", EVENING)
    write_files("docs/import-format.md", Path("notebook"))
    assert failures(wearlog, lines_of("docs/import-format.md")) == []


def test_the_lines_of_two_cabs_run(wearlog: Wearlog, at_the_farm: Path) -> None:
    lines = lines_of("docs/two-cabs.md")
    settled = lines.index("wearlog settle")
    assert failures(wearlog, lines[:settled]) == []
    assert "1 row was changed apart on two laptops" in wearlog("settle").out
    twins = lines.index("wearlog twins")
    assert failures(wearlog, lines[settled:twins]) == []
    assert "the same name" in wearlog("twins").out
    assert failures(wearlog, lines[twins:]) == []


def test_the_lines_of_the_notebook_page_run_on_the_farm_of_the_guide(wearlog: Wearlog, at_the_farm: Path) -> None:
    write_files("docs/notebook.md", at_the_farm)
    assert failures(wearlog, lines_of("docs/notebook.md")) == []
    assert wearlog("runs", "mill", "--json").json["runs"]


def test_the_lines_of_the_questions_run_on_the_farm_of_the_guide(wearlog: Wearlog, at_the_farm: Path) -> None:
    assert failures(wearlog, lines_of("docs/questions.md")) == []


@pytest.mark.parametrize("page", HELP_PAGES)
def test_the_examples_of_a_help_run(wearlog: Wearlog, at_the_farm: Path, page: str) -> None:
    shown = examples_of(wearlog(*page.split(), "-h").out)
    assert shown
    before_help(wearlog, page, at_the_farm)
    for line in shown:
        if line not in NOT_RUN:
            assert failures(wearlog, [standing_in(wearlog, line)]) == []
            edit_after(line, at_the_farm)


def standing_in(wearlog: Wearlog, line: str) -> str:
    """The line, with an entry of this log for the one that a help can only invent."""
    if "482913 591022" in line:
        machines = wearlog("entries", "machine", "--json").json["rows"]
        numbers = (one["entry_number"] for one in machines if one["name"] == "Kestrel")
        return line.replace("482913 591022", " ".join(numbers))
    if "482913" in line and "--entry" not in line:
        return line.replace("482913", wearlog("entries", "run", "--json").json["rows"][0]["entry_number"])
    if "--entry" not in line:
        return line
    entries = wearlog("history", "--json").json["entries"]
    latest = next(entry["entry"] for entry in entries if not entry["undone"] and not entry["undoes"])
    return re.sub(r"(?<=--entry )\S+", latest, line)


def test_the_overview_shows_lines_that_run(wearlog: Wearlog, at_the_farm: Path) -> None:
    shown = re.findall(r": (wearlog \w+ .*)$", overview.overview(), re.MULTILINE)
    assert len(shown) == 4
    assert failures(wearlog, shown) == []


def test_every_command_and_subcommand_has_its_page() -> None:
    pages = set()
    for name in overview.names():
        found = app.get_command(click.Context(app), name)
        pages.add(name)
        if isinstance(found, click.Group):
            pages |= {f"{name} {sub}" for sub in found.list_commands(click.Context(found))}
    assert set(HELP_PAGES) == pages


def test_what_is_not_run_is_listed_with_its_reason(wearlog: Wearlog) -> None:
    other = {shown.words for found in SHOWN.values() for shown in found if shown.kind is Is.OTHER}
    in_helps = {line for page in HELP_PAGES for line in examples_of(wearlog(*page.split(), "-h").out)}
    assert other | (in_helps & set(NOT_RUN)) == set(NOT_RUN)


@pytest.mark.parametrize("text", TEXTS)
def test_no_code_is_broken_by_the_end_of_a_line(text: str) -> None:
    """A command line that runs over it would not be found."""
    assert [line for line in TEXT[text].splitlines() if line.replace("```", "").count("`") % 2] == []


FORMS = [pytest.param(one, id=one.words) for found in SHOWN.values() for one in found if one.kind is Is.FORM]


@pytest.mark.parametrize("form", dict.fromkeys(FORMS))
def test_a_form_names_a_command_and_options_that_exist(form: Shown) -> None:
    path, options = command_of(form.words)
    wanted = set(re.findall(r"--[a-z][a-z-]*", form.words))
    assert wanted - {"--help"} <= options, path


@pytest.mark.parametrize("text", TEXTS)
def test_every_option_that_a_text_names_exists(text: str) -> None:
    every = {"--help", "--version", "--plain"}.union(*(command_of(f"wearlog {page}")[1] for page in HELP_PAGES))
    assert set(re.findall(r"(?<![\w-])--[a-z][a-z-]+", TEXT[text])) <= every


def command_of(words: str) -> tuple[str, set[str]]:
    """The command that a line or form calls, and the options it takes."""
    group: click.Command = app
    path, names = [], words.split()[1:]
    while isinstance(group, click.Group) and names and not names[0].startswith("-"):
        for name in names.pop(0).strip(",").split("|"):
            found = group.get_command(click.Context(group), name)
            if found is None:
                break
            path.append(name)
        if found is None:
            assert path, f"there is no command in: {words}"
            break
        group = found
    return " ".join(path), {option for param in group.params for option in (*param.opts, *param.secondary_opts)}
