"""The import contracts of pyproject.toml hold: imports go down the layers only, each library is known where it belongs."""

from __future__ import annotations

import ast
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
WEARLOG = ROOT / "wearlog"


def test_the_import_contracts_hold() -> None:
    lint = [sys.executable, "-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"]
    done = subprocess.run([*lint, "--no-cache", "--no-logo"], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "0 broken" in done.stdout


def test_every_package_stands_in_the_layers() -> None:
    """A package that nobody put into the list would be checked by nothing."""
    layers = ROOT.joinpath("pyproject.toml").read_text("utf-8").partition("layers = [")[2].partition("]")[0]
    named = set(layers.replace('"', " ").replace(",", " ").split()) - {"|", ":"}
    there = {f"wearlog.{file.parent.name}" for file in WEARLOG.glob("*/__init__.py")}
    leaves = {f"wearlog.{file.stem}" for file in WEARLOG.glob("*.py") if file.stem != "__init__"}
    assert named == there | leaves


@pytest.mark.parametrize("file", sorted(WEARLOG.glob("facts/*.py")), ids=lambda file: file.name)
def test_facts_import_the_standard_library_and_the_leaves_only(file: Path) -> None:
    for name in imported_names(file):
        top = name.partition(".")[0]
        leaf = name.startswith(
            ("wearlog.facts", "wearlog.ids", "wearlog.errors", "wearlog.units", "wearlog.machine_clock")
        )
        assert leaf or top in sys.stdlib_module_names, name


def imported_names(file: Path) -> list[str]:
    names = []
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names.append(node.module or "")
    return names


def test_every_package_in_a_package_stands_in_an_order_of_its_own() -> None:
    """A folder inside a package is named in a contract that says what it may import of the package."""
    contracts = tomllib.loads(ROOT.joinpath("pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]["contracts"]
    named = {
        f"{container}.{part.strip()}"
        for contract in contracts
        for container in contract.get("containers", [])
        for layer in contract["layers"]
        for part in layer.replace(":", "|").split("|")
    }
    inner = {".".join(file.parent.relative_to(ROOT).parts) for file in WEARLOG.glob("*/*/__init__.py")}
    assert len(inner) >= 7
    assert inner - named == set()
