"""add, hitch, fit, set: what the farm has, entered from the command line."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import click

from wearlog.cli.figures import WHOLE, WholeBetween
from wearlog.cli.options import command, moment, opened, say, tell, tell_care, with_at, with_db
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Evidence, Ground, MachineKind, MeterKind, RepairKind
from wearlog.facts.work import Crop
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from wearlog.facts.machines import Machine
    from wearlog.logbook.saving import Done
    from wearlog.store.opening import Store

_TONNE_GRAMS = 1_000_000
_MACHINES = {"combine", "header", "tractor", "truck", "cart"}
_OTHERS = ("field", "crop", "season", "part", "component", "service", "repair")


@command(
    "add",
    examples=(
        "wearlog add combine Kestrel --engine 2310.4 --separator 1702 --price 585000",
        "wearlog add header North --width 40ft --knife 160 --guards 80",
        "wearlog add field 'north quarter' --area 158 --ground stony",
        "wearlog add crop wheat --bushel 60lb --price 6.00",
        "wearlog add season 2027",
        "wearlog add part KS-3 --name 'knife section' --fits 'knife section' --price 4.60 --pack 25 --on-hand 50 --keep 40",
        "wearlog add component 'feeder chain' --on Kestrel --kind 'feeder conveyor chain' --age unknown",
        "wearlog add service usual --on North",
        "wearlog add service 'engine oil' --on Kestrel --every 250 --months 12",
        "wearlog add repair 'rotor balanced by the dealer' --on Kestrel --overhaul --labour 3h --hired 450 --invoice 7781",
        "wearlog add repair 'final drive rebuilt' --on Kestrel --sort breakdown --hired 2150 --stood 30h",
    ),
)
@click.argument("what", type=click.Choice([*sorted(_MACHINES), *_OTHERS]))
@click.argument("name")
@click.option("--engine", default="", help="Engine hours shown now.")
@click.option("--separator", default="", help="Separator hours shown now.")
@click.option("--width", default="", help="Header: width of cut; ft, or m on a metric farm.")
@click.option("--knife", type=WholeBetween(1, 2000), help="Header: fit a new knife with so many sections.")
@click.option("--guards", type=WholeBetween(1, 2000), help="Header: fit so many new guards.")
@click.option(
    "--services",
    type=click.Choice(["usual", "none"]),
    help="Combine, header: with the usual services (common practice; the machine's own book goes before), or with none.",
)
@click.option(
    "--price",
    default="",
    help="Machine: list price new. Part: of one piece. Crop: what a bushel (metric: a tonne) brings.",
)
@click.option("--year", type=WHOLE, help="Machine: model year.")
@click.option("--area", default="", help="Field: its area; ac, or ha on a metric farm.")
@click.option("--ground", type=click.Choice([one.value for one in Ground]), help="Field: how stony it is.")
@click.option("--bushel", default="", help="Crop: what a bushel weighs, like 60lb; also of one that is there.")
@click.option("--name", "called", default="", help="Part: what it is called.")
@click.option("--fits", default="", help="Part: the kind it fits.")
@click.option("--pack", type=WholeBetween(1), default=1, help="Part: pieces in a pack.")
@click.option("--on-hand", type=WholeBetween(0), default=0, help="Part: how many lie on the shelf.")
@click.option("--keep", type=WholeBetween(0), default=0, help="Part: low below this many.")
@click.option("--supplier", default="", help="Part: who sells it.")
@click.option("--on", "on", default="", help="Component, service, repair: on which machine.")
@click.option("--every", default="", help="Service: due after so many engine hours.")
@click.option("--months", type=WholeBetween(1, 240), help="Service: due after so many months, whichever comes first.")
@click.option("--labour", default="", help="Repair: man-time, like 3h.")
@click.option("--hired", default="", help="Repair: what others charged.")
@click.option("--used", "used", multiple=True, metavar="NUMBER[xN]", help="Repair: what came off the shelf for it.")
@click.option("--invoice", default="", help="Repair: the paper that says what others charged.")
@click.option("--stood", default="", help="Repair: how long the machine stood for it, like 30h.")
@click.option(
    "--sort",
    type=click.Choice([one.value for one in RepairKind]),
    help="Repair: planned (the usual), breakdown or overhaul.",
)
@click.option("--overhaul", is_flag=True, help="Repair: an overhaul, not just planned work.")
@click.option("--kind", default="", help="Component: kind of part.")
@click.option("--positions", type=WholeBetween(1, 2000), default=1, help="Component: how many equal positions.")
@click.option("--age", default="0", help="Component, knife, guards: age: hours, area, 'about 3 seasons', unknown.")
@with_at
@with_db
def add_command(what: str, name: str, *, at: str, db: str, **given: object) -> None:
    """Add a machine, field, crop, season, part, component, service or repair. A log is begun if there is none yet."""
    with opened(db, start=True) as store:
        if what in _MACHINES:
            said = _add_machine(store, MachineKind(what), name, moment(at, store), given)
        elif what == "part":
            said = _add_part(store, name, moment(at, store), given)
        elif what == "component":
            said = _add_component(store, name, moment(at, store), given)
        elif what == "service":
            said = _add_service(store, name, given)
        elif what == "repair":
            said = _add_repair(store, name, moment(at, store), given)
        else:
            said = _add_land(store, what, name, given)
    say([line for done in said for line in saved_lines(done)])


def _add_machine(store: Store, kind: MachineKind, name: str, at: datetime, given: dict[str, object]) -> list[Done]:
    from wearlog.cli.age_commands import told_age
    from wearlog.facts.machines import Machine, starting_services
    from wearlog.logbook.farm.machines import add_machine
    from wearlog.logbook.names import known_names
    from wearlog.logbook.parts.upkeep import add_usual_services
    from wearlog.logbook.said.measures import farm_reader, hours, money
    from wearlog.logbook.said.rough_ages import is_rough

    with store.reading() as connection:
        read = farm_reader(known_names(connection))
    fitted = (("knife", "knife section", "knife"), ("guards", "guard", "guards"))
    if given["age"] != "0" and not any(given[option] for option, *_ in fitted):
        raise UsageError("An age is that of parts, and none is named.", "Give --knife 160 or --guards 80 with it.")
    if not is_rough(str(given["age"])):
        # what cannot be read is told before anything is saved
        read.age(MeterKind.AREA, str(given["age"]))
    shown = {}
    for option, meter in (("engine", MeterKind.ENGINE_HOURS), ("separator", MeterKind.SEPARATOR_HOURS)):
        if given[option]:
            shown[meter] = hours(str(given[option]))
    machine = Machine(
        name=name,
        kind=kind,
        cut_width_micrometres=read.width(str(given["width"])) if given["width"] else None,
        list_price_minor=money(str(given["price"])) if given["price"] else None,
        model_year=given["year"],  # type: ignore[arg-type]
    )
    said = [add_machine(store, machine, at=at, shown=shown)]
    if given["services"] == "usual":
        said.append(add_usual_services(store, machine))
    elif given["services"] is None and starting_services(machine):
        # a name of several words is typed in quotes
        named = f'"{name}"' if " " in name else name
        tell(
            f"{len(starting_services(machine))} services are usual for a {kind.value} (common practice; its own book goes before): "
            f"'wearlog add service usual --on {named}' takes them."
        )
    age = told_age(store, machine.id, MeterKind.AREA, str(given["age"]))
    for option, part_kind, place in fitted:
        if given[option]:
            said.append(_fit_first(store, machine, (part_kind, place), int(str(given[option])), (at, age)))
    return said


def _fit_first(
    store: Store, machine: Machine, what: tuple[str, str], positions: int, since: tuple[datetime, int | None]
) -> Done:
    """Put on what a header has by its kind and place; `since` is when, and how old it was then."""
    from wearlog.facts.wearing import Component
    from wearlog.logbook.names import kind_named, known_names
    from wearlog.logbook.parts.fitting import add_component

    kind, place = what
    with store.reading() as connection:
        part_kind = kind_named(known_names(connection).part_kinds, kind)
    component = Component(machine_id=machine.id, part_kind_id=part_kind.id, place=place, positions=positions)
    return add_component(store, component, fitted_at=since[0], age_usage=since[1])


def _add_land(store: Store, what: str, name: str, given: dict[str, object]) -> list[Done]:
    from wearlog.logbook.farm.machines import add_field, add_season
    from wearlog.logbook.names import known_names
    from wearlog.logbook.said.measures import farm_reader

    if what == "crop":
        return [_add_crop(store, name, str(given["bushel"]), str(given["price"]))]
    if what == "season":
        if not name.isdigit():
            raise UsageError(f"'{name}' is not a harvest year.", "Write it like 2027.")
        return [add_season(store, int(name))]
    if not given["area"] or not given["ground"]:
        raise UsageError("How large is the field, and how stony?", "Give --area 158 and --ground stony.")
    with store.reading() as connection:
        area = farm_reader(known_names(connection)).area(str(given["area"]))
    return [add_field(store, name, area, Ground(str(given["ground"])))]


def _add_crop(store: Store, name: str, bushel: str, price: str) -> Done:
    from wearlog.logbook.farm.machines import add_crop, describe_crop
    from wearlog.logbook.names import known_names
    from wearlog.logbook.said.measures import farm_reader, money

    with store.reading() as connection:
        known = known_names(connection)
    grams = farm_reader(known).bushel(bushel) if bushel else None
    there = next((one for one in known.crops if one.name.casefold() == name.strip().casefold()), None)
    crop = Crop(name=name) if there is None else there
    if grams is not None:
        crop = replace(crop, bushel_grams=grams)
    if price:
        from wearlog.present.plan.grain_lost_sheet import price_grams

        crop = replace(crop, price_minor_per_tonne=round(money(price) * _TONNE_GRAMS / price_grams(crop, known.farm)))
    if there is None or crop == there:
        return add_crop(store, name, crop.bushel_grams, crop.price_minor_per_tonne)
    return describe_crop(store, crop)


def _add_part(store: Store, number: str, at: datetime, given: dict[str, object]) -> list[Done]:
    from wearlog.facts.parts import Part
    from wearlog.logbook.names import kind_named, known_names
    from wearlog.logbook.parts.stocking import add_part
    from wearlog.logbook.said.measures import money

    kinds = []
    if given["fits"]:
        with store.reading() as connection:
            known = known_names(connection)
        kinds = [kind_named(known.part_kinds, str(given["fits"]))]
    part = Part(
        number=number,
        name=str(given["called"]) or (kinds[0].name if kinds else number),
        price_minor=money(str(given["price"])) if given["price"] else None,
        pack_size=int(str(given["pack"])),
        supplier=str(given["supplier"]),
        keep_on_hand=int(str(given["keep"])),
    )
    return [add_part(store, part, kinds, on_hand=int(str(given["on_hand"])), at=at)]


def _add_component(store: Store, place: str, at: datetime, given: dict[str, object]) -> list[Done]:
    from wearlog.cli.age_commands import told_age
    from wearlog.facts.wearing import Component
    from wearlog.logbook.names import kind_named, known_names, machine_named
    from wearlog.logbook.parts.fitting import add_component

    if not given["on"] or not given["kind"]:
        raise UsageError(
            "On which machine, and which kind of part?", "Give --on Kestrel --kind 'feeder conveyor chain'."
        )
    with store.reading() as connection:
        known = known_names(connection)
    kind = kind_named(known.part_kinds, str(given["kind"]))
    machine = machine_named(known, str(given["on"]))
    component = Component(
        machine_id=machine.id,
        part_kind_id=kind.id,
        place=place,
        positions=int(str(given["positions"])),
    )
    age = told_age(store, machine.id, kind.meter_kind, str(given["age"]))
    return [add_component(store, component, fitted_at=at, age_usage=age)]


def _add_service(store: Store, name: str, given: dict[str, object]) -> list[Done]:
    from wearlog.facts.machines import ServiceItem
    from wearlog.logbook.parts.upkeep import add_service, add_usual_services
    from wearlog.logbook.said.measures import hours

    if name == "usual":
        return [add_usual_services(store, _machine_on(store, given))]
    if not given["every"] and not given["months"]:
        raise UsageError("After how long is it due?", "Give --every 250, --months 12, or both.")
    machine = _machine_on(store, given)
    item = ServiceItem(
        machine_id=machine.id,
        name=name,
        meter_kind=MeterKind.ENGINE_HOURS if given["every"] else None,
        interval_usage=hours(str(given["every"])) if given["every"] else None,
        interval_months=given["months"],  # type: ignore[arg-type]
        evidence=Evidence.OWN_RECORDS,
    )
    return [add_service(store, item)]


def _add_repair(store: Store, note: str, at: datetime, given: dict[str, object]) -> list[Done]:
    from wearlog.cli.stock_commands import off_shelf
    from wearlog.facts.cautions import hazards_said
    from wearlog.facts.wearing import Repair
    from wearlog.logbook.parts.upkeep import log_repair
    from wearlog.logbook.said.measures import hours, money

    parts = [off_shelf(store, text) for text in given["used"]]  # type: ignore[attr-defined]
    if not given["labour"] and not given["hired"] and not parts:
        raise UsageError("What did it take?", "Give --labour 3h, --hired 450, --used KS-3x4, or several.")
    stood = hours(str(given["stood"])) if given["stood"] else None
    repair = Repair(
        machine_id=_machine_on(store, given).id,
        kind=RepairKind(str(given["sort"])) if given["sort"] else _sort(given),
        started_at=at,
        ended_at=at + timedelta(seconds=stood) if stood is not None else None,
        invoice=str(given["invoice"]),
        labour_seconds=hours(str(given["labour"])) if given["labour"] else None,
        hired_minor=money(str(given["hired"])) if given["hired"] else None,
        note=note,
    )
    tell_care(hazards_said(note))
    return [log_repair(store, repair, stood_seconds=stood, parts=parts)]


def _sort(given: dict[str, object]) -> RepairKind:
    return RepairKind.OVERHAUL if given["overhaul"] else RepairKind.PLANNED


def _machine_on(store: Store, given: dict[str, object]) -> Machine:
    from wearlog.logbook.names import known_names, machine_named

    if not given["on"]:
        raise UsageError("On which machine?", "Give --on Kestrel.")
    with store.reading() as connection:
        return machine_named(known_names(connection), str(given["on"]))


@command("hitch", examples=("wearlog hitch south kestrel --at 'yesterday 8:00'", "wearlog hitch north merlin"))
@click.argument("header")
@click.argument("combine")
@with_at
@with_db
def hitch_command(header: str, combine: str, *, at: str, db: str) -> None:
    """Hang HEADER on COMBINE from now on; whatever was hitched there before comes off."""
    from wearlog.logbook.farm.machines import hitch
    from wearlog.logbook.names import known_names, machine_named

    with opened(db) as store:
        with store.reading() as connection:
            known = known_names(connection)
        done = hitch(
            store,
            machine_named(known, header, MachineKind.HEADER),
            machine_named(known, combine, MachineKind.COMBINE),
            at=moment(at, store),
        )
    say(saved_lines(done))


@command(
    "fit",
    examples=(
        "wearlog fit north knife",
        "wearlog fit north knife 41-60 --labour 1.5",
        "wearlog fit kestrel 'feeder chain' --age 300",
    ),
)
@click.argument("machine")
@click.argument("place")
@click.argument("positions", required=False, default="")
@click.option("--age", default="0", help="Age of what is put on: hours, area, 'about 3 seasons', unknown.")
@click.option("--labour", default="", help="Man-hours it took.")
@click.option("--not-from-shelf", is_flag=True, help="New parts that do not come off the log's stock.")
@with_at
@with_db
def fit_command(
    machine: str, place: str, positions: str, *, age: str, labour: str, not_from_shelf: bool, at: str, db: str
) -> None:
    """Put parts on, planned and not because they broke: all positions of PLACE, or those named.

    New ones come off the shelf.
    """
    from wearlog.cli.age_commands import told_age
    from wearlog.facts.cautions import CAUTIONS
    from wearlog.facts.positions import parse_positions
    from wearlog.logbook.names import component_at, known_names, machine_named
    from wearlog.logbook.parts.fitting import Put, refit
    from wearlog.logbook.said.measures import hours

    with opened(db) as store:
        with store.reading() as connection:
            known = known_names(connection)
        found = machine_named(known, machine)
        component = component_at(known, found, place)
        kind = next(kind for kind in known.part_kinds if kind.id == component.part_kind_id)
        if kind.hazard:
            for caution in CAUTIONS[kind.hazard]:
                tell(caution)
        chosen = parse_positions(positions) if positions else ()
        put = Put(
            told_age(store, found.id, kind.meter_kind, age),
            off_shelf=not not_from_shelf,
            labour_seconds=hours(labour) if labour else None,
        )
        done = refit(store, component, chosen, at=moment(at, store), put=put)
    say(saved_lines(done))


@command("set", examples=("wearlog set", "wearlog set units metric", "wearlog set labour_rate 28.50"))
@click.argument("key", required=False)
@click.argument("content", required=False)
@with_db
def set_command(key: str | None, content: str | None, *, db: str) -> None:
    """Show the settings of the farm, or change one."""
    from wearlog.logbook.farm.farm_setting import change_setting, current_settings

    with opened(db) as store:
        if key is None:
            say([f"{name:<24} {shown}" for name, shown in current_settings(store)])
            return
        if content is None:
            raise UsageError(f"What shall {key} be?", f"Write it like: wearlog set {key} VALUE")
        done = change_setting(store, key, content)
    say(saved_lines(done))
