"""A row of each sheet of the import format as a person types it, and a change of it: in the order in which they can be entered."""

from __future__ import annotations

from typing import Final, NamedTuple


class Sample(NamedTuple):
    """What is typed: the columns of a new row, one column changed, and how the changed cell then stands in the list."""

    enter: tuple[str, ...]
    change: str
    heading: str
    becomes: str


#: what the samples stand on: words after `wearlog`, typed before them
BEFORE: Final = (
    ("set", "time_zone", "UTC"),
    ("enter", "machine", "name=First", "kind=cart", "type=hauler"),
    ("enter", "machine", "name=Second", "kind=cart", "type=Hauler"),
    ("enter", "circuit_node", "machine=Kestrel", "name=work lamp", "kind=device"),
    ("enter", "circuit_node", "machine=First", "name=tail lamp", "kind=device", "shared=yes"),
    ("enter", "circuit_node", "machine=First", "name=brake lamp", "kind=device", "shared=yes"),
)

#: {sheet} stands for the number of the row entered for that sheet
SAMPLES: Final[dict[str, Sample]] = {
    "setting": Sample(("setting=labour_rate", "content=28.50"), "content=31", "content", "31"),
    "person": Sample(("name=Magda", "short=m"), "short=mg", "short", "mg"),
    "machine": Sample(("name=Plover", "kind=header", "cut_width=40ft"), "note=new bar", "note", "new bar"),
    "hitch": Sample(
        ("header=Plover", "combine=Kestrel", "from=2026-08-20 8:00"), "from=2026-08-20 9:00", "from", "2026-08-20 09:00"
    ),
    "meter": Sample(("machine=First", "meter=engine_hours"), "machine=Second", "machine", "Second"),
    "reading": Sample(
        ("machine=Kestrel", "meter=engine hours", "at=2026-08-21 20:00", "shown=2400"),
        "shown=2401.5",
        "shown_h",
        "2401.5",
    ),
    "field": Sample(("name=river bottom", "area=62", "ground=few stones"), "area=25 ha", "area_ac", "61.7763"),
    "crop": Sample(("name=flax", "bushel=56lb"), "bushel=55", "bushel_lb", "55"),
    "season": Sample(
        ("harvest_year=2029", "starts=2029-01-01", "ends=2030-01-01"), "starts=2029-02-01", "starts", "2029-02-01"
    ),
    "run": Sample(
        (
            "combine=Kestrel",
            "header=Plover",
            "field=river",
            "crop=flax",
            "started=2026-08-21 9:00",
            "ended=2026-08-21 15:00",
            "area=60",
        ),
        "area=58",
        "area_ac",
        "58",
    ),
    "part_kind": Sample(
        ("name=seed deflector", "words=deflector", "subsystem=header", "meter=area", "life_low=2000", "life_high=9000"),
        "hazard=knife",
        "hazard",
        "knife",
    ),
    "part": Sample(("number=SD-1", "name=seed deflector", "price=12.40"), "keep_on_hand=4", "keep_on_hand", "4"),
    "part_fit": Sample(("part=SD-1", "part_kind=seed deflector"), "machine=Plover", "machine", "Plover"),
    "component": Sample(
        ("machine=Plover", "part_kind=deflector", "place=deflectors", "positions=20"), "positions=22", "positions", "22"
    ),
    "fitting": Sample(
        ("machine=Plover", "component=deflectors", "positions=1-22", "fitted=2026-08-20 7:00"),
        "part=SD-1",
        "part",
        "SD-1",
    ),
    "repair": Sample(
        ("machine=Plover", "kind=overhaul", "started=2026-08-22 8:00", "labour=3h", "hired=450"),
        "hired=475.50",
        "hired",
        "475.5",
    ),
    "breakage": Sample(
        ("machine=Plover", "component=deflectors", "positions=4-6", "at=2026-08-21 11:00", "cause=stone"),
        "at=2026-08-21 11:30",
        "at",
        "2026-08-21 11:30",
    ),
    "measurement": Sample(
        ("machine=Kestrel", "component=feeder chain", "at=2026-08-22 9:00", "measured=19.8"),
        "measured=505 mm",
        "measured_in",
        "19.8819",
    ),
    "stoppage": Sample(
        ("machine=Kestrel", "started=2026-08-22 8:00", "ended=2026-08-22 11:00", "reason=service", "repair={repair}"),
        "reason=weather",
        "reason",
        "weather",
    ),
    "service_item": Sample(
        ("machine=Plover", "name=grease the deflectors", "meter=separator_hours", "interval=50"),
        "interval=25",
        "interval_h",
        "25",
    ),
    "service_done": Sample(
        ("machine=Plover", "service=grease the deflectors", "at=2026-08-22 7:00", "labour=20min", "cost=6"),
        "cost=7",
        "cost",
        "7",
    ),
    "supplier": Sample(
        ("name=Crossing Supply", "distance=12", "phone=555-0137"), "distance=20 km", "distance_mi", "12.4274"
    ),
    "supplier_hours": Sample(
        ("supplier=Crossing Supply", "weekday=Sat", "opens=8:00", "closes=12:00"), "closes=1 pm", "closes", "13:00"
    ),
    "supply": Sample(
        ("part=SD-1", "supplier=Crossing Supply", "price=11.50", "quoted_lead_days=3"),
        "quoted_lead_days=4",
        "quoted_lead_days",
        "4",
    ),
    "supply_asked": Sample(
        ("supplier=Crossing Supply", "part=SD-1", "at=2026-08-20 9:00", "had_it=yes"),
        "at=2026-08-20 10:00",
        "at",
        "2026-08-20 10:00",
    ),
    "part_order": Sample(
        ("part=SD-1", "supplier=Crossing Supply", "quantity=10", "ordered=2026-08-20 9:30"),
        "quantity=12",
        "quantity",
        "12",
    ),
    "warranty_claim": Sample(("breakage={breakage}", "sent=2026-08-22 8:00"), "paid=118", "paid", "118"),
    "stock_move": Sample(
        ("part=SD-1", "at=2026-08-22 10:00", "change=received", "quantity=10", "unit_cost=12"),
        "quantity=12",
        "quantity",
        "12",
    ),
    "circuit_node": Sample(
        ("machine=Kestrel", "name=fuse F20", "kind=fuse", "rating_a=15"), "rating_a=10", "rating_a", "10"
    ),
    "circuit_edge": Sample(
        ("machine=Kestrel", "from_node=fuse F20", "to_node=work lamp"), "kind=return", "kind", "return"
    ),
    "circuit_cut": Sample(("machine=Second", "node=tail lamp"), "node=brake lamp", "node", "brake lamp"),
    "fault": Sample(
        ("machine=Kestrel", "title=work lamp dead", "opened=2026-08-22 21:00"),
        "title=work lamps dead",
        "title",
        "work lamps dead",
    ),
    "fault_visit": Sample(
        ("fault={fault}", "started=2026-08-22 21:00", "present=yes", "person=Magda"), "present=no", "present", "no"
    ),
    "fault_sign": Sample(("fault={fault}", "sign=dead", "node=fuse F20"), "note=both", "note", "both"),
    "fault_check": Sample(
        ("fault={fault}", "step=1", "kind=look", "node=fuse F20"), "measured=melted", "measured", "melted"
    ),
    "fault_finding": Sample(
        ("fault={fault}", "node=fuse F20", "mode=open", "evidence=inferred", "at=2026-08-22 22:00"),
        "fix=new fuse",
        "fix",
        "new fuse",
    ),
    "fault_opening": Sample(
        ("fault={fault}", "node=fuse F20", "opened=fuse_out", "at=2026-08-22 21:30"),
        "put_back=2026-08-22 22:10",
        "put_back",
        "2026-08-22 22:10",
    ),
    "calibration": Sample(
        (
            "machine=Kestrel",
            "sensor=yield_load",
            "at=2026-08-21 16:00",
            "reference_amount=21000",
            "indicated_amount=20500",
        ),
        "indicated_amount=20600",
        "indicated_amount_lb",
        "20600",
    ),
    "loss_check": Sample(
        ("combine=Kestrel", "crop=flax", "at=2026-08-21 14:00", "behind=40", "cut_width=40ft", "discharge_width=5ft"),
        "behind=44",
        "behind_per_ft2",
        "44",
    ),
    "moisture_sample": Sample(
        ("crop=flax", "at=2026-08-21 14:30", "tester_pct=9.4"), "elevator_pct=9.1", "elevator_pct", "9.1"
    ),
    "season_plan": Sample(("season=2029", "name=winter", "budget=6000"), "budget=6500", "budget", "6500"),
    "planned_area": Sample(
        ("season=2029", "plan=winter", "area=500", "crop=flax", "ground=stony"), "area=520", "area_ac", "520"
    ),
    "plan_choice": Sample(
        ("season=2029", "plan=winter", "machine=Plover", "component=deflectors", "choice=replace"),
        "choice=run",
        "choice",
        "run",
    ),
}
