"""Why a step of a fault comes next: how often its check reads bad, what is likeliest then, why no likelier place comes first."""

from __future__ import annotations

from collections.abc import Mapping

from wearlog.facts.closed_lists import CheckKind, CheckVerdict
from wearlog.faults.checks import checks_for, repair_minutes
from wearlog.faults.next_line import PROVE_MINUTES, WALK_MINUTES, NextStep
from wearlog.faults.suspects import Suspects
from wearlog.present.digits import number, percent
from wearlog.present.faults.fault_case_words import NOT_ON_DIAGRAM


def what_it_tells(step: NextStep) -> str:
    """Return what a step would tell: its chance is that the check reads bad, not that the fault sits at its place."""
    if step.check is None:
        where = "it is on nothing that is drawn" if step.is_off_diagram else "it sits there"
        return f"{percent(step.bad_chance)} that {where}"
    if step.sides:
        return _which_side(step)
    is_try = step.check.kind is CheckKind.TRY_IT
    who = "this check" if not is_try else step.check.node if step.together else "it"
    reads_bad, reads_good = ("does not work", "works") if is_try else ("reads bad", "reads good")
    chance = f"{percent(step.bad_chance)} that {who} {reads_bad}"
    if step.if_bad is None or step.if_good is None:
        return chance
    bad, good = (suspect.node or NOT_ON_DIAGRAM for suspect in (step.if_bad, step.if_good))
    if bad == good:
        return f"{chance}; likeliest either way: {bad}"
    return f"{chance}, likeliest then: {bad}; if it {reads_good}: {good}"


def _which_side(step: NextStep) -> str:
    """Say how often each side of an opened plug shows 0 ohm, and what that means."""
    *sides, (_, neither) = step.sides
    assert step.check is not None
    told = [f"{percent(chance)} that it is 0 towards {name}" for name, chance in sides]
    here = f"{percent(neither)} that it is not 0: {step.check.node} itself, or it came and went"
    return f"{', '.join(told)}: the short lies there; {here}"


def why_here_first(suspects: Suspects, step: NextStep) -> str:
    """Return how likely the fault sits where the next check is made, and why that comes before a likelier place.

    Of loads tried from the seat it says what a likelier place would take. Nothing for a repair, and where the check belongs to no
    place that is drawn.
    """
    chances = place_chances(suspects)
    if step.check is None or step.check.node not in chances:
        return ""
    if step.check.kind is CheckKind.TRY_IT:
        return _why_tried(suspects, chances, step)
    here = step.check.node
    likeliest = max(chances, key=lambda name: chances[name])
    if likeliest == here:
        return f"{percent(chances[here])} that the fault sits here, the likeliest place"
    name = likeliest or NOT_ON_DIAGRAM
    but = _why_not(suspects, likeliest, step)
    return f"the fault sits here with {percent(chances[here])}, {name} with {percent(chances[likeliest])}, but {but}"


def _why_tried(suspects: Suspects, chances: Mapping[str, float], step: NextStep) -> str:
    """Why loads are tried before the likeliest place is measured; nothing where that is not drawn or cannot be measured."""
    name = max(chances, key=lambda one: chances[one])
    there = _minutes_there(suspects, name)
    if not name or not there:
        return ""
    quickest, here = number(min(there) + WALK_MINUTES), number(step.minutes)
    return f"{name} is likelier ({percent(chances[name])}), but a check there takes {quickest} min and this {here} from the seat"


def place_chances(suspects: Suspects) -> Mapping[str, float]:
    """Return the chance that the fault sits at each place that is drawn, and under "" that it sits on nothing drawn."""
    names = [*(node.name for node in suspects.case.circuit.nodes), ""]
    return dict(zip(names, suspects.node_chances().tolist(), strict=True))


def _why_not(suspects: Suspects, likeliest: str, step: NextStep) -> str:
    """Why the likeliest place waits. Times with the walk, as that of the step."""
    case = suspects.case
    if not likeliest:
        return "that is looked for last"
    there = _minutes_there(suspects, likeliest)
    here = number(step.minutes)
    if not there:
        repair = repair_minutes(case.circuit.node(likeliest)) + PROVE_MINUTES
        return f"only a repair would tell there ({number(repair)} min) and this takes {here} min"
    quickest = min(there) + WALK_MINUTES
    if quickest > step.minutes:
        return f"a check there takes {number(quickest)} min and this one {here}"
    return "this check shortens the search more"


def _minutes_there(suspects: Suspects, place: str) -> list[float]:
    """Return how long each check at a place takes that was not made yet, without the walk."""
    case = suspects.case
    made = {(one.check.kind, one.check.node) for one in case.results if one.verdict is not CheckVerdict.NOT_DONE}
    return [
        check.minutes for check in checks_for(case.circuit) if check.node == place and (check.kind, place) not in made
    ]
