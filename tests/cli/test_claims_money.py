"""claims: what each is worth, against sums worked out here from what was entered alone."""

from __future__ import annotations

from datetime import UTC, date, datetime
from itertools import product
from pathlib import Path

import pytest

from tests.cli.running import Wearlog
from tests.small_farm import SmallFarm, harvest, receive
from wearlog.ids import short_number

#: fitted and broken, both positions; between them the one run of 100 acres
FITTED, BROKE = date(2026, 8, 1), date(2026, 8, 9)
LABOUR_RATE = 18.50
LIST_PRICE, LAST_PAID = 10.00, 7.40


def said(own: Wearlog, *words: str) -> None:
    done = own(*words)
    assert done.code == 0, (words, done.err)


def worth(*, came: bool, months: int | None, acres: int | None, rata: bool, covers: bool, hired: float) -> float:
    """What two sections are worth, by the words of the terms."""
    piece = LAST_PAID if came else LIST_PRICE
    if rata:
        gone = [0.0]
        if acres:
            gone.append(100 / acres)
        if months:
            years, month = divmod(FITTED.month - 1 + months, 12)
            ends = date(FITTED.year + years, month + 1, FITTED.day)
            gone.append((BROKE - FITTED).days / (ends - FITTED).days)
        piece *= 1 - max(gone)
    return 2 * piece + (0.5 * LABOUR_RATE + hired if covers else 0.0)


CASES = [
    (came, months, acres, rata, covers)
    for came, (months, acres), rata, covers in product(
        (False, True), ((12, None), (None, 400), (1, 400), (36, 125)), (False, True), (False, True)
    )
]


@pytest.mark.parametrize(("came", "months", "acres", "rata", "covers"), CASES)
def test_a_claim_is_worth_what_its_terms_say(
    own: Wearlog,
    file_farm: SmallFarm,
    *,
    came: bool,
    months: int | None,
    acres: int | None,
    rata: bool,
    covers: bool,
) -> None:
    harvest(file_farm, at=datetime(2026, 8, 4, 15, tzinfo=UTC))
    said(own, "set", "time_zone", "UTC")
    said(own, "set", "labour_rate", str(LABOUR_RATE))
    if came:
        # the earlier delivery cost something else, and one came after it was fitted
        for day, cost in ((1, 620), (20, 740)):
            receive(file_farm, 10, cost, at=datetime(2026, 7, day, 12, tzinfo=UTC))
        receive(file_farm, 10, 999, at=datetime(2026, 8, 5, 12, tzinfo=UTC))
    terms = [f"price={LIST_PRICE}", f"warranty_covers={'part and labour' if covers else 'part'}"]
    terms += [f"warranty_months={months}"] if months else []
    terms += [f"warranty={acres} ac"] if acres else []
    terms += ["warranty_pro_rata=yes"] if rata else []
    said(own, "change", short_number(file_farm.section_part.id), *terms)
    said(own, "log", "sections 41-42 worn, 2026-08-01 16:00", "--yes")
    said(own, "log", "sections 41-42 worn, 1 man 30 min, 2026-08-09 12:00", "--yes")
    (row,) = [one for one in own("claims", "--json").json["claims"] if one["broke_on"] == BROKE.isoformat()]
    by_hand = worth(came=came, months=months, acres=acres, rata=rata, covers=covers, hired=0.0)
    assert float(row["worth"]["amount"]) == pytest.approx(by_hand, abs=0.0051)
    assert row["pieces"] == 2


def test_the_list_is_saved_as_the_other_answers_are(own: Wearlog, file_farm: SmallFarm, tmp_path: Path) -> None:
    harvest(file_farm, at=datetime(2026, 8, 4, 15, tzinfo=UTC))
    said(own, "change", short_number(file_farm.section_part.id), "warranty=400 ac", "price=10")
    said(own, "log", "sections 41-42 worn, 2026-08-01 16:00", "--yes")
    said(own, "log", "sections 41-42 worn, 2026-08-09 12:00", "--yes")
    for ending in ("csv", "xlsx", "html"):
        file = tmp_path / f"claims.{ending}"
        assert own("claims", "--save", str(file)).err == f"Wrote 1 row into {file}.\n"
    heading, row = (tmp_path / "claims.csv").read_text().splitlines()
    assert heading.startswith("entry,what broke,on,pieces,worth,until,claim")
    assert ",2,20.00," in row
    early = own("claims", "--early", "--json").json
    assert "claims" not in early
    assert own("claims", "--sent", "123456", "--early").code == 2
