"""Neighbours' lives as answers: what they say of each kind, what this farm would write, and the sentence of a kind's page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from wearlog.facts.closed_lists import Evidence, MeterKind
from wearlog.facts.neighbours import MIXED, NeighbourLife
from wearlog.facts.parts import PartKind
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.json_form import rounded
from wearlog.present.wear.wear_words import rough
from wearlog.present.words import ByCommand, capital, counted, listed, word
from wearlog.reckoning.wear.neighbours import FEWEST_LIVES, KindPool, Pools, SharedLives, ToShare
from wearlog.wear.neighbours import FEWEST_FARMS

_NONE: Final = ByCommand(
    "No neighbours' lives were read yet. Read a file of theirs: wearlog neighbours --read FILE, or i on its screen.",
    "No neighbours' lives were read yet. i reads a file of theirs.",
)


def ground_said(ground: str | None) -> str:
    """Return the ground of a pool in words: all grounds, mixed ground, or a class."""
    if ground is None:
        return "all"
    return "mixed" if ground == MIXED else ground.replace("_", " ")


def _range(meter: MeterKind, low: int, high: int, measures: Measures) -> str:
    ends = (rough(measures.usage_number(meter, one)) for one in (low, high))
    return f"{'-'.join(ends)} {measures.usage_unit(meter)}"


def _median(row: KindPool, measures: Measures) -> float | None:
    return None if row.law is None else measures.usage_number(row.meter, row.law.median_life)


def _stands(row: KindPool) -> str:
    """Return what comes of a kind here."""
    if row.here is None:
        return "unknown here"
    if row.law is None:
        return f"under {FEWEST_FARMS} farms"
    return "in use" if row.speaks else "yours stands"


def pool_sheet(pools: Pools, measures: Measures) -> AnswerSheet[KindPool]:
    """Return what other farms say of each kind, those in use first."""
    used = [row for row in pools.pools if row.speaks]
    headline = (
        f"{capital(counted(pools.farms, 'farm'))} told of {counted(len(pools.pools), 'kind')} of part; "
        f"{counted(len(used), 'kind')} begin here with what they saw."
    )
    return AnswerSheet(
        name="pool",
        columns=_COLUMNS,
        rows=pools.pools,
        measures=measures,
        headline=headline if pools.pools else "",
        answer=headline if pools.pools else "",
        sentences=_pool_sentences(pools),
        empty=_NONE,
        key_of=lambda row: (row.kind, row.meter),
        about=_about,
    )


def _pool_sentences(pools: Pools) -> list[str]:
    said = []
    if pools.is_new:
        said.append(
            "What is in the log was merged, or this farm's ground is another, since the guesses in use were learned: "
            "'wearlog neighbours --again' learns them anew."
        )
    unknown = [row.kind for row in pools.pools if row.here is None]
    if unknown:
        said.append(f"Kept, though this log knows no such kind on that meter: {listed(unknown)}.")
    if pools.pools:
        said.append(
            "A guess of neighbours stands in the place of the library's from three farms with a failure on; what this farm "
            "typed stands, and its own records overrule both. Where five farms have seen the ground "
            "on which most of this farm lies, their lives on it speak alone."
        )
    return said


def _about(row: KindPool, measures: Measures) -> str:
    if row.life is None:
        return f"{capital(row.kind)}: {counted(row.farms, 'farm')}, too few of them with a failure to say anything."
    return f"{capital(row.kind)}: {learned_sentence(row.life, measures)}"


def learned_sentence(life: NeighbourLife, measures: Measures) -> str:
    """Say what the guess of a kind was learned from."""
    ground = f" on {ground_said(life.ground)} ground" if life.ground else ""
    between = _range(life.meter, life.life_low_usage, life.life_high_usage, measures)
    return (
        f"{capital(counted(life.farms, 'farm'))} saw {counted(life.lives, 'life', 'lives')}{ground}, {number(life.failures)} to "
        f"the end; on 8 such farms of 10 half of the parts last {between}."
    )


def neighbours_said(kind: PartKind, measures: Measures) -> str:
    """Return what a kind's page says of neighbours; nothing where they say nothing."""
    name = kind.name.casefold()
    life = next(
        (one for one in measures.settings.neighbours if one.kind == name and one.meter is kind.meter_kind), None
    )
    if life is None:
        return ""
    said = learned_sentence(life, measures)
    if kind.guess_evidence is Evidence.NEIGHBOURS:
        return f"The starting guess is your neighbours'. {said}"
    return f"The starting guess is your own; your neighbours' would be another. {said}"


_COLUMNS: Final[tuple[AnswerColumn[KindPool], ...]] = (
    AnswerColumn("kind", lambda row, _: row.kind, "kind", lambda row, _: row.kind, least=12, most=26),
    AnswerColumn(
        "ground", lambda row, _: ground_said(row.ground), "ground", lambda row, _: row.ground, least=5, most=10, gives=4
    ),
    AnswerColumn("farms", lambda row, _: number(row.farms), "farms", lambda row, _: row.farms, least=5, figures=True),
    AnswerColumn(
        "lives", lambda row, _: number(row.lives), "lives", lambda row, _: row.lives, least=5, figures=True, gives=3
    ),
    AnswerColumn(
        "worn",
        lambda row, _: number(row.failures),
        "failures",
        lambda row, _: row.failures,
        least=4,
        figures=True,
        gives=2,
    ),
    AnswerColumn(
        "half last, 8 in 10",
        lambda row, measures: (
            NOTHING
            if row.life is None
            else _range(row.meter, row.life.life_low_usage, row.life.life_high_usage, measures)
        ),
        least=14,
        most=20,
        figures=True,
        legend="on eight farms of ten half of the parts are worn within these ages",
    ),
    AnswerColumn(
        "shape",
        lambda row, _: NOTHING if row.law is None else f"{row.law.median_shape:.1f}",
        "shape",
        lambda row, _: None if row.law is None else rounded(row.law.median_shape, 3),
        least=5,
        figures=True,
        gives=5,
    ),
    AnswerColumn("", lambda row, _: _stands(row), "stands", lambda row, _: _stands(row), least=6, most=14),
    data("meter", lambda row, _: row.meter),
    data("median", lambda row, measures: _rounded(_median(row, measures))),
    data("unit", lambda row, measures: measures.usage_unit(row.meter)),
    data("between_farms_factor", lambda row, _: None if row.law is None else rounded(row.law.between_farms, 3)),
    data("in_use", lambda row, _: row.speaks),
)


def _rounded(value: float | None) -> Any:
    return None if value is None else rounded(value, 1)


def share_sheet(found: ToShare, measures: Measures, *, only_sums: bool) -> AnswerSheet[SharedLives]:
    """Return what this farm would write: all that leaves it, kind by kind and ground by ground."""
    what = "only sums, no single life" if only_sums else "ages rounded to two digits, equal ones joined"
    return AnswerSheet(
        name="shared",
        columns=_SHARED,
        rows=found.shared,
        measures=measures,
        headline=(
            f"{capital(counted(sum(one.lives for one in found.shared), 'life', 'lives'))} of "
            f"{counted(len({one.kind for one in found.shared}), 'kind')} would be written: {what}."
        ),
        sentences=_share_sentences(found),
        empty="No kind has five lives of known age yet, so nothing would be written.",
        key_of=lambda row: (row.kind, row.ground),
    )


def _share_sentences(found: ToShare) -> list[str]:
    said = [
        "With a random number of this farm, the number of the issue, kind, ground and meter; no name, date, field, place, price, "
        "part number, supplier, machine or note."
    ]
    if found.few:
        said.append(f"Under {FEWEST_LIVES} lives, so they stay at home: {listed(list(found.few))}.")
    if found.own_names:
        said.append(f"Kinds of this farm's own naming stay at home: {listed(list(found.own_names))}.")
    return said


def _ages(row: SharedLives) -> str:
    unit = {MeterKind.AREA: "ha", MeterKind.CALENDAR: "d"}.get(row.meter, "h")
    return f"{rough(float(row.entry.min()))}-{rough(float(row.leaving.max()))} {unit}"


_SHARED: Final[tuple[AnswerColumn[SharedLives], ...]] = (
    AnswerColumn("kind", lambda row, _: row.kind, "kind", lambda row, _: row.kind, least=12, most=26),
    AnswerColumn(
        "ground", lambda row, _: ground_said(row.ground), "ground", lambda row, _: row.ground, least=8, most=10
    ),
    AnswerColumn("lives", lambda row, _: number(row.lives), "lives", lambda row, _: row.lives, least=5, figures=True),
    AnswerColumn(
        "worn", lambda row, _: number(row.failures), "failures", lambda row, _: row.failures, least=4, figures=True
    ),
    AnswerColumn(
        "ages", lambda row, _: _ages(row), least=8, most=16, figures=True, legend="in the file's units: ha, h and days"
    ),
    data("meter", lambda row, _: word(row.meter)),
)


def read_sentences(
    farms: int, rows: int, older: int, refused: Sequence[str], refused_rows: int, *, own: bool
) -> list[str]:
    """Say what became of files that were read."""
    said = [f"{capital(counted(rows, 'row'))} read, {counted(farms, 'farm')} taken."]
    if own:
        said.append("This farm's own lives are in it, too: passed over.")
    if older:
        said.append(f"Of {counted(older, 'farm')} the log has this issue or a newer one: passed over.")
    said += [f"Not taken: {one}." for one in refused]
    if refused_rows > len(refused):
        said.append(f"And {number(refused_rows - len(refused))} rows more that could not be taken.")
    return said
