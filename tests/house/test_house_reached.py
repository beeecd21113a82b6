"""No code lies about that nothing comes to."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from functools import cache
from importlib import import_module
from inspect import isclass
from pathlib import Path

from tests.module_graph import module_name
from tests.reached_names import Module, Place, read_module, unreached, walk_lines

ROOT = Path(__file__).parents[2]


@cache
def shipped() -> tuple[Module, ...]:
    """Every module that is shipped; what migrations and the demo fleet define is not looked for, what they name counts."""
    found = []
    for folder in ("wearlog", "migrations", "demo_fleet"):
        for file in sorted(ROOT.joinpath(folder).rglob("*.py")):
            name = module_name(file, ROOT)
            module = read_module(file.read_text("utf-8"), name, package=file.stem == "__init__")
            if folder != "wearlog":
                for one in module.definitions.values():
                    one.handed_over = True
            found.append(module)
    templates = Module("templates")
    for file in ROOT.joinpath("wearlog").rglob("*.j2"):
        code = " ".join(re.findall(r"{[{%](.*?)[%}]}", file.read_text("utf-8"), re.DOTALL))
        templates.loading.attributes |= {("", word) for word in re.findall(r"\.\s*([A-Za-z_]\w*)", code)}
    return (*found, templates)


@cache
def entry_points() -> tuple[Place, ...]:
    """What pyproject.toml, and the lists of commands, call from outside."""
    scripts = tomllib.loads(ROOT.joinpath("pyproject.toml").read_text("utf-8"))["project"]["scripts"]
    found = [tuple(target.split(":")) for target in scripts.values()]
    from wearlog.cli.faults_commands import SUBCOMMANDS
    from wearlog.cli.overview import COMMANDS

    listed = {**{name: one for group in COMMANDS.values() for name, one in group.items()}, **SUBCOMMANDS}
    found += [
        (f"wearlog.cli.{one.module}_commands", f"{name.replace('-', '_')}_command") for name, one in listed.items()
    ]
    return tuple(found)


@cache
def handlers() -> frozenset[str]:
    """The methods by which messages are handed to a widget: each kind of message has one of its own."""
    from textual.message import Message

    waiting, found = [Message], set()
    while waiting:
        kind = waiting.pop()
        found.add(getattr(kind, "handler_name", ""))
        waiting += kind.__subclasses__()
    return frozenset(found)


@cache
def hooks() -> dict[Place, Callable[[str], bool]]:
    """For each class: whether a library that it is built on calls a method of that name."""
    modules = [(module, import_module(module.name)) for module in shipped() if module.name.startswith("wearlog.")]
    found: dict[Place, Callable[[str], bool]] = {}
    for module, loaded in modules:
        for name in module.definitions:
            there: object = loaded
            for part in name.split("."):
                there = getattr(there, part, None)
            if isclass(there):
                found[(module.name, name)] = called_by(there)
    return found


def called_by(kind: type) -> Callable[[str], bool]:
    others = [one for one in kind.__mro__ if not one.__module__.startswith("wearlog") and one is not object]
    shows = any(one.__module__.startswith("textual.") for one in others)

    def called(name: str) -> bool:
        if any(name in vars(one) for one in others):
            return True
        if not shows:
            return False
        watched = re.match(r"_?(?:watch|validate|compute)_(\w+)", name)
        return name in handlers() or bool(watched and hasattr(kind, watched[1]))

    return called


def called_as(place: Place) -> str:
    """Actions of keys are called by their text, and so are the screens of areas."""
    own = place[1].rpartition(".")[2]
    screen = place[0].startswith("wearlog.tui.screens.") and own[:1].isupper()
    return own.removeprefix("action_") if own.startswith("action_") else own if screen else ""


@cache
def found() -> tuple[tuple[str, int], ...]:
    return tuple(
        one
        for one in walk_lines(unreached(shipped(), entry_points(), called_as, hooks()))
        if one[0].startswith("wearlog.")
    )


def test_nothing_lies_about_that_no_code_comes_to() -> None:
    """What only a test steps through stands in `tests/references`."""
    assert [name for name, _ in found()] == []


SOURCE = """
from enum import Enum
LIVES, DEAD = 1, 2
class Base:
    def called(self): return self.by_name() + used(LIVES)
    def by_name(self): return 1
    def never(self): return only_by_the_dead()
    def __len__(self): return 0
    @on(Something)
    def _handed_over(self): ...
    def hook(self): ...
    def action_key(self): ...
    def action_other(self): ...
class Never(Base):
    def called(self): return 2
def used(x): return getattr(x, "looked_up")
def only_by_the_dead(): return only_by_the_dead()
@register
def registered(): "key that is pressed"
@cache
def quiet(): ...
class Late:
    def looked_up(self): ...
def main(): return Base().called(), Late
"""


def test_dead_code_is_seen_and_living_code_is_not_called_dead() -> None:
    """A check on the check."""
    package = read_module("from p.here import quiet\n__all__ = ['quiet']", "p", package=True)
    here = read_module(SOURCE, "p.here")
    dead = unreached(
        [package, here], [("p.here", "main")], called_as, {("p.here", "Base"): lambda name: name == "hook"}
    )
    names = {name for _, name in dead}
    assert names == {
        *("DEAD", "Base.never", "Base.action_other", "Never", "Never.called", "only_by_the_dead", "quiet"),
    }
    assert dead[("p.here", "Never")] == 2
    assert ("p.here.Never.called", 1) not in list(walk_lines(dead))
