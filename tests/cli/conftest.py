"""wearlog as a function, on farms that stand ready."""

from __future__ import annotations

import pkgutil
import shutil
from importlib import import_module
from pathlib import Path

import pytest

from tests.cli.running import Wearlog, on_log, runner
from tests.farm_fixtures import demo_file, demo_store, entered_farm, farm, file_farm
from tests.small_farm import SmallFarm
from wearlog import cli

__all__ = ["demo_file", "demo_store", "entered_farm", "farm", "file_farm"]

# commands are loaded when they are called: one that is loaded while a test has set the clock would keep that clock for all others
for _module in pkgutil.iter_modules(cli.__path__):
    import_module(f"{cli.__name__}.{_module.name}")


@pytest.fixture
def wearlog(capsys: pytest.CaptureFixture[str]) -> Wearlog:
    return runner(capsys)


@pytest.fixture
def own(wearlog: Wearlog, file_farm: SmallFarm) -> Wearlog:
    """wearlog on the small farm's log."""
    return on_log(wearlog, file_farm.store.location.file)


@pytest.fixture
def demo(wearlog: Wearlog, demo_file: Path, tmp_path: Path) -> Wearlog:
    """wearlog on a copy of the demo fleet's log."""
    return on_log(wearlog, shutil.copyfile(demo_file, tmp_path / "demo.db"))
