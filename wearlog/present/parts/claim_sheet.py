"""Claims under warranty, and failures far too early, as answers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from wearlog.facts.closed_lists import Subsystem
from wearlog.facts.parts import PartKind
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, place_said
from wearlog.facts.wearing import Component
from wearlog.ids import short_number
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures, amount, number, percent
from wearlog.present.json_form import money, rounded
from wearlog.present.words import capital, counted, listed, word
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.parts.claims import SOON_DAYS, Claim, ClaimList, ClaimState
from wearlog.reckoning.wear.early_failures import EarlyPlace

#: a cause upstream or a bad part is told without a doubt from here on
_TOLD: Final = 0.8
_NO_TERMS: Final = (
    "No part has terms of warranty yet. They are written with the part; 'wearlog stock' shows its entry's number: "
    "wearlog change NUMBER warranty_months=12 warranty=400"
)


def claim_sheet(found: ClaimList, measures: Measures) -> AnswerSheet[Claim]:
    """Return the claims, open ones first."""
    open_ones = [one for one in found.claims if one.state is ClaimState.OPEN]
    worth = sum(one.worth_minor or 0 for one in open_ones)
    paid = sum(one.sent.paid_minor or 0 for one in found.claims if one.sent is not None)
    lapsed = [one for one in found.claims if one.state is ClaimState.LAPSED]
    lost = measures.money(sum(one.worth_minor or 0 for one in lapsed))
    over = f"; {number(len(lapsed))} lapsed, {lost}" if lapsed else ""
    worth_of = f", worth {measures.money(worth)}" if open_ones else ""
    headline = f"{capital(counted(len(open_ones), 'claim'))} open{worth_of}; {measures.money(paid)} paid so far{over}."
    return AnswerSheet(
        name="claims",
        columns=_claim_columns(found.farm),
        rows=found.claims,
        measures=measures,
        headline=headline if found.claims else "",
        answer=headline if found.claims else "",
        sentences=[*_ending(found, measures), *_unpriced(open_ones)],
        empty="Nothing that broke lies within the terms of its part." if found.has_terms else _NO_TERMS,
        beside={"worth": money(worth, measures.settings.currency), "paid": money(paid, measures.settings.currency)},
        key_of=lambda row: row.breakage.id if row.breakage else row.sent.id if row.sent else None,
        about=lambda row, measures: _about(row, measures),
        shouts=lambda row: row.state is ClaimState.OPEN,
    )


def _ending(found: ClaimList, measures: Measures) -> list[str]:
    if not found.ending:
        return []
    ends = listed(
        [
            f"{one_line(one.part.number)} on {_named(one.component, found.farm, one.positions)} ({measures.date_said(one.ends_on)})"
            for one in found.ending
        ]
    )
    return [f"Terms that end within {SOON_DAYS} days, look at or measure these parts before: {ends}."]


def _unpriced(claims: Sequence[Claim]) -> list[str]:
    without = sum(one.worth_minor is None for one in claims)
    return [f"Nobody wrote a price of {counted(without, 'part')}: not in the sum."] if without else []


def _named(component: Component | None, farm: Farm, positions: Sequence[int] = ()) -> str:
    if component is None:
        return NOTHING
    machine = next((one.name for one in farm.machines if one.id == component.machine_id), "")
    kind = next((one.name for one in farm.part_kinds if one.id == component.part_kind_id), "")
    return place_said(machine, component_name(component.place, kind), component.positions, positions)


def _claim_columns(farm: Farm) -> tuple[AnswerColumn[Claim], ...]:
    return (
        AnswerColumn(
            "entry",
            lambda row, _: short_number(row.breakage.id) if row.breakage else NOTHING,
            "breakage",
            lambda row, _: short_number(row.breakage.id) if row.breakage else None,
            least=6,
            most=8,
        ),
        AnswerColumn(
            "what broke",
            lambda row, _: _named(row.component, farm),
            "component",
            lambda row, _: None if row.component is None else _named(row.component, farm),
            least=26,
            most=36,
        ),
        AnswerColumn(
            "on",
            lambda row, measures: measures.day(row.breakage.at) if row.breakage else NOTHING,
            "broke_on",
            lambda row, measures: measures.day(row.breakage.at) if row.breakage else None,
            least=10,
            most=10,
            gives=2,
        ),
        AnswerColumn(
            "pieces",
            lambda row, _: number(row.pieces),
            "pieces",
            lambda row, _: row.pieces,
            least=6,
            figures=True,
            gives=3,
        ),
        data("part", lambda row, _: None if row.part is None else row.part.number),
        AnswerColumn(
            "worth",
            lambda row, _: NOTHING if row.worth_minor is None else amount(row.worth_minor),
            "worth",
            lambda row, measures: (
                None if row.worth_minor is None else money(row.worth_minor, measures.settings.currency)
            ),
            least=9,
            figures=True,
            legend="worth: what the terms pay, the part and, where they cover it, labour ({money}); standing is never claimed.",
        ),
        AnswerColumn(
            "until",
            lambda row, _: NOTHING if row.expires_on is None else row.expires_on.isoformat(),
            "expires_on",
            lambda row, _: None if row.expires_on is None else row.expires_on.isoformat(),
            least=10,
            most=10,
            gives=1,
        ),
        AnswerColumn("claim", lambda row, _: word(row.state), "state", lambda row, _: row.state, least=8, most=13),
        data(
            "paid",
            lambda row, measures: (
                None
                if row.sent is None or row.sent.paid_minor is None
                else money(row.sent.paid_minor, measures.settings.currency)
            ),
        ),
        data("mended_before", lambda row, _: row.mended),
    )


def _about(row: Claim, measures: Measures) -> str:
    if row.breakage is None:
        return (
            "The breakage of this claim was taken back: nothing broke. Take the claim back too: sheet warranty_claim."
        )
    told = [] if row.part is None else [f"{one_line(row.part.number)} {one_line(row.part.name)}"]
    if row.kind is not None:
        lived = "nobody knows its age"
        if row.age is not None:
            lived = f"broke after {measures.usage(row.kind.meter_kind, row.age)}"
        told.append(lived)
    if row.mended:
        told.append("mended before")
    if row.sent is not None:
        told.append(f"sent {measures.date_said(row.sent.sent_at)}")
        if row.sent.settled_at is not None:
            told.append(f"{measures.money(row.sent.paid_minor or 0)} paid {measures.date_said(row.sent.settled_at)}")
    else:
        told.append(f"once it is sent: wearlog claims --sent {short_number(row.breakage.id)} (f on the screen)")
    return "; ".join(told) + "."


def early_sheet(found: Sequence[EarlyPlace], farm: Farm, measures: Measures) -> AnswerSheet[EarlyPlace]:
    """Return the places whose parts failed far too early, the rarest first."""
    return AnswerSheet(
        name="early",
        columns=_early_columns(farm),
        rows=tuple(found),
        measures=measures,
        headline=early_words(found[0], farm, measures) if found else "",
        answer=early_words(found[0], farm, measures) if found else "",
        sentences=[
            "Reckoned from the lives of each kind without the place that is looked at, from 3 % of parts being bad and 3 % of "
            "places having a cause that eats parts (common practice, no source)."
        ]
        if found
        else [],
        empty="No part failed far earlier than its kind lives.",
        key_of=lambda row: (row.component.id, row.position),
        about=lambda row, measures: early_words(row, farm, measures),
    )


def _where(row: EarlyPlace, farm: Farm) -> str:
    return _named(row.component, farm, [row.position])


def _early_columns(farm: Farm) -> tuple[AnswerColumn[EarlyPlace], ...]:
    return (
        AnswerColumn(
            "where",
            lambda row, _: _where(row, farm),
            "component",
            lambda row, _: _named(row.component, farm),
            least=26,
            most=38,
        ),
        data("position", lambda row, _: row.position),
        AnswerColumn(
            "failed",
            lambda row, _: number(len(row.ages)),
            "failures",
            lambda row, _: len(row.ages),
            least=6,
            figures=True,
        ),
        AnswerColumn(
            "last after",
            lambda row, measures: measures.usage(row.kind.meter_kind, row.ages[-1]),
            least=10,
            figures=True,
            gives=2,
        ),
        AnswerColumn(
            "half last",
            lambda row, measures: measures.usage(row.kind.meter_kind, row.median),
            least=10,
            figures=True,
            gives=3,
        ),
        AnswerColumn(
            "by chance",
            lambda row, _: percent(row.of_all),
            "p_of_all_positions",
            lambda row, _: rounded(row.of_all, 4),
            least=9,
            figures=True,
            gives=1,
            legend="by chance: that one at least of all places of this kind fails so soon without any reason.",
        ),
        data("p", lambda row, _: rounded(row.chance, 6)),
        AnswerColumn(
            "upstream",
            lambda row, _: percent(row.upstream),
            "cause_upstream_chance",
            lambda row, _: rounded(row.upstream, 4),
            least=8,
            figures=True,
        ),
        AnswerColumn(
            "bad part",
            lambda row, _: percent(row.last_bad),
            "bad_part_chance",
            lambda row, _: rounded(row.last_bad, 4),
            least=8,
            figures=True,
            gives=1,
        ),
        data("batch", lambda row, _: list(row.batch)),
    )


def early_words(row: EarlyPlace, farm: Farm, measures: Measures) -> str:
    """Return what is said of one place."""
    last = measures.usage(row.kind.meter_kind, row.ages[-1])
    usual = measures.usage(row.kind.meter_kind, row.median)
    if len(row.ages) == 1:
        what = f"{_where(row, farm)} failed after {last}, {usual} is usual"
    else:
        through = measures.usage(row.kind.meter_kind, sum(row.ages))
        what = f"{len(row.ages)} failures at {_where(row, farm)} in {through}, {usual} is usual for one"
    if row.upstream >= _TOLD:
        why = f"{percent(row.upstream)} that something upstream eats it: look at {_look_at(row.kind)}"
    elif row.last_bad >= _TOLD:
        why = f"{percent(row.last_bad)} that the part was bad{_together(row)}"
    elif row.upstream >= max(row.last_bad, 0.5):
        why = f"either way, likelier something upstream ({percent(row.upstream)}, a bad part {percent(row.last_bad)})"
        why += f": look at {_look_at(row.kind)}"
    elif row.last_bad >= 0.5:
        why = f"either way, likelier a bad part ({percent(row.last_bad)}, a cause upstream {percent(row.upstream)})"
        why += _together(row)
    else:
        why = f"either way, a cause upstream {percent(row.upstream)}, a bad part {percent(row.last_bad)}: nothing tells yet"
    return f"{what}: {why}."


def _together(row: EarlyPlace) -> str:
    if not row.batch:
        return ""
    others = listed(list(row.batch[:3])) + (f" and {len(row.batch) - 3} more" if len(row.batch) > 3 else "")
    return f"; the same number at {others}: claim them together"


def _look_at(kind: PartKind) -> str:
    """Return what may eat parts there (common practice, no source)."""
    return (
        "alignment, tension, hold-down, skid" if kind.subsystem is Subsystem.HEADER else "alignment, tension, bearings"
    )


def claims_json(found: ClaimList, early: Sequence[EarlyPlace], measures: Measures) -> dict[str, Any]:
    """Return both answers as one document."""
    from wearlog.present.sheet_faces import sheet_json

    return {**sheet_json(claim_sheet(found, measures)), **sheet_json(early_sheet(early, found.farm, measures))}
