"""Which module of the program imports which, read off the sources; imports for types only and inside functions count."""

from __future__ import annotations

import ast
from collections.abc import Iterable, Mapping
from pathlib import Path

Graph = dict[str, set[str]]


def module_name(file: Path, root: Path) -> str:
    return ".".join(file.relative_to(root).with_suffix("").parts).removesuffix(".__init__")


def imports_of(source: str, name: str, *, package: bool, modules: Iterable[str]) -> set[str]:
    """Return the modules among `modules` that the module `name` imports anywhere in its source.

    `from a.b import c` is an import of `a.b.c` where that is a module, else of `a.b`; the packages above are not counted, as they
    hold nothing but their docstring.
    """
    known = set(modules)
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            above = name.split(".")[: len(name.split(".")) - node.level + package] if node.level else []
            base = ".".join([*above, node.module] if node.module else above)
            inner = {f"{base}.{alias.name}" for alias in node.names}
            found |= inner & known
            if inner - known:
                found.add(base)
    return found & known - {name}


def import_graph(root: Path, top: str) -> Graph:
    """Return for each module of the package `top` below the folder `root` the modules of the package that it imports."""
    files = {module_name(file, root): file for file in sorted(root.joinpath(top).rglob("*.py"))}
    return {
        name: imports_of(file.read_text("utf-8"), name, package=file.stem == "__init__", modules=files)
        for name, file in files.items()
    }


def circles(graph: Mapping[str, set[str]]) -> list[list[str]]:
    """Return the groups of modules that reach one another (strongly connected components of more than one), the largest first.

    Tarjan, "Depth-first search and linear graph algorithms" (1972), with a stack of its own instead of recursion.
    """
    number: dict[str, int] = {}
    low: dict[str, int] = {}
    waiting: list[str] = []
    found: list[list[str]] = []
    for start in sorted(graph):
        if start in number:
            continue
        number[start] = low[start] = len(number)
        waiting.append(start)
        walk = [(start, iter(sorted(graph[start])))]
        while walk:
            name, following = walk[-1]
            step = next(following, None)
            if step is None:
                walk.pop()
                if walk:
                    low[walk[-1][0]] = min(low[walk[-1][0]], low[name])
                if low[name] == number[name]:
                    group = waiting[waiting.index(name) :]
                    del waiting[waiting.index(name) :]
                    found += [sorted(group)] if len(group) > 1 else []
            elif step not in number:
                number[step] = low[step] = len(number)
                waiting.append(step)
                walk.append((step, iter(sorted(graph[step]))))
            elif step in waiting:
                low[name] = min(low[name], number[step])
    return sorted(found, key=lambda group: (-len(group), group))


def folder_graph(graph: Mapping[str, set[str]], package: str) -> Graph:
    """Return the same for the parts of a package: its modules and its sub-packages as one node each."""

    def part(name: str) -> str | None:
        inner = name.removeprefix(package + ".")
        return inner.partition(".")[0] if inner != name else None

    folded: Graph = {}
    for name, imported in graph.items():
        here = part(name)
        if here is not None:
            others = {part(other) for other in imported} - {None, here}
            folded.setdefault(here, set()).update(other for other in others if other)
    return folded
