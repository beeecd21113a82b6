"""The texts of a fault's screen out of its page: what to read first, the next step, the keys, the checklists. Asks nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from wearlog.facts.closed_lists import CheckKind
from wearlog.facts.plain_text import one_line

if TYPE_CHECKING:
    from wearlog.present.faults.fault_page import CasePage, StepWords


def cautions_text(page: CasePage) -> Text:
    """Return what to read before the first check, and what is known from the last time."""
    text = Text(end="")
    text.append("BEFORE YOU TOUCH IT\n", "bold")
    for place, caution in enumerate(page.cautions, start=1):
        text.append(f"{place}. {one_line(caution)}\n")
    for fuse in page.fuses:
        text.append(f"{one_line(fuse)}\n", "bold")
    if page.last_time:
        text.append(f"\n{one_line(page.last_time)}\n")
    return text


def step_text(page: CasePage) -> Text:
    """Return the next step with its place, minutes, expected reading and why; of a closed fault how it went."""
    text = Text(end="")
    step = page.step
    if step is None:
        text.append("CLOSED ", "bold").append("h shows the trail; if it came back, open a new fault: they are linked.")
        return text
    text.append("NEXT ", "bold").append(f"{one_line(step.doing)}, {step.minutes}\n", "bold")
    if step.expect:
        text.append(f"expect: {one_line(step.expect)}\n")
    text.append(f"{one_line(step.why)}; {step.whole}.")
    for fuse in page.fuses:
        text.append(f"\n{one_line(fuse)}")
    if page.last_time:
        text.append(f"\n{one_line(page.last_time)}")
    return text


def care_text(page: CasePage) -> Text:
    """Return the one caution that comes first at the next step; all of them are a key away."""
    if page.step is None:
        return Text("")
    look = "Look before you cut into it. " if page.step.kind is None and page.step.node else ""
    return Text(f"CARE {look}{one_line(page.care)} (! shows all)", end="")


def key_row(page: CasePage) -> Text:
    """Return the keys of the results, each beside its word."""
    step = page.step
    if step is None:
        return Text("")
    row = Text(end="")
    for key, words in _keys(step):
        row.append(f" {key}", "bold").append(f" {words} ")
    return row


def _keys(step: StepWords) -> list[tuple[str, str]]:
    if not step.node and step.kind is None:
        return [
            ("g", "nothing there"),
            ("b", "something there"),
            ("f", "found it"),
            ("Enter", "a check of your own at a place of the drawing"),
        ]
    if step.kind is None:
        return [
            ("g", "looked: whole"),
            ("b", "looked: damage"),
            ("n", "not clear"),
            ("f", "repaired: cured"),
            ("x", "repaired: still there"),
        ]
    return [("g", "good"), ("b", "bad"), ("n", "not clear"), ("v", "type the value"), ("s", "another check")]


def checklists_text(page: CasePage) -> Text:
    """Return the checklist of this time, and that of the last time of the same trail."""
    text = Text(end="")
    text.append("THIS TIME\n", "bold")
    text.append("\n".join(page.checklist))
    if page.before:
        text.append(f"\n\nLAST TIME{one_line(page.before[0]).removeprefix('last time')}\n", "bold")
        text.append("\n".join(page.before[1:]))
    text.append(f"\n\n{one_line(page.note)}")
    return text


def works_now(action: str, page: CasePage | None, *, reading: bool, typing: bool) -> bool:
    """Return whether a key does anything: no check before the cautions are read, no letter while a value is typed."""
    if action == "understood":
        return reading
    if action == "close" or typing:
        return action == "close"
    if page is None:
        return action == "help"
    if reading:
        return action in ("help", "trail", "undo", "lists")
    step = page.step
    at_a_node = page.is_open and step is not None and bool(step.node)
    if action in ("result", "value"):
        return page.is_open and step is not None
    if action == "still_there":
        return at_a_node and step is not None and step.kind in (None, CheckKind.SWAP)
    if action == "without":
        return page.is_open and step is not None and step.kind is not None
    return page.is_open if action == "found" else True
