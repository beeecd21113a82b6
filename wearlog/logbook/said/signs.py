"""Signs and conditions of a fault as people write them: "reel lift valve dead", "639/9 at engine controller". Saves nothing."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Condition, SignKind
from wearlog.facts.electrics import CircuitNode
from wearlog.facts.plain_text import one_line
from wearlog.faults.codes import parse_code
from wearlog.logbook.names import pick

#: how a sign ends -> what it is; a longer ending stands before a shorter one that it contains
_ENDINGS: Final = (
    ("blew on movement", SignKind.FUSE_BLEW_ON_MOVEMENT),
    ("blew when it moved", SignKind.FUSE_BLEW_ON_MOVEMENT),
    ("blew at once", SignKind.FUSE_BLEW_AT_ONCE),
    ("blew after a while", SignKind.FUSE_BLEW_LATER),
    ("blew later", SignKind.FUSE_BLEW_LATER),
    ("whole", SignKind.FUSE_WHOLE),
    ("dead", SignKind.DEAD),
    ("does not work", SignKind.DEAD),
    ("erratic", SignKind.ERRATIC),
    ("flickers", SignKind.ERRATIC),
    ("comes and goes", SignKind.ERRATIC),
    ("is weak", SignKind.WEAK),
    ("weak", SignKind.WEAK),
    ("dim", SignKind.WEAK),
    ("stays on", SignKind.STAYS_ON),
    ("does the wrong thing", SignKind.WRONG_THING),
    ("working", SignKind.WORKING),
    ("works", SignKind.WORKING),
)
_AT_A_NODE: Final = frozenset(
    {
        SignKind.DEAD,
        SignKind.ERRATIC,
        SignKind.WORKING,
        SignKind.WEAK,
        SignKind.STAYS_ON,
        SignKind.WRONG_THING,
    }
)
_NO_FUSE_NAMED: Final = frozenset({"", "fuse", "the fuse", "it"})
_HINT: Final = (
    'Write a place and what it does, such as "reel lift valve dead", "stubble lights working", "fuse 5 blew at once" '
    '(or "blew later", "blew on movement", "whole"), or a code: "639/9 at engine controller".'
)


@dataclass(frozen=True, slots=True)
class SaidSign:
    """What a person said was seen, with the node that was meant."""

    sign: SignKind
    node: CircuitNode | None = None
    spn: int | None = None
    fmi: int | None = None


def read_sign(text: str, nodes: Sequence[CircuitNode]) -> SaidSign:
    """Return the sign that `text` says.

    Parameters
    ----------
    nodes : sequence of CircuitNode
        Those of the machine; a node is named by a beginning that fits one only.

    Raises
    ------
    UsageError
        When it is no sign, or names no place where it needs one.
    NotFoundError
        When no node is called so.
    """
    said = one_line(text).strip(" .")
    coded = re.fullmatch(r"((?:spn\W*)?\d+\W+(?:fmi\W*)?\d+)(?:\s+(?:at\s+)?(.+))?", said, re.IGNORECASE)
    if coded:
        code = parse_code(coded[1])
        return SaidSign(SignKind.CODE, node_named(nodes, coded[2]) if coded[2] else None, code.spn, code.fmi)
    for ending, kind in _ENDINGS:
        if re.search(rf"(^|\s){ending}$", said, re.IGNORECASE):
            return _at_node(said, said[: -len(ending)], kind, nodes)
    raise UsageError(f"'{said}' is not a sign.", _HINT)


def _at_node(said: str, before: str, kind: SignKind, nodes: Sequence[CircuitNode]) -> SaidSign:
    name = re.sub(r"\s+is\s*$", "", before, flags=re.IGNORECASE).strip(" :,")
    if kind in _AT_A_NODE:
        if not name:
            raise UsageError(f"'{said}' names no place.", _HINT)
        return SaidSign(kind, node_named(nodes, name))
    return SaidSign(kind, None if name.casefold() in _NO_FUSE_NAMED else node_named(nodes, name))


def node_named(nodes: Sequence[CircuitNode], text: str) -> CircuitNode:
    """Return the node of a machine that `text` names. NotFoundError or UsageError as `names.pick`."""
    return pick(nodes, lambda node: node.name, one_line(text), "place")


def read_conditions(text: str) -> tuple[Condition, ...]:
    """Return the conditions that `text` lists, such as "header raised, rough ground"; each once, in the order said.

    Raises
    ------
    NotFoundError, UsageError
        For one that is not on the list, or could be several.
    """
    words = [part for part in (one_line(part) for part in text.split(",")) if part]
    found = [pick(Condition, lambda one: one.replace("_", " "), word.replace("_", " "), "condition") for word in words]
    return tuple(dict.fromkeys(found))
