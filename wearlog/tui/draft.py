"""A breakage while it is being entered: what is known of it so far, by keys or by the plain line. Saves nothing itself."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import lru_cache
from typing import TYPE_CHECKING, Final
from uuid import UUID

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Action, Cause, Hazard, Mode
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.positions import format_positions, place_said
from wearlog.logbook.deed_sentences import ACTION_SAID, breakage_said
from wearlog.logbook.quickline import Understanding, Vocabulary, understand
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.present.work.daybook_sheet import CAUSE_SHORT

if TYPE_CHECKING:
    from wearlog.logbook.plain_line import FarmWords
    from wearlog.logbook.plain_line.phrases import Phrases

#: key -> cause, and the short word beside it
CAUSE_KEYS: Final = tuple(
    (key, cause, CAUSE_SHORT[cause])
    for key, cause in (
        ("r", Cause.IMPACT),
        ("w", Cause.WEAR),
        ("f", Cause.FATIGUE),
        ("l", Cause.LOOSE),
        ("s", Cause.SECONDARY),
        ("n", Cause.UNKNOWN),
    )
)
#: the same with Shift for how it failed
MODE_KEYS: Final = (
    ("B", Mode.BROKEN, "broken"),
    ("E", Mode.BENT, "bent"),
    ("C", Mode.CRACKED, "cracked"),
    ("M", Mode.MISSING, "missing"),
    ("W", Mode.WORN, "worn"),
    ("S", Mode.STRETCHED, "stretched"),
    ("T", Mode.TORN, "torn"),
    ("L", Mode.LOOSE, "loose"),
    ("Z", Mode.SEIZED, "seized"),
    ("K", Mode.LEAKING, "leaking"),
    ("F", Mode.FAILED, "failed"),
)
ACTION_WORDS: Final = tuple(ACTION_SAID.items())


@dataclass(frozen=True, slots=True)
class Loggable:
    """A component that can be logged; `mode` is how its kind usually fails."""

    component_id: UUID
    machine_id: UUID
    machine: str
    name: str
    kind: str
    positions: int
    hazard: Hazard | None
    mode: Mode


@dataclass(frozen=True, slots=True)
class BreakageChoices:
    """What the entry of a breakage starts from: the farm's words, the components, and where the last breakage was."""

    vocabulary: Vocabulary
    components: tuple[Loggable, ...]
    last_component_id: UUID | None
    last_position: int | None
    settings: FarmSettings = field(default_factory=FarmSettings)

    def of(self, component_id: UUID | None) -> Loggable | None:
        """Return a component by its id."""
        return next((one for one in self.components if one.component_id == component_id), None)

    def start(self, machine_id: UUID | None, component_id: UUID | None) -> Loggable | None:
        """Return the component to begin with: the one pointed at, else the kind logged last, else a bar of many positions."""
        if component_id is not None and (pointed := self.of(component_id)) is not None:
            return pointed
        last = self.of(self.last_component_id)
        here = [one for one in self.components if machine_id is None or one.machine_id == machine_id]
        if last is not None and (machine_id is None or last.machine_id == machine_id):
            return last
        if last is not None and (same := next((one for one in here if one.kind == last.kind), None)) is not None:
            return same
        current = {machine.id for machine in self.vocabulary.current_unit()}
        usual = sorted(here, key=lambda one: (one.machine_id not in current, -one.positions))
        return usual[0] if usual else None


@dataclass(frozen=True, slots=True)
class Draft:
    """What is known so far. `at` None is now; times in seconds."""

    choice: Loggable | None = None
    positions: tuple[int, ...] = ()
    cause: Cause = Cause.UNKNOWN
    mode: Mode = Mode.BROKEN
    action: Action = Action.REPLACED
    stood_seconds: int | None = None
    labour_seconds: int | None = None
    at: datetime | None = None
    note: str = ""

    def on(self, choice: Loggable) -> Draft:
        """Return the draft moved to another component: its usual way to fail comes along, positions do not."""
        return replace(self, choice=choice, positions=(), mode=choice.mode)

    @property
    def problem(self) -> str:
        """What is missing, in words; empty when it can be saved."""
        if self.choice is None:
            return "Which part broke? Press p, or write it in the line."
        if self.choice.positions > 1 and not self.positions:
            return "Which positions? Type them like 41-43."
        return ""

    def sentence(self, settings: FarmSettings) -> str:
        """Return the sentence that will be kept; without the time where that is now."""
        if self.choice is None:
            return ""
        return breakage_said(
            place_said(self.choice.machine, self.choice.name, self.choice.positions, self.positions),
            (self.mode, self.cause, self.action),
            stood_seconds=self.stood_seconds,
            labour_seconds=self.labour_seconds,
            when="" if self.at is None else FarmSpeaker(settings).time_said(self.at),
            note=self.note,
        )


def read_line(line: str, choices: BreakageChoices, draft: Draft, now: datetime) -> tuple[Draft, str]:
    """Understand the plain line, and return the draft it means with what is wrong with it (empty when nothing is).

    A line without a part is about the component of the draft: "41-43 rock" is enough. A part that sits on several machines is
    the one on the draft's machine, if that has it. What the reader of 'wearlog log' takes for one breakage means the same here.
    """
    day_first = choices.settings.is_metric
    heard = understand(line, choices.vocabulary, now, day_first=day_first)
    for left_out in _left_out({one.code for one in heard.problems}, draft):
        fuller = understand(f"{left_out} {line}", choices.vocabulary, now, day_first=day_first)
        if len(fuller.problems) < len(heard.problems):
            heard = fuller
            break
    plain = _as_logged(line, choices, draft, now, strict=bool(heard.problems))
    if plain is not None:
        return plain, ""
    problem = heard.problems[0] if heard.problems else None
    wrong = f"{problem.message} {problem.hint}".strip() if problem else ""
    return _heard(heard, choices, draft), wrong


def _as_logged(line: str, choices: BreakageChoices, draft: Draft, now: datetime, *, strict: bool) -> Draft | None:
    """Return the draft of a line that is one breakage for 'wearlog log' as well; None where it asks, or takes it for more.

    `strict`: a word that nobody knows is no note here, since the form asks about it.
    """
    from wearlog.logbook.plain_line import LineVerdict, hear

    farm, phrases = _words_of(choices.vocabulary, choices.settings)
    on = draft.choice
    for before in ("",) if on is None else ("", f"{on.machine} ", f"{on.machine} {on.kind} "):
        heard = hear(f"{before}{line}", farm, now, phrases)
        entry = heard.entries[0] if len(heard.entries) == 1 else None
        guessed = on is not None and "machine" in heard.assumed
        if heard.question or guessed or entry is None or entry.component is None or entry.what is not LineVerdict.ENTRY:
            continue
        if strict and entry.note not in ("", line.partition("--")[2].strip()):
            return None
        # the form has no place for who did it and for the part's number: they stay in its note
        by = f"by {heard.person}" if heard.person else ""
        note = "; ".join(one for one in (entry.note, entry.amount if entry.part_id is not None else "", by) if one)
        meant = Understanding(
            machine=entry.machine,
            component=entry.component,
            positions=entry.positions,
            cause=entry.cause or Cause.UNKNOWN,
            mode=entry.mode or Mode.BROKEN,
            action=entry.action or Action.REPLACED,
            downtime_seconds=entry.stood_seconds,
            labour_seconds=entry.labour_seconds,
            at=entry.at,
            read_at=heard.read_at,
            note=note,
            assumed=heard.assumed,
            problems=(),
        )
        return _heard(meant, choices, draft)
    return None


@lru_cache(maxsize=2)
def _words_of(vocabulary: Vocabulary, settings: FarmSettings) -> tuple[FarmWords, Phrases]:
    from wearlog.logbook.plain_line import FarmWords, phrases_of

    farm = FarmWords(vocabulary, is_metric=settings.is_metric, day_first=settings.is_metric, currency=settings.currency)
    return farm, phrases_of(farm)


def _left_out(codes: set[str], draft: Draft) -> list[str]:
    """What the line may have left out because the draft says it already, the least first."""
    if draft.choice is None:
        return []
    machine, kind = draft.choice.machine, draft.choice.kind
    if "no_part" in codes:
        return [f"{machine} {kind}", f"{machine} {kind} {format_positions(draft.positions)}"]
    return [machine] if "which_machine" in codes else []


def _heard(heard: Understanding, choices: BreakageChoices, draft: Draft) -> Draft:
    choice = choices.of(heard.component.id) if heard.component is not None else draft.choice
    positions = heard.positions
    if not positions and choice is draft.choice:
        positions = draft.positions
    return Draft(
        choice=choice,
        positions=positions,
        cause=draft.cause if "cause" in heard.assumed else heard.cause,
        mode=draft.mode if "mode" in heard.assumed and choice is draft.choice else heard.mode,
        action=draft.action if "action" in heard.assumed else heard.action,
        stood_seconds=draft.stood_seconds if heard.downtime_seconds is None else heard.downtime_seconds,
        labour_seconds=heard.labour_seconds,
        at=None if "at" in heard.assumed else heard.at,
        note=heard.note,
    )


def read_stood(text: str, vocabulary: Vocabulary, now: datetime) -> int | None:
    """Read how long it stood: a bare number is minutes, else as people say it (1 h 20, half an hour). None for nothing.

    Raises
    ------
    UsageError
        When it is no time.
    """
    clean = text.strip()
    if not clean:
        return None
    # a figure at the end without a unit is minutes: 20, and 1 h 20
    said = f"{clean} min" if clean[-1].isdigit() else clean
    heard = understand(f"stood {said}", vocabulary, now)
    if heard.downtime_seconds is None or any(one.code != "no_part" for one in heard.problems):
        raise UsageError(f"'{clean}' is not a time.", "Write minutes, like 20, or 1 h 30 min.")
    return heard.downtime_seconds
