"""No file of the program imports itself by a way round, and inside each package its parts import one way only."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.module_graph import circles, folder_graph, import_graph, imports_of

ROOT = Path(__file__).parents[2]
GRAPH = import_graph(ROOT, "wearlog")
PACKAGES = sorted({name.rpartition(".")[0] for name in GRAPH} - {""})


def ways_round(graph: dict[str, set[str]]) -> list[str]:
    """Return a sentence for each circle: its files, and what each of them imports of the others."""
    return [
        f"{len(group)} import one another: "
        + "; ".join(f"{name} imports {', '.join(sorted(graph[name] & set(group)))}" for name in group)
        for group in circles(graph)
    ]


def test_no_files_import_one_another_in_a_circle() -> None:
    """Imports for types only and imports inside functions count: whoever reads one file of a circle must read them all."""
    assert len(GRAPH) > 400
    assert ways_round(GRAPH) == []


@pytest.mark.parametrize("package", PACKAGES)
def test_the_parts_of_a_package_import_one_way(package: str) -> None:
    """Its files and its sub-packages, each sub-package taken as one."""
    assert ways_round(folder_graph(GRAPH, package)) == []


def test_every_sub_package_is_looked_at() -> None:
    there = {".".join(file.parent.relative_to(ROOT).parts) for file in ROOT.joinpath("wearlog").rglob("__init__.py")}
    assert set(PACKAGES) >= {name for name in there if any(other.startswith(f"{name}.") for other in GRAPH)}


def test_a_circle_is_seen_with_its_files() -> None:
    """A check on the check: two circles, one of them within the reach of the other, and files that only lead there."""
    graph = {"a": {"b"}, "b": {"c"}, "c": {"b", "d"}, "d": {"e"}, "e": {"f"}, "f": {"d"}, "g": {"a"}, "h": set()}
    assert circles(graph) == [["d", "e", "f"], ["b", "c"]]
    assert ways_round(graph)[1] == "2 import one another: b imports c; c imports b"


def test_a_circle_of_folders_is_seen_where_no_files_go_round() -> None:
    graph = {"p.up.one": {"p.low.one"}, "p.low.one": set(), "p.low.two": {"p.up.two"}, "p.up.two": set()}
    assert circles(graph) == []
    assert circles(folder_graph(graph, "p")) == [["low", "up"]]


def test_imports_for_types_and_inside_functions_count() -> None:
    source = """
from typing import TYPE_CHECKING
import p.one
from p import two
if TYPE_CHECKING:
    from p.three import Name
def late():
    from .four import name
    from . import five
"""
    modules = ["p", "p.here", "p.one", "p.two", "p.three", "p.four", "p.five", "p.six"]
    found = imports_of(source, "p.here", package=False, modules=modules)
    assert found == {"p.one", "p.two", "p.three", "p.four", "p.five"}
