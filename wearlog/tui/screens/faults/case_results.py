"""The texts of a fault's screen: the answer, what to read first, why the next step, the checklists. Asks nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from wearlog.facts.plain_text import one_line
from wearlog.present.words import capital

if TYPE_CHECKING:
    from wearlog.present.faults.fault_page import CasePage


def cautions_text(page: CasePage) -> Text:
    """Return what to read before the first check, and what is known from the last time."""
    text = Text(end="")
    for place, caution in enumerate(page.cautions, start=1):
        text.append(f"{place}. {one_line(caution)}\n")
    for fuse in page.fuses:
        text.append(f"{one_line(fuse)}\n", "bold")
    if page.last_time:
        text.append(f"\n{one_line(page.last_time)}\n")
    return text


def answer_words(page: CasePage) -> tuple[str, ...]:
    """Return what to do next and what a sound circuit shows there; of a closed fault that it is closed."""
    step = page.step
    if step is None:
        return "CLOSED. If it came back, open a new fault: they are linked.", "h shows the trail over the seasons."
    word = "CHECK NEXT" if step.kind is not None else "DO NEXT"
    expect = f"Good is: {one_line(step.expect)}. " if step.expect else ""
    return f"{word}  {one_line(step.doing)}, {step.minutes}.", f"{expect}{capital(step.whole)}."


def step_text(page: CasePage) -> Text:
    """Return why the next step comes first, blown fuses and the last time."""
    step = page.step
    lines = [f"NOT PUT BACK: {one_line(words)}. x puts it back." for words, _ in page.undone]
    lines += [f"{capital(one_line(step.why))}."] if step is not None else []
    lines += [f"Still to ask (a): {page.questions}"] if page.questions else []
    lines += [one_line(page.left)] if page.left else []
    if step is not None and step.kind is None and step.node:
        lines.append("Look before you cut into it.")
    lines += [one_line(fuse) for fuse in page.fuses]
    if page.last_time:
        lines.append(capital(one_line(page.last_time)))
    return Text("\n".join(lines), end="")


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


def works_now(action: str, page: CasePage | None, *, reading: bool) -> bool:
    """Return whether a key does anything: no check before the cautions are read."""
    if action == "understood":
        return reading
    if page is None:
        return action in ("help", "close")
    if reading:
        return action in ("help", "trail", "undo", "lists", "close")
    if action == "other":
        return page.is_open and page.step is not None and page.step.kind is not None
    # what is undone is put back when the fault is closed as well
    return (
        page.is_open
        if action in ("found", "add")
        else page.is_open or bool(page.undone)
        if action == "take_out"
        else True
    )
