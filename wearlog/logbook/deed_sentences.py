"""What a person did, as one sentence for each sort of deed, made of the facts that the deed writes.

The history keeps the sentence, the command and the screen say it when it is saved, and a form shows it before. Times are by the
farm's clock, measures in its units. What only the log can tell (the header a run counts for) is given.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Protocol
from uuid import UUID

from wearlog.facts.closed_lists import Action, Cause, Choice, Dimension, Ground, MeterKind, Mode, StopReason, word
from wearlog.facts.farm_settings import Measures
from wearlog.facts.machines import Machine, ServiceDone, ServiceItem
from wearlog.facts.parts import ROUGHLY, Part, PartKind, StockMove
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, place_said
from wearlog.facts.quality import Calibration, LossCheck, MoistureSample
from wearlog.facts.wearing import Breakage, Component
from wearlog.facts.work import Crop, Field, Run, Stoppage
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.units import FOOT_METRES

if TYPE_CHECKING:
    # the names are read through the store, and a screen that says a sentence is painted before it is loaded
    from wearlog.logbook.names import KnownNames

CAUSE_SAID: Mapping[Cause, str] = {
    Cause.IMPACT: " by impact",
    Cause.WEAR: " by wear",
    Cause.FATIGUE: " by fatigue",
    Cause.LOOSE: " because a fastening was loose",
    Cause.SECONDARY: " after something else failed",
    Cause.UNKNOWN: "",
}
ACTION_SAID: Mapping[Action, str] = {
    Action.REPLACED: "replaced",
    Action.MENDED: "mended",
    Action.LEFT: "left as it is",
}
#: a mode that says its cause itself
_SAYS_ITSELF = {(Mode.WORN, Cause.WEAR), (Mode.LOOSE, Cause.LOOSE)}


def breakage_said(
    where: str,
    broke: tuple[Mode, Cause, Action],
    *,
    stood_seconds: int | None = None,
    labour_seconds: int | None = None,
    when: str = "",
    note: str = "",
) -> str:
    """Return "North header, knife sections 41-43: broken by impact, replaced; stood 20 min; 28 Jul 2026 14:05"."""
    mode, cause, action = broke
    why = "" if (mode, cause) in _SAYS_ITSELF else CAUSE_SAID[cause]
    pieces = [
        f"{where}: {word(mode)}{why}, {ACTION_SAID[action]}",
        "" if stood_seconds is None else f"stood {lasting(stood_seconds)}",
        "" if labour_seconds is None else f"{lasting(labour_seconds)} labour",
        when,
        noted(note),
    ]
    return "; ".join(piece for piece in pieces if piece)


def lasting(seconds: int) -> str:
    """Return "20 min", "1 h 20 min", "2 h" or "45 s"."""
    hours, rest = divmod(seconds, 3_600)
    minutes, left = divmod(rest, 60)
    pieces = [f"{number} {unit}" for number, unit in ((hours, "h"), (minutes, "min"), (left, "s")) if number]
    return " ".join(pieces) or "0 min"


def noted(note: str) -> str:
    """Return a remark in quotes behind what it is about; nothing for none."""
    return f'note "{one_line(note)}"' if note else ""


#: by whether the farm counts in metres: the share of a hectare that kernels are told for, and what it is called
_FRAMES = {False: (float(FOOT_METRES) ** 2 / 10_000, "square foot"), True: (1 / 10_000, "square metre")}


def place_of(known: KnownNames, component: Component, positions: Sequence[int] = ()) -> str:
    """Return a component as people name it, with its positions if any are given: "North header, knife sections 41-43"."""
    machine = next((one.name for one in known.machines if one.id == component.machine_id), "")
    kind = next((one.name for one in known.part_kinds if one.id == component.part_kind_id), "")
    name = component_name(component.place, kind) if kind else component.place
    return place_said(machine, name, component.positions, positions)


def breakage_sentence(
    speak: FarmSpeaker, where: str, breakage: Breakage, *, stood_seconds: int | None, labour_seconds: int | None
) -> str:
    """Say a breakage at a place as `place_of` calls it."""
    return breakage_said(
        where,
        (breakage.mode, breakage.cause, breakage.action),
        stood_seconds=stood_seconds,
        labour_seconds=labour_seconds,
        when=speak.time_said(breakage.at),
        note=breakage.note,
    )


def run_sentence(
    speak: FarmSpeaker, run: Run, *, combine: str, field: str = "", crop: str = "", header: str = ""
) -> str:
    """Say "Kestrel cut 118.0 ac on Long quarter, wheat, with North, 28 Jul 2026 10:00 to 18:30, 7.5 separator hours".

    `header` is what the log says of the header, as " with North".
    """
    where = f" on {field}" if field else ""
    what = f", {crop}" if crop else ""
    with_what = f"{',' if where or what else ''}{header}" if header else ""
    hours = f", {speak.usage(MeterKind.SEPARATOR_HOURS, run.separator_seconds)}" if run.separator_seconds else ""
    return f"{combine} cut {speak.area(run.area_square_metres)}{where}{what}{with_what}, {_span(speak, run)}{hours}"


def _span(speak: FarmSpeaker, run: Run) -> str:
    """Say "28 Jul 2026 10:00 to 18:30", with the day of the end where that is another one."""
    same_day = speak.day(run.started_at) == speak.day(run.ended_at)
    ended = f"{speak.local(run.ended_at):%H:%M}" if same_day else speak.time_said(run.ended_at)
    return f"{speak.time_said(run.started_at)} to {ended}"


def reading_sentence(
    speak: FarmSpeaker, machine: str, shown: Mapping[MeterKind, int], at: datetime, *, replaced: bool = False
) -> str:
    """Say "read Kestrel: 2,310.4 engine hours and 1,702.0 separator hours, 28 Jul 2026 14:05"."""
    figures = " and ".join(speak.usage(kind, usage) for kind, usage in shown.items())
    return f"read {machine}: {figures}{' on a new meter' if replaced else ''}, {speak.time_said(at)}"


def stoppage_sentence(speak: FarmSpeaker, machine: str, stoppage: Stoppage) -> str:
    """Say "Kestrel stood 45 min from 28 Jul 2026 10:00 on: weather", or that it stands."""
    since, note = speak.time_said(stoppage.started_at), noted(stoppage.note)
    if stoppage.ended_at is None:
        how = f"stands from {since} on"
    else:
        how = f"stood {lasting(round((stoppage.ended_at - stoppage.started_at).total_seconds()))} from {since} on"
    return f"{machine} {how}: {word(stoppage.reason)}{f'; {note}' if note else ''}"


def standing_sentence(measures: Measures, machine: str, reason: StopReason, since: datetime) -> str:
    """Say of a stop that nobody ended yet: "Kestrel has stood since 1 Aug 2026 10:00 (breakdown)"."""
    return one_line(f"{machine} has stood since {measures.time_said(since)} ({word(reason)})")


def again_sentence(speak: FarmSpeaker, machine: str, at: datetime) -> str:
    """Say "Kestrel runs again, 28 Jul 2026 10:45"."""
    return f"{machine} runs again, {speak.time_said(at)}"


def fitted_sentence(speak: FarmSpeaker, where: str, meter: MeterKind, age_usage: int | None, at: datetime) -> str:
    """Say "fitted North header, knife sections, all 160: new parts, 28 Jul 2026 14:05"."""
    old = "new parts" if age_usage == 0 else "parts of unknown age"
    if age_usage:
        old = f"parts {speak.usage(meter, age_usage)} old"
    return f"fitted {where}: {old}, {speak.time_said(at)}"


def measured_sentence(speak: FarmSpeaker, where: str, read: str, at: datetime) -> str:
    """Say "Kestrel, feeder chain: 19.882 in over 12 pitches, 28 Jul 2026 14:05"."""
    return f"{where}: {read}, {speak.time_said(at)}"


def read_off(
    speak: FarmSpeaker, kind: PartKind, micrometres: int, *, pitches: int | None = None, chain: str = ""
) -> str:
    """Say what was read off a part of a kind: "19.900 in over 12 pitches", "gap 0.012 in"; `chain` where it is another one."""
    length = speak.small_length(micrometres)
    if kind.dimension is not Dimension.LENGTH_OVER_PITCHES:
        return f"{word(kind.dimension)} {length}"
    count = pitches or kind.pitches or 0
    return f"{length} over {count} {'pitch' if count == 1 else 'pitches'}{f' of {chain}' if chain else ''}"


def load_sentence(speak: FarmSpeaker, load: Calibration, *, machine: str, crop: str = "") -> str:
    """Say "Kestrel, yield load against its reference, wheat: +3.0 %, 28 Jul 2026 14:05"."""
    what = f", {crop}" if crop else ""
    off = ""
    if load.reference_amount:
        off = f": {(load.indicated_amount - load.reference_amount) / load.reference_amount * 100:+.1f} %"
    return f"{machine}, {word(load.sensor)} against its reference{what}{off}, {speak.time_said(load.at)}"


def count_sentence(speak: FarmSpeaker, check: LossCheck, *, combine: str, crop: str, seed: str = "") -> str:
    """Say "loss check behind Kestrel in wheat: 120 behind and 10 ahead on a square foot, ..." with the seed, if it was said."""
    size, frame = _FRAMES[speak.settings.is_metric]
    behind, ahead = (f"{one * size:,.0f}" for one in (check.behind_per_hectare, check.ahead_per_hectare))
    thick = ""
    if check.discharge_width_micrometres:
        thick = f", {check.cut_width_micrometres / check.discharge_width_micrometres:,.1f} times as thick behind"
    kernels = f"{behind} behind and {ahead} ahead on a {frame}{thick}"
    seed = f"; its seed is {seed}" if seed else ""
    return f"loss check behind {combine} in {crop}: {kernels}, {speak.time_said(check.at)}{seed}"


def sample_sentence(speak: FarmSpeaker, sample: MoistureSample, *, crop: str) -> str:
    """Say "moisture of wheat: 13.2 %, elevator 13.6 % (+0.4), 28 Jul 2026 14:05"."""
    tester, elevator = sample.tester_hundredths, sample.elevator_hundredths
    beside = "" if elevator is None else f", elevator {elevator / 100:.1f} % ({(elevator - tester) / 100:+.1f})"
    return f"moisture of {crop}: {tester / 100:.1f} %{beside}, {speak.time_said(sample.at)}"


def stock_sentence(speak: FarmSpeaker, part: Part, move: StockMove) -> str:
    """Say "received 25 x KS-3 knife section at 4.60 USD, 28 Jul 2026 14:05"."""
    cost = "" if move.unit_cost_minor is None else f" at {speak.money(move.unit_cost_minor)}"
    if move.note.startswith(ROUGHLY):
        return f"{move.quantity:,} x {part.number} {part.name} {move.note}"
    return f"{word(move.change)} {move.quantity:,} x {part.number} {part.name}{cost}, {speak.time_said(move.at)}"


def service_sentence(speak: FarmSpeaker, machine: str, item: ServiceItem, done: ServiceDone) -> str:
    """Say "service done: Kestrel, engine oil, 28 Jul 2026 14:05", with what it took and cost where somebody said it."""
    labour = "" if done.labour_seconds is None else f"; {lasting(done.labour_seconds)} labour"
    cost = "" if done.cost_minor is None else f"; {speak.money(done.cost_minor)}"
    note = f"; {noted(done.note)}" if done.note else ""
    return f"service done: {machine}, {item.name}, {speak.time_said(done.at)}{labour}{cost}{note}"


def choice_said(choice: Choice | None, where: str) -> str:
    """Say "chose to replace Kestrel, guard 6"; None lets the figures decide again."""
    return f"let the figures decide on {where}" if choice is None else f"chose to {choice.value} {where}"


def limits_said(speak: FarmSpeaker, budget_minor: int | None, shop_seconds: int | None) -> str:
    """Say "6,000.00 USD for parts, no limit in the shop"."""
    budget = "no limit" if budget_minor is None else speak.money(budget_minor)
    return f"{budget} for parts, {'no limit' if shop_seconds is None else lasting(shop_seconds)} in the shop"


class AreaNamed(Protocol):
    """An area to cut, planned already or about to be."""

    @property
    def area_square_metres(self) -> int: ...
    @property
    def field_id(self) -> UUID | None: ...
    @property
    def ground(self) -> Ground | None: ...
    @property
    def crop_id(self) -> UUID | None: ...
    @property
    def combine_id(self) -> UUID | None: ...
    @property
    def header_id(self) -> UUID | None: ...


def named_in(known: KnownNames) -> dict[UUID, str]:
    """Return what the fields, crops and machines are called."""
    rows: tuple[Field | Crop | Machine, ...] = (*known.fields, *known.crops, *known.machines)
    return {one.id: one.name for one in rows}


def area_called(speak: FarmSpeaker, area: AreaNamed, names: Mapping[UUID, str]) -> str:
    """Return how a planned area is called: "640 ac of wheat on Long Bench", or "640 ac on stony ground"."""
    size, unit = speak.area(area.area_square_metres).split()
    crop, field = (names.get(one, "") if one else "" for one in (area.crop_id, area.field_id))
    ground = word(area.ground)
    of_crop = f" of {crop}" if crop else ""
    on_field = f" on {field}" if field else ""
    on_ground = f" ({ground})" if ground and field else f" on {ground} ground" if ground else ""
    return f"{size.removesuffix('.0')} {unit}{of_crop}{on_field}{on_ground}"


def area_sentence(
    speak: FarmSpeaker,
    area: AreaNamed,
    names: Mapping[UUID, str],
    *,
    before: AreaNamed | None = None,
    began: int | None = None,
) -> str:
    """Say "planned 640 ac of wheat on Long Bench to cut by Kestrel", what it was `before`, which season's plan `began` with it."""
    plan = "" if began is None else f"began the plan for {began} and "
    old = "" if before is None else f" instead of {area_called(speak, before, names)}{_cut_by(before, names)}"
    return f"{plan}planned {area_called(speak, area, names)} to cut{_cut_by(area, names)}{old}"


def _cut_by(area: AreaNamed, names: Mapping[UUID, str]) -> str:
    machines = [names[one] for one in (area.combine_id, area.header_id) if one is not None and one in names]
    return f" by {' with '.join(machines)}" if machines else ""


def part_sentence(part: Part, kinds: Sequence[PartKind], *, on_hand: int | None) -> str:
    """Say "added the part KS-3 knife section, fits knife section, keep 100, 50 on hand"; `on_hand` None: it was there already."""
    fits = "; ".join(kind.name for kind in kinds)
    pieces = [
        f"{'changed' if on_hand is None else 'added'} the part {part.number} {part.name}",
        f"fits {fits}" if fits else "",
        f"keep {part.keep_on_hand:,}" if part.keep_on_hand else "",
        f"{on_hand:,} on hand" if on_hand else "",
    ]
    return ", ".join(piece for piece in pieces if piece)


def settings_sentence(contents: Mapping[str, str]) -> str:
    """Say "set units to metric, labour_rate to 28.50"."""
    return f"set {', '.join(f'{key} to {content}' for key, content in contents.items())}"


def plan_sentence(harvest_year: int, done: Sequence[str]) -> str:
    """Say "the plan for 2027: chose to replace Kestrel, guard 6, 6,000.00 USD for parts, no limit in the shop"."""
    return f"the plan for {harvest_year}: {', '.join(done)}"


def import_sentence(added: int, changed: int, source: str) -> str:
    """Say "imported 1,204 rows and changed 3 from harvest.xlsx"."""
    also = f" and changed {changed:,}" if changed else ""
    return f"imported {added:,} {'row' if added == 1 else 'rows'}{also} from {source}"


def settled_sentence(what: str, device: str, count: int) -> str:
    """Say "settled a fitting that was changed apart: as 'cab 2' said", or that of several what is shown was kept."""
    if count == 1:
        return f"settled a {what} that was changed apart: as '{device}' said"
    return f"settled {count:,} rows that were changed apart: as they are shown"
