"""What loads when, and what every file of the repository keeps to: size, names, first lines, no addresses of machines."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

import wearlog.wear
from wearlog.tui.gateway import LOADED_ALONE

ROOT = Path(__file__).parents[2]
MODULES = sorted(ROOT.joinpath("wearlog").rglob("*.py"))
IDS = [str(file.relative_to(ROOT)) for file in MODULES]


def repository_files() -> list[Path]:
    """Every file that is tracked or about to be."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return [ROOT / name for name in listed.stdout.split("\0") if name and ROOT.joinpath(name).exists()]


def loaded_by(code: str) -> set[str]:
    """Return the top-level names of the modules that a new process has loaded after running `code`."""
    program = f"import sys\ntry:\n    {code}\nexcept SystemExit as end:\n    assert not end.code, end.code\n"
    program += "print('\\n' + ' '.join(sorted({name.partition('.')[0] for name in sys.modules})))"
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return set(done.stdout.splitlines()[-1].split())


#: what takes long to load, and no help needs
HEAVY = {"sqlalchemy", "alembic", "textual", "rich", "numpy", "scipy", "openpyxl", "matplotlib", "jinja2", "decimal"}


def test_help_loads_neither_database_nor_screens_nor_numbers() -> None:
    """`wearlog --help` answers at once: beyond an empty Python it loads a few small modules of our own, and zlib."""
    loaded = loaded_by("sys.argv = ['wearlog', '--help']; from wearlog.cli.main import main; main()")
    assert loaded - loaded_by("pass") <= {"wearlog", "__future__", "errno", "zlib"}


def test_the_help_of_no_command_loads_database_screens_or_numbers() -> None:
    """All of them in one process: what none of them loads, not one of them loads."""
    loaded = loaded_by(
        "from wearlog.cli import app, overview; print([app.run_command([name, '-h']) for name in overview.names()])"
    )
    assert {"click", "wearlog"} <= loaded
    assert not loaded & HEAVY


def test_what_a_plan_needs_loads_the_solver_and_the_tables_of_statistics_nowhere() -> None:
    """They take longer to load than the demo's plan to reckon; the solver is loaded where a limit binds."""
    code = "import sys, wearlog.reckoning.plan.season_plan, wearlog.exchange.order_files, wearlog.reckoning.costs.own_costs"
    code += "\nprint([name for name in ('scipy.optimize', 'scipy.stats') if name in sys.modules], 'scipy.special' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == "[] True\n"


def test_the_app_loads_neither_database_nor_numbers() -> None:
    """The first paint does not wait for what the first question needs."""
    loaded = loaded_by("import wearlog.tui.app")
    assert "textual" in loaded
    assert not loaded & {"sqlalchemy", "alembic", "numpy", "scipy"}


def test_the_facts_load_the_standard_library_only() -> None:
    code = "import wearlog.facts.wearing, wearlog.facts.starting_guesses, wearlog.facts.machines, wearlog.facts.work"
    others = loaded_by(code) - loaded_by("pass") - set(sys.stdlib_module_names)
    assert others == {"wearlog"}


def test_the_top_level_holds_what_the_design_says_and_nothing_else() -> None:
    top = {file.relative_to(ROOT).parts[0] for file in repository_files()}
    assert {name for name in top if not name.startswith(".")} == {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "wearlog",
        "migrations",
        "demo_fleet",
        "tests",
        "docs",
    }


@pytest.mark.parametrize("file", MODULES, ids=IDS)
def test_a_module_says_first_what_it_holds(file: Path) -> None:
    said = ast.get_docstring(ast.parse(file.read_text("utf-8")))
    assert said, "no docstring"
    assert said.splitlines()[0].endswith((".", ":", ";", "?", ")")), said.splitlines()[0]


def test_no_module_is_longer_than_400_lines() -> None:
    lengths = {name: len(file.read_text("utf-8").splitlines()) for name, file in zip(IDS, MODULES, strict=True)}
    assert {name: lines for name, lines in lengths.items() if lines > 400} == {}


def test_no_module_is_called_after_nothing() -> None:
    """A name such as utils says nothing of what is inside, so everything ends up inside."""
    nothing = re.compile(r"(^|_)(utils?|helpers?|common|managers?|misc)(_|$)")
    folders = {parent for file in MODULES for parent in file.relative_to(ROOT).parents}
    names = {file.stem for file in MODULES} | {folder.name for folder in folders}
    assert {name for name in names if nothing.search(name)} == set()


@pytest.mark.parametrize(
    "file",
    [file for file in MODULES if "__all__" in file.read_text("utf-8")],
    ids=lambda file: str(file.relative_to(ROOT)),
)
def test_every_name_a_module_offers_is_there(file: Path) -> None:
    module = import_module(".".join(file.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"))
    assert module.__all__
    assert [name for name in module.__all__ if not hasattr(module, name)] == []
    assert len(set(module.__all__)) == len(module.__all__)


#: put together here, so that this file does not name them
REGISTRIES = [
    "py" + "pi.org",
    "python" + "hosted.org",
    "npm" + "js.",
    "crates" + ".io",
    "ana" + "conda.",
    "conda" + "-forge",
]
MACHINE_PATH = re.compile(r"(?<![\w./~>*}-])/(?:work|tmp|root|home|Users)/\w")


def test_no_file_names_a_registry_or_a_path_of_a_machine() -> None:
    found = []
    for file in repository_files():
        for number, line in enumerate(file.read_bytes().decode("utf-8", "replace").splitlines(), 1):
            if any(host in line.lower() for host in REGISTRIES) or MACHINE_PATH.search(line):
                found.append(f"{file.relative_to(ROOT)}:{number}: {line.strip()[:100]}")
    assert found == []


def test_the_check_of_paths_sees_one() -> None:
    """A check on the check."""
    assert MACHINE_PATH.search("folder = '/tm" + "p/x'")
    assert MACHINE_PATH.search("see /wo" + "rk/main")
    assert not MACHINE_PATH.search("https://shed/home/x or {place}/tmp/x or ~/root/x or a/work/y")


def test_test_files_have_names_of_their_own() -> None:
    names = [file.name for file in ROOT.joinpath("tests").rglob("test_*.py")]
    assert sorted(name for name in set(names) if names.count(name) > 1) == []
    assert list(ROOT.joinpath("tests").rglob("__init__.py")) == []


def class_names(file: Path) -> list[str]:
    """The classes of a module by their full names; a message inside a widget is called with the widget's name before it."""

    def walk(node: ast.AST, above: str) -> list[str]:
        found = []
        for inner in ast.iter_child_nodes(node):
            here = f"{above}{inner.name}" if isinstance(inner, ast.ClassDef) else ""
            found += [here] if here else []
            found += walk(inner, f"{here}." if here else above)
        return found

    return walk(ast.parse(file.read_text("utf-8")), "")


def test_no_two_classes_have_one_name() -> None:
    """Two records of one name are taken for each other in a sentence, an error and an import."""
    where: dict[str, list[str]] = {}
    for name, file in zip(IDS, MODULES, strict=True):
        for one in class_names(file):
            where.setdefault(one, []).append(name)
    assert len(where) > 500
    assert {one: files for one, files in where.items() if len(files) > 1} == {}


def test_packages_that_load_what_lies_in_them_are_loaded_while_one_question_runs() -> None:
    """Two threads that load such a package by different doors may get half a module each."""
    packages = (file for file in MODULES if file.name == "__init__.py")
    names = {".".join(file.parent.relative_to(ROOT).parts): file.read_text("utf-8") for file in packages}
    assert {name for name, text in names.items() if re.search(rf"^from {re.escape(name)}\.", text, re.M)} == set(
        LOADED_ALONE
    )


def test_the_first_question_waits_for_no_library_and_the_second_finds_them_there() -> None:
    asked = """
import sys
from wearlog.tui.gateway import Gateway
gateway = Gateway("no-such-log.db")
there = lambda door: [name in sys.modules for name in ("numpy", "sqlalchemy")]
print(gateway._answer(there), gateway._answer(there))
"""
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout == "[False, False] [True, True]\n"


def test_the_first_page_of_the_yard_loads_nothing_of_the_maths() -> None:
    asked = "import sys, wearlog.present.yard.yard_glance_page; print('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True).stdout == "False\n"


def test_a_line_is_heard_and_saved_without_arrays() -> None:
    asked = "import sys, wearlog.logbook.lines.line_saving; print('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True).stdout == "False\n"


def test_the_public_names_of_the_wear_load_one_by_one() -> None:
    """The package alone loads nothing; each of its names is there, and nothing else is."""
    tell = "print([name for name in sys.modules if name.startswith(('numpy', 'scipy', 'wearlog.wear.'))])"
    asked = f"import sys; import wearlog.wear; {tell}; from wearlog.wear import find_chain; {tell}"
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines() == ["[]", "['wearlog.wear.chain']"]
    assert all(getattr(wearlog.wear, name) is not None for name in wearlog.wear.__all__)
    with pytest.raises(AttributeError, match="no attribute 'no_such_name'"):
        wearlog.wear.no_such_name  # noqa: B018
