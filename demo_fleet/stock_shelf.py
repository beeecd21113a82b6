"""The farm's shelf: parts with prices that drift, what came, what was used, what was counted. Never fewer than none."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import StockChange, WarrantyCover
from wearlog.facts.parts import Part, PartFit, StockMove
from wearlog.ids import derived_id

from .draws import Draws
from .farm_land import FIRST_YEAR, LAST_YEAR, LOG_BEGINS
from .records import FARM_ZONE, Records, farm_time


@dataclass(frozen=True, slots=True)
class Article:
    """A part for a kind: number, price of one in dollars of 2021, pack, days to get it, least on hand, stock wanted in spring."""

    kind: str
    number: str
    dollars: float
    pack: int
    lead_days: int
    keep: int
    spring: int


#: months from fitting in which a part that fails is replaced
_TERM_MONTHS: Final = {"main drive belt": 24, "bearing": 12, "battery": 24}

ARTICLES: Final = (
    Article("knife section", "QF-1010", 5.35, 25, 2, 20, 40),
    Article("guard", "QF-1020", 24.50, 5, 3, 8, 15),
    Article("hold-down", "QF-1030", 17.20, 5, 4, 5, 10),
    Article("knife head", "QF-1040", 188.00, 1, 4, 1, 2),
    Article("knife drive", "QF-1050", 1460.00, 1, 9, 0, 0),
    Article("reel tine", "QF-1060", 7.90, 10, 4, 10, 15),
    Article("draper belt", "QF-1070", 1180.00, 1, 6, 1, 2),
    Article("auger finger", "QF-1080", 19.40, 5, 4, 5, 10),
    Article("skid plate", "QF-1090", 74.00, 1, 5, 2, 4),
    Article("universal joint", "QF-1100", 66.00, 1, 3, 1, 2),
    Article("feeder conveyor chain", "QF-2010", 1390.00, 1, 7, 0, 0),
    Article("feeder slat", "QF-2020", 41.00, 2, 4, 2, 4),
    Article("rasp bars", "QF-3010", 2180.00, 1, 8, 0, 0),
    Article("concave", "QF-3020", 1745.00, 1, 8, 0, 0),
    Article("cleaning fan belt", "QF-4010", 92.00, 1, 3, 1, 1),
    Article("clean grain elevator chain", "QF-5010", 640.00, 1, 6, 1, 1),
    Article("elevator paddle", "QF-5020", 8.70, 10, 3, 6, 10),
    Article("auger flighting", "QF-5030", 520.00, 1, 9, 0, 0),
    Article("unloading shear bolt", "QF-6010", 2.15, 10, 2, 6, 10),
    Article("chopper blades", "QF-7010", 560.00, 1, 6, 1, 1),
    Article("main drive belt", "QF-8010", 236.00, 1, 4, 2, 4),
    Article("drive chain", "QF-8020", 118.00, 1, 3, 1, 2),
    Article("bearing", "QF-8030", 87.00, 1, 2, 4, 4),
    Article("hydraulic hose", "QF-9010", 64.00, 1, 1, 3, 3),
    Article("battery", "QF-9020", 214.00, 1, 1, 0, 0),
    Article("speed sensor", "QF-9030", 96.00, 1, 3, 1, 2),
    Article("fuse", "QF-9040", 0.45, 10, 1, 8, 20),
)
_YEARLY_DRIFT: Final = 0.046
#: the dealer's counter by the farm's clock in harvest, and how often it has what is asked for (invented)
COUNTER_OPEN: Final = (7, 18)
AT_THE_COUNTER: Final = 0.85
#: fits one machine only
_ONE_MACHINE: Final = {"auger finger": "Plover"}
_SUPPLIERS: Final = ("Hollow Road Parts", "Millpond Supply")


def _article_of(kind: str) -> Article:
    return next(article for article in ARTICLES if article.kind == kind)


class Shelf:
    """How many of each kind lie on the shelf; every change is entered as a stock move."""

    def __init__(self, records: Records, draws: Draws) -> None:
        self._records = records
        self._draws = draws
        self._on_hand = {article.kind: 0 for article in ARTICLES}
        for place, article in enumerate(ARTICLES):
            self._enter_article(article, _SUPPLIERS[place % 2])

    def part_id(self, kind: str) -> UUID | None:
        """Return the part that is fitted where this kind sits; None for a kind that is not kept."""
        known = any(article.kind == kind for article in ARTICLES)
        return self._records.id_of("part", kind) if known else None

    def stock_up(self, day: date) -> None:
        """Buy, in packs, what is missing to the stock wanted before a season."""
        for article in ARTICLES:
            missing = article.spring - self._on_hand[article.kind]
            if missing > 0:
                self._receive(article, -(-missing // article.pack) * article.pack, farm_time(day, 14.5), 1.0)

    def buy_for_winter(self, kind: str, number: int, day: date) -> None:
        """Buy a whole set for planned work, in packs."""
        article = _article_of(kind)
        self._receive(article, -(-number // article.pack) * article.pack, farm_time(day, 11), 0.96)

    def use(
        self, kind: str, number: int, at: datetime, *, breakage_id: UUID | None = None, repair_id: UUID | None = None
    ) -> int:
        """Take parts for a breakage or a repair; when too few are there, fetch exactly as many at a higher price.

        Returns the minutes it took to fetch them, 0 when they lay on the shelf. Fetched parts are received and used at one
        instant, so that they change nothing for anyone else.
        """
        article = _article_of(kind)
        fetching = 0 if self._on_hand[kind] >= number else self._minutes_to_fetch(at)
        at += timedelta(minutes=fetching)
        if fetching:
            self._receive(article, number, at, 1.22, note="fetched in a hurry")
        self._on_hand[kind] -= number
        self._move(article, at, StockChange.USED, number, breakage_id=breakage_id, repair_id=repair_id)
        return fetching

    def on_hand(self, kind: str) -> int:
        """Return how many lie there."""
        return self._on_hand[kind]

    def _minutes_to_fetch(self, at: datetime) -> int:
        """By day the dealer has most of it, an hour or two there and back; at night, and from afar, it takes about ten hours."""
        hour = at.astimezone(FARM_ZONE).hour
        at_the_counter = self._draws.chance(AT_THE_COUNTER)
        if at_the_counter and COUNTER_OPEN[0] <= hour < COUNTER_OPEN[1]:
            return self._draws.whole(60, 120)
        return self._draws.whole(540, 690)

    def count(self, day: date) -> None:
        """Count the shelf at the year's end; now and then one is missing."""
        for article in ARTICLES:
            if self._on_hand[article.kind] > 3 and self._draws.chance(0.12):
                self._on_hand[article.kind] -= 1
            self._move(article, farm_time(day, 15), StockChange.COUNTED, self._on_hand[article.kind])

    def _receive(self, article: Article, number: int, at: datetime, dearer: float, note: str = "") -> None:
        drift = (1 + _YEARLY_DRIFT) ** (at.year - FIRST_YEAR)
        cents = round(article.dollars * 100 * drift * dearer * self._draws.uniform(0.985, 1.02))
        self._on_hand[article.kind] += number
        self._move(article, at, StockChange.RECEIVED, number, unit_cost=cents, note=note)

    def _move(
        self,
        article: Article,
        at: datetime,
        change: StockChange,
        quantity: int,
        *,
        unit_cost: int | None = None,
        breakage_id: UUID | None = None,
        repair_id: UUID | None = None,
        note: str = "",
    ) -> None:
        self._records.add(
            StockMove(
                id=self._records.next_id("stock_move"),
                part_id=self._records.id_of("part", article.kind),
                at=at,
                change=change,
                quantity=quantity,
                unit_cost_minor=unit_cost,
                repair_id=repair_id,
                breakage_id=breakage_id,
                note=note,
            )
        )

    def _enter_article(self, article: Article, supplier: str) -> None:
        records = self._records
        today = article.dollars * 100 * (1 + _YEARLY_DRIFT) ** (LAST_YEAR - FIRST_YEAR)
        part = Part(
            id=records.id_of("part", article.kind),
            number=records.named(article.number),
            name=article.kind,
            price_minor=round(today),
            pack_size=article.pack,
            lead_time_days=article.lead_days,
            supplier=supplier,
            keep_on_hand=article.keep,
            warranty_months=_TERM_MONTHS.get(article.kind),
            warranty_covers=WarrantyCover.PART if article.kind in _TERM_MONTHS else None,
        )
        records.add(part)
        machine = _ONE_MACHINE.get(article.kind)
        records.add(
            PartFit(
                id=records.id_of("part_fit", article.kind),
                part_id=part.id,
                part_kind_id=derived_id("part_kind", article.kind),
                machine_id=records.id_of("machine", machine) if machine else None,
            )
        )


FIRST_DELIVERY: Final = LOG_BEGINS + timedelta(days=5)
