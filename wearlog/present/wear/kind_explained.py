"""What the figures of a kind rest on, in plain words: which lives, what was left out, the guess, what would make it surer."""

from __future__ import annotations

from wearlog.facts.closed_lists import Ground
from wearlog.present.digits import Measures, number, significant
from wearlog.present.tables import WIDEST, folded
from wearlog.present.wear.departure_words import (
    by_stones_sentences,
    ground_sentences,
    machine_sentences,
    missing_sentences,
    part_sentences,
    year_sentences,
)
from wearlog.present.wear.kind_page import caution_lines
from wearlog.present.wear.life_table_words import conflict_sentence, stones_sentence
from wearlog.present.wear.measured_sheet import SMALLER_COUNTS
from wearlog.present.wear.records_alone_words import records_alone_sentences, to_break_sentence
from wearlog.present.wear.wear_words import (
    about_text,
    guess_label,
    is_known,
    lasting,
    rests_on,
    rests_on_in_a_sentence,
    rough,
    season_sentence,
    unknown_ages,
    way_of_failing,
)
from wearlog.present.words import capital, counted, word
from wearlog.reckoning.wear.kind_life import FAILURES_FOR_FIT, KindLife
from wearlog.reckoning.wear.kind_view import KindView, LifeCounts
from wearlog.reckoning.wear.stone_records import NO_GUESS_IMPACTS
from wearlog.wear.prior import NO_GUESS_SHAPE


def explained(view: KindView, measures: Measures, width: int = WIDEST) -> list[str]:
    """Return paragraphs in at most `width` columns, each a heading and its sentences."""
    sections = (
        ("The short of it", _short(view, measures)),
        ("Which lives", _lives(view)),
        ("What was left out", _left_out(view)),
        ("The starting guess", _guess(view.row.life, measures)),
        ("What the records say alone", records_alone_sentences(view.alone, view.row.life, measures)),
        ("Broken by stones", _stones(view.row.life, measures)),
        ("One ground and another", ground_sentences(view.row.life)),
        ("One year and another", year_sentences(view.row.life)),
        ("One part number and another", part_sentences(view.row.life)),
        ("One machine and another", machine_sentences(view.row.life)),
        ("How much of it was entered", missing_sentences(view.row.life)),
        ("What the interval means", _interval(view, measures)),
        ("What the season ahead is", _season(view, measures)),
        ("What would make it surer", _surer(view, measures)),
    )
    lines = caution_lines(view.row.life.kind, width)
    for heading, sentences in sections:
        if not sentences:
            continue
        lines += [f"{heading}:", *folded(sentences, indent="  ", width=width), ""]
    return lines[:-1]


def _short(view: KindView, measures: Measures) -> list[str]:
    life = view.row.life
    where, name = f" on {view.machine.name}" if view.machine else "", life.kind.name
    if life.median_life is None:
        return [f"The life of the {name}{where} is not known: {rests_on(life)}."]
    return [
        f"{capital(name)}: half of the positions{where} last {lasting(life.kind.meter_kind, life.median_life, measures)}.",
        f"That is reckoned from {rests_on_in_a_sentence(life)}.",
    ]


def _lives(view: KindView) -> list[str]:
    counts, kind = view.counts, view.row.life.kind
    if not counts.total:
        return ["None yet: none has been fitted, or none has done any work."]
    sentences = [
        f"A life is one part at one position, from when it was fitted until it failed, came off, or now: "
        f"{counted(counts.total, 'life', 'lives')}.",
        f"{number(counts.worn)} ended by wear: worn, fatigue, worked loose, or of a cause nobody noted. "
        "Only these end a life here.",
        *_other_ends(counts),
        f"{number(counts.removed)} came off whole and {number(counts.running)} still "
        f"{'runs' if counts.running == 1 else 'run'}: they have lasted at least so long.",
        f"Ages are read off the machine's {word(kind.meter_kind)} at the time; a corrected reading corrects them all.",
    ]
    late = counts.entered_late
    if late:
        sentences.append(
            f"{counted(late, 'life', 'lives')} came under watch part-way, at a known age: fitted used, moved from "
            f"another machine, or mended and run on. What went before is not held against {'it' if late == 1 else 'them'}."
        )
    if counts.between:
        sentences.append(
            f"{number(counts.between)} of the worn {'was' if counts.between == 1 else 'were'} found by measuring: the limit was "
            "passed between two measurements, and no more than that is taken as known."
        )
    if counts.in_service_failed:
        sentences.append(
            f"{counted(counts.in_service_failed, 'part')} failed and still {'runs' if counts.in_service_failed == 1 else 'run'}: "
            "each has ended its life, and waits for its successor."
        )
    return sentences


def _other_ends(counts: LifeCounts) -> list[str]:
    if not counts.impact and not counts.secondary:
        return []
    return [
        f"{number(counts.impact)} {'was' if counts.impact == 1 else 'were'} broken by stones and {number(counts.secondary)} "
        "taken along by another breakage: they say only that the part had lasted so long; stones are counted by ground instead."
    ]


def _left_out(view: KindView) -> list[str]:
    counts, sentences = view.counts, []
    if counts.unknown_age:
        sentences.append(
            f"{counted(counts.unknown_age, 'life', 'lives')} of parts that were on when records began, or were fitted used, "
            "and whose age nobody knows."
        )
    if counts.unmoved:
        sentences.append(
            f"{counted(counts.unmoved, 'part')} that broke before the {word(view.row.life.kind.meter_kind)} of the machine had "
            "moved: enter what it had done (wearlog cut, wearlog read), and they count."
        )
    if not sentences:
        return ["Nothing: the age of every one is known."]
    return [*sentences, "Their breakages count per acre, but not for how long a part lasts."]


def _guess(life: KindLife, measures: Measures) -> list[str]:
    kind = life.kind
    if kind.life_low_usage is None or kind.life_high_usage is None:
        flat, steep = NO_GUESS_SHAPE
        return [
            "None for the life: only the farm's own records speak. The shape is taken to lie between "
            f"{flat:g} and {steep:g} in eight cases of ten (common practice, no source); records carry it further."
        ]
    low, high = (measures.usage_number(kind.meter_kind, one) for one in (kind.life_low_usage, kind.life_high_usage))
    sentences = [
        f"Before any records: on eight of ten farms half of them last between {rough(low)} and {rough(high)} "
        f"{measures.usage_unit(kind.meter_kind)} ({guess_label(kind)})."
    ]
    if kind.shape_low_thousandths is not None and kind.shape_high_thousandths is not None:
        sentences.append(
            f"How ages scatter, the shape, between {kind.shape_low_thousandths / 1000:g} and "
            f"{kind.shape_high_thousandths / 1000:g}: 1 is chance, above it is wear-out."
        )
    worn, conflict = life.lives.failures, conflict_sentence(life, measures)
    if conflict:
        sentences.append(conflict)
    elif not life.lives.count:
        sentences.append("There is no life of known age yet, so it speaks alone.")
    elif not worn:
        sentences.append("None has worn out yet, so it decides; what has lasted without failing has moved it already.")
    else:
        sentences.append(f"With {number(worn)} worn it weighs {'little' if worn >= 10 else 'still a good deal'}.")
    return sentences


def _stones(life: KindLife, measures: Measures) -> list[str]:
    """What the rates by ground rest on, and why a guess stands there higher than it was given."""
    if life.impacts is None:
        return []
    return [*_rates_of_stones(life, measures), *by_stones_sentences(life)]


def _rates_of_stones(life: KindLife, measures: Measures) -> list[str]:
    if life.impacts is None:
        return []
    per = measures.per_thousand_unit()
    seen = f"{number(sum(life.impacts.breakages))} seen on {measures.area(sum(life.impacts.exposure))}"
    if not life.has_impact_guess:
        weak = significant(measures.per_thousand(NO_GUESS_IMPACTS.mean))
        return [
            f"{capital(seen)}, and nobody guessed a rate: behind them stands a faint one of {weak} per {per} on any ground, "
            "which the first breakages outweigh."
        ]
    guesses = zip(Ground, life.impact_guesses, strict=True)
    said = ", ".join(f"{word(ground)} {significant(measures.per_thousand(one))}" for ground, one in guesses)
    return [
        f"{capital(seen)}; the starting guess per {per}: {said}.",
        "A guess is meant as wide: on one farm of ten less than a third of it, on one of ten more than three times as many. "
        "The few with very many lift the average of such farms to 1.48 times the guess, and averages are what is shown.",
        *([conflict] if (conflict := stones_sentence(life, measures)) else []),
    ]


def _interval(view: KindView, measures: Measures) -> list[str]:
    life = view.row.life
    if life.median_life is None:
        return ["There is none, because there is neither a failure nor a guess."]
    sentences = [
        f"If {_fair(life)} fair, nine of ten such brackets hold the true figure.",
        "It is about the kind, not about one part: single parts scatter much more, and the chance to last the season by "
        "wear allows for that.",
    ]
    way = way_of_failing(life)
    if way == "unclear":
        sentences.append("The shape may lie on either side of 1: whether age matters is not decided.")
    if life.fit is None and life.lives.failures:
        sentences.append(
            f"The plain fit, without the guess, is shown from {FAILURES_FOR_FIT} failures on: before that it misleads."
        )
    return sentences


def _fair(life: KindLife) -> str:
    """Return what the interval rests on, with its verb."""
    if not life.has_guess:
        return "the records are"
    return "guess and records are" if life.lives.count else "the guess is"


def _season(view: KindView, measures: Measures) -> list[str]:
    sentences = [season_sentence(view.ahead, measures).removeprefix("Season ahead: ")]
    sentences[0] = capital(sentences[0])
    if view.row.expected_steady is not None and is_known(view.ahead):
        sentences.append(
            f"Of the {number(unknown_ages(view.row))} of unknown age {about_text(view.row.expected_steady)} would break if "
            "each were met at a chance moment of its life. That is not in what is expected; it only lifts the kind in the list."
        )
    if view.to_break is not None and is_known(view.ahead):
        sentences.append(to_break_sentence(view.to_break))
    if view.measured:
        sentences.append(SMALLER_COUNTS)
    return sentences


def _surer(view: KindView, measures: Measures) -> list[str]:
    life, counts = view.row.life, view.counts
    kind = life.kind
    wanted = []
    if counts.unmoved:
        wanted.append("enter the acres and hours worked, by which ages are reckoned")
    if counts.unknown_age:
        wanted.append("give the age of used parts when you fit them (wearlog fit ... --age)")
    if life.lives.failures < 10:
        wanted.append("log every breakage with its cause, and every part you take off before it fails")
    if kind.limit_micrometres is not None:
        limit = measures.small_length(kind.limit_micrometres)
        wanted.append(
            f"measure it (limit {limit}): three readings at different ages foretell when one part is worn out"
        )
    if view.row.expected and view.ahead.season is None:
        wanted.append("plan the season, so that the acres ahead are yours")
    if not wanted:
        return ["It is as sure as such records get; go on logging."]
    return [f"{capital(one)}." for one in wanted]
