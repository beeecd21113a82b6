"""The wheel holds everything the program needs and runs from another folder in an environment without the source tree."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import sysconfig
import venv
from pathlib import Path
from zipfile import ZipFile

import pytest

ROOT = Path(__file__).parents[2]


def run(*words: str | Path, cwd: Path, environment: dict[str, str] | None = None) -> str:
    done = subprocess.run(
        words,
        cwd=cwd,
        env={**os.environ, **(environment or {})},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 0, f"{words}: {done.stdout}{done.stderr}"
    return done.stdout


@pytest.fixture(scope="session")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the wheel the way it is released."""
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "build", "--wheel", "--outdir", folder, ROOT, cwd=folder)
    (made,) = folder.glob("*.whl")
    return made


@pytest.fixture(scope="session")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Install the wheel into an environment of its own and return the folder of its programs.

    The libraries are those of the environment that runs the tests: its folder is put behind the new one on the path. Files in it
    that point at the source tree are not followed from there.
    """
    home = tmp_path_factory.mktemp("installed")
    venv.create(home, with_pip=True)
    python = home / "bin" / "python"
    run(python, "-m", "pip", "install", "--no-deps", "--no-index", "--quiet", wheel, cwd=home)
    where = run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=home).strip()
    Path(where, "libraries.pth").write_text(f"{sysconfig.get_path('purelib')}\n", "utf-8")
    return home / "bin"


def test_the_wheel_holds_every_file_of_the_program(wheel: Path) -> None:
    """Sources, migrations and every sheet of the demo fleet; an ignore rule for CSV files would have emptied it."""
    held = set(ZipFile(wheel).namelist())
    wanted = {str(file.relative_to(ROOT)) for file in ROOT.joinpath("wearlog").rglob("*.py")}
    wanted |= {"wearlog/py.typed"}
    for folder in ("migrations", "demo_fleet"):
        files = [file for file in ROOT.joinpath(folder).rglob("*") if file.suffix in {".py", ".csv", ".mako"}]
        assert files
        wanted |= {f"wearlog/_{file.relative_to(ROOT)}" for file in files}
    assert sum(name.endswith(".csv") for name in wanted) >= 30
    assert wanted - held == set()


def test_the_wheel_holds_nothing_else(wheel: Path) -> None:
    held = [name for name in ZipFile(wheel).namelist() if ".dist-info/" not in name]
    assert [name for name in held if not name.startswith("wearlog/")] == []
    assert [name for name in held if name.endswith((".pyc", ".db", ".sql")) or "test" in name] == []


def test_the_installed_program_comes_from_the_wheel(installed: Path, tmp_path: Path) -> None:
    """A check on the check: the source tree must not be what answers."""
    code = "import wearlog, wearlog.settings; print(wearlog.__file__); print(wearlog.settings.shipped('migrations'))"
    lines = run(installed / "python", "-c", code, cwd=tmp_path).splitlines()
    assert all(line.startswith(str(installed.parent)) for line in lines)
    assert lines[1].endswith("wearlog/_migrations")


def test_the_installed_program_tells_its_version(installed: Path, tmp_path: Path) -> None:
    version = run(installed / "wearlog", "--version", cwd=tmp_path).strip()
    assert version.split()[-1] == "0.2.0"


def test_the_installed_program_shows_the_demo_without_a_terminal(installed: Path, tmp_path: Path) -> None:
    """`wearlog demo </dev/null` from another folder: the brief of the demo fleet, from the sheets in the wheel."""
    brief = run(installed / "wearlog", "demo", cwd=tmp_path, environment={"WEARLOG_HOME": str(tmp_path / "home")})
    assert len(brief.splitlines()) > 10
    assert "WHAT WEARS" in brief
    assert re.search(r"All seasons: [\d,]+ USD, [\d.]+ USD per ac", brief)


def test_the_installed_program_upgrades_by_the_migrations_in_the_wheel(installed: Path, tmp_path: Path) -> None:
    code = (
        "from alembic.script import ScriptDirectory; from wearlog.store.migrate import migration_config; "
        "print(*ScriptDirectory.from_config(migration_config()).get_heads())"
    )
    from wearlog.store.revision import HEAD

    assert run(installed / "python", "-c", code, cwd=tmp_path).split() == [HEAD]
