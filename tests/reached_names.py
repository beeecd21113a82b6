"""Which definitions of the program its own code never comes to, read off the sources.

A definition is a function, a method, a class or a constant of a module. It is reached when code that is reached itself names it;
what runs when a module is loaded is reached, and so are migrations and the demo fleet. A name is followed through the imports of
its module to the one definition that it means; of `thing.name` the class is not known, so that it reaches every method of that
name: a dead method may go unseen, but none that lives is called dead. An import alone reaches nothing, nor does a list of names
to offer.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field

#: a module and a name in it, with dots for a method: ("wearlog.tui.host", "Host.ask")
Place = tuple[str, str]
#: decorators that leave it to others to call what they stand over; any other decorator hands it to something that calls it
QUIET = {
    *("property", "cached_property", "staticmethod", "classmethod", "abstractmethod", "setter", "override", "overload"),
    *(
        "cache",
        "lru_cache",
        "contextmanager",
        "dataclass",
        "unique",
        "verify",
        "final",
        "runtime_checkable",
        "total_ordering",
    ),
    *("command",),
}
#: calls that look an attribute up by its text
BY_TEXT = {"getattr", "hasattr", "setattr", "attrgetter", "methodcaller"}


@dataclass
class Definition:
    """A definition: its lines, what its own code names, and whether a decorator hands it to something that calls it."""

    place: Place
    lines: int
    handed_over: bool
    names: set[str] = field(default_factory=set)
    #: (what stands before the dot if that is a plain name, the attribute)
    attributes: set[tuple[str, str]] = field(default_factory=set)
    texts: set[str] = field(default_factory=set)


@dataclass
class Module:
    """A module: what it defines, the names it imports with the places they mean, and what runs when it is loaded."""

    name: str
    definitions: dict[str, Definition] = field(default_factory=dict)
    imports: dict[str, Place] = field(default_factory=dict)
    loading: Definition = field(init=False)

    def __post_init__(self) -> None:
        self.loading = Definition((self.name, ""), 0, handed_over=True)


def read_module(source: str, name: str, *, package: bool = False) -> Module:
    """Read one module."""
    module = Module(name)
    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                module.imports[alias.asname or alias.name.partition(".")[0]] = (alias.name if alias.asname else "", "")
        elif isinstance(node, ast.ImportFrom):
            above = name.split(".")[: len(name.split(".")) - node.level + package] if node.level else []
            base = ".".join([*above, node.module] if node.module else above)
            module.imports |= {alias.asname or alias.name: (base, alias.name) for alias in node.names}
    for node in tree.body:
        _read(node, module, "", module.loading)
    return module


def _read(node: ast.stmt, module: Module, above: str, around: Definition) -> None:
    """Read a statement of a module or of a class body; `around` is what its code belongs to when it defines nothing."""
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
        found = _define(node, module, f"{above}{node.name}")
        found.handed_over = bool(node.decorator_list) and not {_last(one) for one in node.decorator_list} <= QUIET
        # a module's own __getattr__ is called by the language
        found.handed_over |= not above and node.name.startswith("__")
        if isinstance(node, ast.ClassDef):
            for part in (*node.bases, *node.keywords, *node.decorator_list):
                _note(part, found)
            for inner in node.body:
                _read(inner, module, f"{found.place[1]}.", found)
        else:
            _note(node, found)
    elif isinstance(node, ast.If | ast.Try):
        for inner in ast.iter_child_nodes(node):
            if isinstance(inner, ast.stmt):
                _read(inner, module, above, around)
            else:
                _note(inner, around)
    elif not above and (targets := _targets(node)):
        for target in targets:
            _note(node, around if target.startswith("__") else _define(node, module, target))
    else:
        _note(node, around)


def _define(node: ast.stmt, module: Module, name: str) -> Definition:
    # a setter stands under the name of its property, a second branch of an `if` under that of the first: one definition
    known = module.definitions.get(name)
    lines = (node.end_lineno or node.lineno) - node.lineno + 1
    found = known or Definition((module.name, name), 0, handed_over=False)
    found.lines += lines
    module.definitions[name] = found
    return found


def _targets(node: ast.stmt) -> list[str]:
    targets = node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
    names = [inner.id for one in targets for inner in ast.walk(one) if isinstance(inner, ast.Name)]
    return [] if names == ["__all__"] else names


def _last(decorator: ast.expr) -> str:
    call = decorator.func if isinstance(decorator, ast.Call) else decorator
    return call.attr if isinstance(call, ast.Attribute) else call.id if isinstance(call, ast.Name) else ""


def _note(node: ast.AST, into: Definition) -> None:
    """Note what some code names."""
    if isinstance(node, ast.Assign) and _targets(node) == [] and isinstance(node.targets[0], ast.Name):
        return
    for inner in ast.walk(node):
        if isinstance(inner, ast.Name) and isinstance(inner.ctx, ast.Load):
            into.names.add(inner.id)
        elif isinstance(inner, ast.Attribute):
            before = inner.value.id if isinstance(inner.value, ast.Name) else ""
            into.attributes.add((before, inner.attr))
        elif isinstance(inner, ast.Call) and _last(inner) in BY_TEXT:
            looked_up = [one.value for one in inner.args if isinstance(one, ast.Constant)]
            into.attributes |= {("", text) for text in looked_up if isinstance(text, str)}
        elif isinstance(inner, ast.Constant) and isinstance(inner.value, str):
            into.texts |= set(re.findall(r"[A-Za-z_]\w*", inner.value)) if len(inner.value) < 200 else set()


def unreached(
    modules: Iterable[Module],
    roots: Iterable[Place],
    called_as: Callable[[Place], str],
    hooks: Mapping[Place, Callable[[str], bool]],
) -> dict[Place, int]:
    """Return the definitions that nothing comes to, with their lines.

    Parameters
    ----------
    modules : iterable of Module
        All of them; those that define nothing to be looked for are sources of names only.
    roots : iterable of Place
        What is called from outside.
    called_as : callable
        The word by which a text in code that is reached means a place (an action of a key, a screen); "" where none does.
    hooks : mapping of Place to callable
        For a class: does what it is built on call a method of this name?
    """
    known = {module.name: module for module in modules}
    methods: dict[str, list[Definition]] = {}
    everything: list[Definition] = []
    for module in known.values():
        for name, one in module.definitions.items():
            everything.append(one)
            if "." in name:
                methods.setdefault(name.rpartition(".")[2], []).append(one)
    reached: set[Place] = set()
    #: methods whose name was said before their class was reached
    said: set[str] = set()
    texts: set[str] = set()
    waiting: list[Definition] = [module.loading for module in known.values()]
    by_text: dict[str, list[Definition]] = {}
    for one in everything:
        by_text.setdefault(called_as(one.place), []).append(one)
    del by_text[""]

    def reach(one: Definition | None) -> None:
        if one is not None and one.place not in reached:
            reached.add(one.place)
            waiting.append(one)

    def class_reached(one: Definition) -> bool:
        return (one.place[0], one.place[1].rpartition(".")[0]) in reached

    def follow(place: Place, steps: int = 8) -> Definition | Module | None:
        module, name = known.get(place[0]), place[1]
        if name and f"{place[0]}.{name}" in known:
            return known[f"{place[0]}.{name}"]
        if module is None or not name:
            return module
        if name in module.definitions:
            return module.definitions[name]
        return follow(module.imports[name], steps - 1) if name in module.imports and steps else None

    def means(module: Module, name: str) -> Definition | Module | None:
        return module.definitions.get(name) or (follow(module.imports[name]) if name in module.imports else None)

    for place in roots:
        found = follow(place)
        reach(found if isinstance(found, Definition) else None)
    while waiting:
        here = waiting.pop()
        module = known[here.place[0]]
        for name in here.names:
            found = means(module, name)
            reach(found if isinstance(found, Definition) else None)
        for before, name in here.attributes:
            owner = means(module, before) if before else None
            if isinstance(owner, Module):
                found = means(owner, name)
                reach(found if isinstance(found, Definition) else None)
                continue
            said.add(name)
            for one in methods.get(name, ()):
                if class_reached(one):
                    reach(one)
        for text in here.texts - texts:
            texts.add(text)
            for one in by_text.get(text, ()):
                if "." not in one.place[1] or class_reached(one):
                    reach(one)
        # a class that is reached brings what it is built on to call, and what was asked for by name before
        for name, one in module.definitions.items():
            above, _, own = name.rpartition(".")
            if above != here.place[1] or not own or one.place in reached:
                continue
            if here is module.loading:
                if one.handed_over:
                    reach(one)
                continue
            called = own in said or (own.startswith("__") and own.endswith("__")) or one.handed_over
            hook = hooks.get(here.place)
            if called or (hook is not None and hook(own)) or called_as(one.place) in texts:
                reach(one)
    return {one.place: one.lines for one in everything if one.place not in reached}


def walk_lines(found: Mapping[Place, int]) -> Iterator[tuple[str, int]]:
    """Give the outermost definitions only, as text: what stands inside a dead class is not named again."""
    for (module, name), lines in sorted(found.items()):
        if "." not in name or (module, name.rpartition(".")[0]) not in found:
            yield f"{module}.{name}", lines
