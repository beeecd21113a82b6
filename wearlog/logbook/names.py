"""What there is on a farm that a person can name, and finding it: by its name or a unique beginning of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property
from typing import TypeVar
from uuid import UUID

from wearlog.errors import NotFoundError, UsageError
from wearlog.facts.bookkeeping import Person, Setting
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.electrics import CircuitNode
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import FarmSettings, farm_settings
from wearlog.facts.machines import Hitch, Machine, Meter, ServiceItem, standing
from wearlog.facts.parts import Part, PartKind, Supplier
from wearlog.facts.plain_text import folded
from wearlog.facts.wearing import Component
from wearlog.facts.work import Crop, Field, Season, SeasonPlan
from wearlog.ids import NUMBER_DIGITS, long_number, short_number
from wearlog.logbook.quickline import KnownComponent, KnownMachine, Vocabulary
from wearlog.logbook.quickline.lexicon import forms
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, last_machine
from wearlog.store.opening import Store


@dataclass(frozen=True, kw_only=True)
class KnownNames:
    """Existing rows that still count (none is voided), one tuple for each table whose rows are named."""

    machines: tuple[Machine, ...] = ()
    meters: tuple[Meter, ...] = ()
    fields: tuple[Field, ...] = ()
    crops: tuple[Crop, ...] = ()
    seasons: tuple[Season, ...] = ()
    part_kinds: tuple[PartKind, ...] = ()
    parts: tuple[Part, ...] = ()
    components: tuple[Component, ...] = ()
    service_items: tuple[ServiceItem, ...] = ()
    suppliers: tuple[Supplier, ...] = ()
    circuit_nodes: tuple[CircuitNode, ...] = ()
    people: tuple[Person, ...] = ()
    season_plans: tuple[SeasonPlan, ...] = ()
    settings: tuple[Setting, ...] = ()

    @cached_property
    def farm(self) -> FarmSettings:
        """What the rows of settings say."""
        return farm_settings(self.settings)


T = TypeVar("T")


def known_names(connection: Connection) -> KnownNames:
    """Read the small tables whose rows people name."""
    return KnownNames(
        machines=tuple(find_all(connection, Machine)),
        meters=tuple(find_all(connection, Meter)),
        fields=tuple(find_all(connection, Field)),
        crops=tuple(find_all(connection, Crop)),
        seasons=tuple(find_all(connection, Season)),
        part_kinds=tuple(find_all(connection, PartKind)),
        parts=tuple(find_all(connection, Part)),
        components=tuple(find_all(connection, Component)),
        service_items=tuple(find_all(connection, ServiceItem)),
        suppliers=tuple(find_all(connection, Supplier)),
        circuit_nodes=tuple(find_all(connection, CircuitNode)),
        people=tuple(find_all(connection, Person)),
        season_plans=tuple(find_all(connection, SeasonPlan)),
        settings=tuple(find_all(connection, Setting)),
    )


def crop_named(connection: Connection, text: str) -> Crop | None:
    """Return the crop of a name or its beginning; None where none is named. NotFoundError, UsageError: none, or several so."""
    return pick(find_all(connection, Crop), lambda one: one.name, text, "crop") if text else None


def names_about(connection: Connection, component: Component) -> KnownNames:
    """Read only what facts about one component point at and are told with: it, its machine and kind, the farm's settings.

    Enough for what writes no row that has a name of its own: those are compared with all there are.
    """
    return KnownNames(
        machines=tuple(find_all(connection, Machine, id=component.machine_id)),
        part_kinds=tuple(find_all(connection, PartKind, id=component.part_kind_id)),
        components=(component,),
        settings=tuple(find_all(connection, Setting)),
    )


def pick(
    rows: Iterable[T],
    name_of: Callable[[T], str],
    text: str,
    what: str,
    also_called: Callable[[T], Iterable[str]] = lambda _: (),
) -> T:
    """Return the one row that `text` names: by its name, by what else it is called, or by a beginning, in any case.

    Parameters
    ----------
    also_called : callable, optional
        What people call a row besides its name.

    Raises
    ------
    NotFoundError
        When nothing begins so; the hint names the nearest.
    UsageError
        When several do; the hint lists them.
    """
    rows = list(rows)
    found = fitting_best(rows, name_of, text, also_called)
    if len(found) == 1:
        return found[0]
    if found:
        names = [name_of(row) for row in found]
        alike = len(set(map(folded, names))) < len(names)
        # of one name only the number tells which is meant
        raise too_many(
            text, what, [_with_number(name, row) if alike else name for name, row in zip(names, found, strict=True)]
        )
    raise NotFoundError(f"There is no {what} '{text}'.", _nearest(folded(text), [name_of(row) for row in rows]))


def fitting_best(
    rows: Sequence[T],
    name_of: Callable[[T], str],
    text: str,
    also_called: Callable[[T], Iterable[str]] = lambda _: (),
) -> list[T]:
    """Return the rows called `text`; else those that are also called so; else those with a word that begins so.

    This is how a name is read wherever one is typed: after a command, in a field, in the cell of a sheet.
    """
    wanted = folded(text)
    if not wanted:
        return []
    exact = [row for row in rows if folded(name_of(row)) == wanted]
    if exact:
        return exact
    numbered = _numbered(rows, name_of, wanted)
    if numbered:
        return numbered
    also = [row for row in rows if any(wanted in said for said in map(_one_and_many, also_called(row)))]
    return also or [row for row in rows if _begins(folded(name_of(row)), wanted)]


def _numbered(rows: Sequence[T], name_of: Callable[[T], str], wanted: str) -> list[T]:
    """Return the rows that a number names, alone or behind their name: two laptops may have entered one name each."""
    name, _, digits = wanted.rpartition(" ")
    if not digits.isdigit() or len(digits) < NUMBER_DIGITS:
        return []
    called = [row for row in rows if not name or folded(name_of(row)) == name]
    return [row for row in called if isinstance(row, Fact) and long_number(row.id).startswith(digits)]


def too_many(text: str, what: str, names: Sequence[str]) -> UsageError:
    """Return the error that says of which rows `text` could be any."""
    shown = ", ".join(f"'{name}'" for name in names[:6])
    return UsageError(f"'{text}' could be any of {len(names)} {what}s.", f"Write more of the name: {shown}.")


def _with_number(name: str, row: object) -> str:
    return f"{name} {short_number(row.id)}" if isinstance(row, Fact) else name


def _begins(name: str, wanted: str) -> bool:
    return name.startswith(wanted) or any(word.startswith(wanted) for word in name.split())


def _one_and_many(phrase: str) -> set[str]:
    """Return a phrase as it is said of one and of several, as the plain line reads it: "knife guard", "knife guards"."""
    *before, last = folded(phrase).split() or [""]
    return {" ".join((*before, form)) for form, _ in forms(last)}


def kind_named(kinds: Iterable[PartKind], text: str, what: str = "kind of part") -> PartKind:
    """Return the kind that `text` names: by its name, a word people call it, or a beginning that fits one only."""
    return pick(kinds, lambda kind: kind.name, text, what, words_of_kind)


def words_of_kind(kind: PartKind) -> tuple[str, ...]:
    """Return what a kind is called besides its own name: its plural, and the words of people for it."""
    return (kind.name, kind.name.partition("(")[0], *kind.words)


def _nearest(wanted: str, names: Sequence[str]) -> str:
    if not names:
        return "None has been entered yet."
    by_lower = {name.casefold(): name for name in names}
    close = get_close_matches(wanted, by_lower, n=3, cutoff=0.5)
    shown = [by_lower[name] for name in close] or sorted(names)[:6]
    return f"{'The nearest' if close else 'There'} {'is' if len(shown) == 1 else 'are'} {', '.join(shown)}."


def machine_named(known: KnownNames, text: str, *kinds: MachineKind) -> Machine:
    """Return the machine that `text` names, of one of `kinds` if any are given."""
    rows = [machine for machine in known.machines if not kinds or machine.kind in kinds]
    what = kinds[0].value if len(kinds) == 1 else "machine"
    return pick(rows, lambda machine: machine.name, text, what)


def component_at(known: KnownNames, machine: Machine, place: str) -> Component:
    """Return the component that sits at a named place of a machine."""
    there = [component for component in known.components if component.machine_id == machine.id]
    return pick(there, lambda row: row.place, place, f"place on {machine.name}")


def vocabulary(store: Store) -> Vocabulary:
    """Read what a quick line can name on this farm."""
    with store.reading() as connection:
        known = known_names(connection)
        hitched = {one.header_id: one.combine_id for one in standing(find_all(connection, Hitch))}
        current = last_machine(connection)
    return vocabulary_of(known, hitched, current)


def vocabulary_of(known: KnownNames, hitched: dict[UUID, UUID], current: UUID | None) -> Vocabulary:
    """Build the vocabulary from facts."""
    kinds = {kind.id: kind for kind in known.part_kinds}
    by_machine: dict[UUID, list[KnownComponent]] = defaultdict(list)
    for component in known.components:
        by_machine[component.machine_id].append(_known_component(component, kinds[component.part_kind_id]))
    return Vocabulary(
        machines=tuple(
            KnownMachine(machine.id, machine.name, machine.kind, tuple(by_machine[machine.id]), hitched.get(machine.id))
            for machine in known.machines
        ),
        kind_words=tuple((kind.id, kind.name, _words(kind)) for kind in known.part_kinds),
        current_machine_id=current,
    )


def _known_component(component: Component, kind: PartKind) -> KnownComponent:
    return KnownComponent(component.id, kind.id, kind.name, _words(kind), component.place, component.positions)


def _words(kind: PartKind) -> tuple[str, ...]:
    return kind.words
