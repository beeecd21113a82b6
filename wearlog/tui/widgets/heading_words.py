"""What the heading of a column means, in a few words for the help page: each heading once, however many screens show it.

A heading that means another thing in one answer stands with that answer's name before it. The legend of a column comes second:
under a table it explains what stands beside it, here each heading stands alone.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from wearlog.present.answer_sheet import AnswerColumn, Row
    from wearlog.present.digits import Measures

_IN_A_YEAR: Final = "how many broke in that season, of any cause"
_MEANS: Final = MappingProxyType(
    {
        # everywhere
        "no.": "the number of its entry, by which it is found, changed and taken back",
        "entry": "the number of its entry, by which it is found, changed and taken back",
        # machines and their work
        "engine": "hours of the engine, as reckoned for this moment",
        "separator": "hours of the separator, as reckoned for this moment",
        "this season": "area cut in the season under way, or in the last one",
        "area": "what was cut in that run",
        "took": "how long it lasted, from its beginning to its end",
        "rows": "how many rows it has, or wrote",
        "due in": "what may still be worked until it is due; over: how much too late it is",
        "comes in": "days of cutting until then, at the pace of the last days with cutting",
        # parts and their lives
        "age": "of the oldest position whose age is known, in what wears it",
        "broke": "how often, since the log began",
        "half last": "half of them last so long; low-high is the 90 % interval of that",
        "half last, 90 %": "half of them last so long, 90 % sure; in brackets the failures that rests on",
        "break": "how many of the parts now on may break in the season ahead, each once",
        "worst fails": "the chance that the worst one wears out in the season; BROKEN: broken or past its limit, and still on",
        "parts_now: age": "of these positions, in what wears them",
        "lasts season by wear": "the chance of one of them to last the season, stones left out; in brackets its 90 % interval",
        "parts_now: expected": "how many of these positions may fail in the season, by wear",
        "where: positions": "how many pieces sit there",
        "repairs: all": "how many broke in all seasons",
        "repairs: worked": "what the machine worked in that time",
        "now one per": "one breakage in so much work, as it is now; in brackets the 90 % interval",
        "lives": "how many lives would be written",
        "worn": "how many of them ended by wear",
        "ages": "the lowest and the highest age at which they ended or are now, in the units of the file",
        # what is weighed
        "jobs: ": "in which order they are done",
        "saves {money}": "what changing it now saves against the best time later, on the mean, without the opening",
        "min": "minutes of work, without the opening",
        "after": "what is worked until then",
        "ways: {money}": "what that way costs on the mean, less the usage that the old part still gives",
        "8 in 10": "in 8 of 10 cases it lies between these",
        "goes first": "the chance that it fails before that",
        "best": "in so much of what is believed this way costs least",
        "road": "the way there and back",
        "has it": "the chance that it lies there, by what you asked before",
        "ways: costs": "standing until it is here, the drive, and the price over the usual one, in {money}",
        "keep/year": "what keeping it costs a year: repairs, standing, value lost, interest ({money})",
        "offer/year": "the same of the one that is offered",
        "pays below": "the difference to pay (price less allowance) under which trading costs less a year",
        "they ask": "the difference that is asked: price less allowance",
        "parts: {money}": "what one costs of that",
        "ran": "separator hours of the threshing parts",
        "more lost": "share of the crop that is lost beyond what new parts lose",
        "combines: saves": "grain that new parts would lose less over the season ahead, in money where every crop has a price",
        "combines: costs": "renewing them now, less the failures it spares and the life it begins ({money})",
        "renew at": "the age at which renewing costs least in the long run",
        "pieces": "how many",
        "worth": "what the terms pay: the part, and labour where they cover it ({money}); standing is never claimed",
        "failed": "how many failed at that place",
        "last after": "the age that the last of them reached",
        "early: half last": "half of its kind last so long elsewhere",
        "by chance": "how often at least one of all places of the kind fails so soon without any reason",
        "upstream": "the chance that something at that place eats its parts",
        "bad part": "the chance that the last of them was bad when it came",
        # the plan
        "replace: age": "of the oldest of them",
        "pays past": "the age from which replacing it before the season pays",
        "replace: fails": "the chance that the worst one fails in the season",
        "replace: saves": "what replacing now saves over the seasons to come, on the mean ({money})",
        "on hand": "what lies on the shelf by the log",
        "spares: expected": "how many may be used in the season, on the mean",
        "spares: buy": "how many more to buy so that the money goes furthest",
        "runs out": "the chance that the shelf is empty when one is wanted, with what is bought",
        "hours lost": "hours of standing for want of it in the season, on the mean",
        "packs": "whole packs, and pieces in one",
        "each": "price of one ({money})",
        "sum": "price of all of them ({money})",
        "buys": "pieces that the plan buys of it",
        "fits": "positions that the plan replaces with it",
        "pays": "what that costs ({money})",
        "money_buys: saves": "what it saves, on the mean ({money})",
        "areas: no.": "in which place it is cut, and the number by which commands take it",
        "areas: area": "what is to be cut there",
        # the shelf
        "have": "what lies on the shelf by the log",
        "keep": "what you want to have at least",
        "parts: order": "how many to order, in whole packs, to have that again",
        "sum, {money}": "price of that order, at the last price",
        # costs
        "per {area}": "all of it over the area cut ({money})",
        "total": "parts, labour, service and downtime together ({money})",
        "rows: parts": "parts, at what they cost ({money})",
        "labour": "man-time, at the farm's wage ({money})",
        "service": "what was paid to others for work ({money})",
        "downtime": "time that it stood, at what an hour of standing is worth ({money})",
        "{area}": "area cut",
        "rows: published": "what the published curve expects repairs to cost for the same hours ({money})",
        "hours: {money}": "what an hour of standing costs, reckoned so",
        "published: published": "the figure of that source",
        "published: here": "the farm's own figure for the same",
        "published: year": "of the source",
        "hours": "separator hours",
        "seasons": "seasons of which costs are known",
        "paid": "repairs since the log began: parts, labour, service ({money})",
        "machines: published": "what the published curve expects of the same hours ({money})",
        "times": "paid over published",
        "grows as h^": "repairs so far grow with this power of the hours (90 % sure); above 1 an hour costs more with age",
        "machines: age": "years since it was new",
        "by published": "to which age it is cheapest on the mean, by the published curve",
        "by own records": "the same by what it cost here",
        "worth now": "what it would fetch, by the published curve ({money})",
        # the harvest
        "field h": "hours in the field: turning, unloading and waiting in it, breakdowns not",
        "{area}/h": "area over those hours",
        "could": "area an hour without any pause, at its width and speed",
        "of it": "how much of that it does: the field efficiency",
        "stops": "breakdowns in that time",
        "h between": "field hours from one breakdown to the next; in brackets the 90 % interval",
        "combines: each": "how long one breakdown lasts, on the mean",
        "ready": "hours between breakdowns, over those and the hours to repair",
        "loads": "loads or samples that were compared",
        "off": "mean of (shown - true) / true; of moisture in points",
        "size": "the same without its sign",
        "factor": "what it shows is multiplied by this",
        "before": "the factor of the season before",
        "add": "points to add to what the tester shows",
        "90 %": "in 9 of 10 cases the right figure lies between these",
        "a load": "what the water that the tester is off by is worth in a load of the usual size ({money})",
        "samples": "samples of that crop",
        "moisture": "as it came in, weighed by the grain; in brackets the 90 % interval",
        "as cut": "area by the yields that were entered, as the grain was cut",
        "dry at": "the moisture at which grain counts as dry",
        "shrink": "what drying takes away: water alone",
        "dry grain": "what is left of it, dry; in brackets the 90 % interval",
        "checks: machine": "what came through the machine and was lost",
        "ahead": "what lay there before the machine: shatter and header",
        "in all": "all of it, as a share of the crop",
        "by machine": "what the machine lost, as a share of the crop",
        "bars": "separator hours of the rasp bars on that day",
        # faults
        "faults: no.": "its number among the faults",
        "quiet for": "what was worked since, without its coming back",
        "came": "which time it was of how many by its trail",
        "drawing: here": "the chance that the fault sits at that place",
    }
)


def meaning_of_heading(name: str, column: AnswerColumn[Row], measures: Measures) -> str:
    """Return what a heading means in the answer of this name; empty where nobody has to be told."""
    means = _MEANS.get(f"{name}: {column.title}") or (_MEANS.get(column.title) if column.title else "")
    if not means and column.title.isdigit():
        means = _IN_A_YEAR
    means = means or ("" if column.drawn else column.meaning(measures).removeprefix(f"{column.title}: "))
    return means.replace("{area}", measures.area_unit).replace("{money}", measures.settings.currency)
