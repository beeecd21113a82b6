"""A line as it was dictated or mistyped: numbers in words become figures, a misspelt word becomes the known one that is meant.

Where two known words come close to a misspelt one, none is taken. Ordinary English and farm words are no misspelling of anything:
a line keeps them as its note.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Final

from wearlog.logbook.quickline.lexicon import distance
from wearlog.logbook.quickline.tokens import Token
from wearlog.logbook.quickline.words import WORDS

_HUNDRED: Final = 100
_THOUSAND: Final = 1_000
#: said by who dictates for a sign; "new paragraph" ends a sentence
_SIGNS: Final = (
    (("new", "paragraph"), "."),
    (("new", "line"), "."),
    (("full", "stop"), "."),
    (("semi", "colon"), ";"),
    (("period",), "."),
    (("comma",), ","),
    (("semicolon",), ";"),
    (("dash",), "-"),
)
_FILLERS: Final = frozenset({"um", "uh", "uhm", "er", "erm", "hmm", "hey", "ah", "eh"})
_ZEROS: Final = frozenset({"oh", "o", "zero"})
#: these say how many and not which figure, or a small word
_KEPT: Final = frozenset({"one", "dozen", "pair", "couple"})
_ORDINALS: Final = (
    *("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh"),
    *("twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth", "nineteenth"),
    "twentieth",
)


@dataclass(slots=True, eq=False)
class _Figure:
    value: int
    stop: int
    ordinal: bool = False


def as_figures(tokens: list[Token]) -> list[Token]:
    """Return the tokens with numbers in words as figures and dictated signs as signs; fillers are gone."""
    found: list[Token] = []
    index = 0
    while index < len(tokens):
        sign = _sign_at(tokens, index)
        figure = _figure_at(tokens, index)
        if tokens[index].text in _FILLERS:
            index += 1
        elif sign is not None:
            found.append(_as(tokens, index, sign[1], sign[0]))
            index = sign[1]
        elif figure is not None:
            found.append(_as(tokens, index, figure.stop, str(figure.value)))
            index = figure.stop
            if figure.ordinal:
                last = tokens[index - 1]
                found.append(Token("th", "", last.stop, last.stop, last.column, glued=True))
        else:
            found.append(tokens[index])
            index += 1
    return found


def ordinal_said(word: str) -> int | None:
    """Return 4 for "fourth"; None for a word that is none. "second" and "third" are left to the sentence."""
    return _ORDINALS.index(word) + 1 if word in _ORDINALS else None


def _as(tokens: list[Token], start: int, stop: int, text: str) -> Token:
    first, last = tokens[start], tokens[stop - 1]
    shown = first.shown if stop == start + 1 else " ".join(one.shown for one in tokens[start:stop])
    return Token(text, shown, first.start, last.stop, first.column, first.glued)


def _sign_at(tokens: list[Token], index: int) -> tuple[str, int] | None:
    for words, sign in _SIGNS:
        stop = index + len(words)
        if tuple(one.text for one in tokens[index:stop]) == words:
            # "no comma" is a slip of who dictates, and stays in the note
            said = index > 0 and tokens[index - 1].text not in ("no", "the", "a")
            return (sign, stop) if said else None
    return None


def _figure_at(tokens: list[Token], index: int) -> _Figure | None:
    """Read "sixty one", "one oh four", "one hundred and twenty one", "five thousand thirty" at `index`."""
    values = dict(WORDS.numbers)
    word = tokens[index].text
    if word in _KEPT and not _goes_on(tokens, index):
        return None
    if word not in values or word in ("dozen", "pair", "couple") or _text(tokens, index + 1) == "quarters":
        return None
    small = _below_hundred(tokens, index)
    if small is None:
        return None
    total, at = small.value, small.stop
    if small.ordinal:
        return small
    if total < 10 and _text(tokens, at) == "one" and not _counts_time(tokens, at + 1) and not _goes_on(tokens, at):
        # "section four one" is dictated figure by figure
        return _Figure(total * 10 + 1, at + 1)
    following = _text(tokens, at)
    if total < 10 and following in _ZEROS and 0 < values.get(_text(tokens, at + 1), 0) < 10:
        return _Figure(total * _HUNDRED + values[_text(tokens, at + 1)], at + 2)
    if following in ("hundred", "thousand"):
        return _large(tokens, at, total)
    if total < 10 and 10 <= values.get(following, 0) <= 90 and following not in _KEPT:
        rest = _below_hundred(tokens, at)
        return _Figure(total * _HUNDRED + rest.value, rest.stop) if rest is not None else None
    return _Figure(total, at)


def _large(tokens: list[Token], at: int, total: int) -> _Figure:
    """Go on from "five" before "thousand" or "hundred"."""
    value, rest = 0, total
    while _text(tokens, at) in ("hundred", "thousand"):
        if _text(tokens, at) == "thousand":
            value, rest = value + rest * _THOUSAND, 0
        else:
            value, rest = value + rest * _HUNDRED, 0
        at += 1
        ahead = at + 1 if _text(tokens, at) == "and" and _is_number(tokens, at + 1) else at
        more = _below_hundred(tokens, ahead)
        if more is None:
            break
        rest, at = more.value, more.stop
    return _Figure(value + rest, at)


def _below_hundred(tokens: list[Token], index: int) -> _Figure | None:
    values = dict(WORDS.numbers)
    word = _text(tokens, index)
    value = values.get(word, 0)
    if not value or word in ("dozen", "pair", "couple"):
        return None
    ones = values.get(_text(tokens, index + 1), 0)
    if 20 <= value <= 90 and 0 < ones < 10:
        return _Figure(value + ones, index + 2)
    following = ordinal_said(_text(tokens, index + 1)) or 0
    if 20 <= value <= 90 and 0 < following < 10:
        return _Figure(value + following, index + 2, ordinal=True)
    return _Figure(value, index + 1)


def _goes_on(tokens: list[Token], index: int) -> bool:
    """Say whether "one" begins a larger figure: one oh four, one hundred, one twenty."""
    values = dict(WORDS.numbers)
    following = _text(tokens, index + 1)
    if following in ("hundred", "thousand"):
        return True
    if following in _ZEROS:
        return 0 < values.get(_text(tokens, index + 2), 0) < 10
    return 10 <= values.get(following, 0) <= 90 and following not in _KEPT


def _counts_time(tokens: list[Token], index: int) -> bool:
    return _text(tokens, index) in (*WORDS.hours, *WORDS.minutes, *WORDS.days, "man", "guy", "person")


def _is_number(tokens: list[Token], index: int) -> bool:
    return _text(tokens, index) in dict(WORDS.numbers)


def _text(tokens: list[Token], index: int) -> str:
    return tokens[index].text if 0 <= index < len(tokens) else ""


_SHORTEST: Final = 3

_LONGEST: Final = 24

#: so many letters and more may hold two slips
_TWO_SLIPS_FROM: Final = 7


def mended(word: str, known: Iterable[str]) -> str:
    """Return the known word that `word` is a slip of; an empty string when none or more than one is near.

    Forms of one word are one: of "knife" and "knives" the likelier is taken.
    """
    near = nearest_known(word, known)
    return near[0] if len({_stem(one) for one in near}) == 1 else ""


def nearest_known(word: str, known: Iterable[str]) -> list[str]:
    """Return the known words at the least distance, if that is small enough; the likeliest first.

    The first letter of a word is rarely the slip: a word that begins otherwise counts only where two letters changed places.
    """
    if not _SHORTEST <= len(word) <= _LONGEST:
        return []
    most = 2 if len(word) >= _TWO_SLIPS_FROM else 1
    best: list[str] = []
    least = most + 1
    for one in known:
        if abs(len(one) - len(word)) > most or len(one) < _SHORTEST or not _begins_alike(word, one):
            continue
        if len(one) == _SHORTEST and len(word) == _SHORTEST:
            continue
        apart = distance(word, one, most)
        if apart < least:
            least, best = apart, [one]
        elif apart == least and apart <= most:
            best.append(one)
    return sorted(best, key=lambda one: (one[-1] != word[-1], abs(len(one) - len(word)), one))


def _begins_alike(word: str, other: str) -> bool:
    return word[0] == other[0] or (word[:2] == other[1::-1])


def _stem(word: str) -> str:
    """Return the word without the ending of a number or a time: knives and knife, broke and broken."""
    for ending in ("ves", "ing", "ed", "en", "es", "s", "e"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: -len(ending)].removesuffix("f")
    return word.removesuffix("f")


_WORDS: Final = """
a able about above across actually added after afternoon again against ago ahead air all almost alone along already also
although always am amp amps an and anna another antifreeze any anybody anyone anything anyway apart approach are area aren't
around arrived as aside ask asked at ate auger away awful baby back backed bad badly bag bags baler bang bar barely barley bars
base be beat became because been before began begin behind being below belt bench beside best better between beyond big bill bit
black blade blasted bloody blue bob bobcat body bolt bolts book boss both bottom bought box boxes boy brace bracket brand bring
brother brought brown bucket bucks bugger built bump bush bushel bushels bushing busy but button buy by cab call called came can
can't cannot canola cant car carl cart case caught cell center centre chaff chain chance change check checked chisel chunk city
clay clean cleaned clear clock clod close closed cloth clutch cm coat code codes cold combine come comes coming complete
concrete connect coolant corn corner cost costs could couldn't count counted counter couple cover covers crap crate crew crop
cross culvert cut cuts cutter cutting dad damage damaged damn dang dark darn darned dave day days deal dealer deep deer
delivered delivery depth did didn't diesel dig dirt dirty ditch do does doesn't dog doing dollar dollars don't done door double
down dozen drag drained draw dried drill drive driven driver driving drop drops drove dry due dug during dusk dust dusty duty
each early earth easy edge eight either ella else empty end ends engine enough error errors even evening ever every everything
except extinguisher extinguishers extra eye eyes face fact fair fall family far farm farmer fast father feed feel feet fell felt
fence fetched few field fields fifteen fill filled filter filters final find fine finish finished fire first fit fits five fix
flat flax flip flipped floor flushed foot football for force forgot forward found four frame free fresh friday from front frost
ft fuel full further gallon gallons game gap gate gave gear get gets getting girl give given glad go god goes going gone good
got grain grandpa grass gravel gray grease greased great green grey grinder ground guess guy guys had hail half hammer hand
handed handle hands hang hanging hank hard hardly has have haven't hay he head heading headland headlands heard heat heavy heck
held hell hello help her here hey high hill him hired his hit hold holding hole holes home hook hope hour hours house how hub
huge hung hurt i ice idea if in inch inches inner inside instead into inventory invoice is isn't it its itself jack jen jim job
joe jump june just kate keep keeps kept key kg kid kids kill kind km kmh knew knob knock know lack ladder lady land lane large
last late later law lay lbs leave left leg lentils leroy less let level lever life lift lifted light like line lines link links
list listen liter liters litre litres little load loaded loader long look looked looking looks loose lose losing lost lot lots
loud low lower luck lucky lunch machine made main maintenance make makes making man many mark mary mast mate matter may maybe me
mean meant men mess metal meter meters mid middle mike mile miles mind mine minute minutes miss mixed mixer mm mom monday money
month more morning most mother mount mouse move moved mower mph much mud must mustard my myself name near nearly neat neck need
needed needs neighbor neighbour neither never new next nice nick night nine no nobody noise noisy none noon nor north not note
nothing notice noticed now nowhere nut nuts oats of off oh ohms oil ok old on once one ones only onto open opened or order
ordered other our out outer outside over own pace pack packs paid pail pails paint pair pallet parked part parts pass past
pasture patch pay pea peas people per perhaps phone pick picked picking pickup piece pieces pin pins pit pivot place planter
plate plates play please pliers plow plug plugged point pole pool poor pop possible post power press pressure pretty price
probably psi pull pulled pulls pump punch purchased push pushed put puts quart quick quickly quiet quit quite rag rain rained
raise raised ran rather raw reach read reading readings reads ready real really rear reason receive received receives red return
returned ride right ring rise rivet rivets road rock rode roll rolled roller rolls room rough round row rpm rub run running runs
rush rust rusty rye sack safe said sam same sand sat saturday saw say says scale scrap screw sea seat second see seed seeder
seem seemed seems seen sell send sent service serviced set seven shade shaft shape share sharp she shear shed sheet shelf shift
shim shimmed shook shoot shop short should show showed showing shows shucks side sides sign silly since sister sit site six size
skip slack sleeve slid slide slip slope slough slow slowly small smell smoke smoked snow so soft soil sold solid some somebody
someone something sometimes somewhere son song soon sorry sort sound south space spare spares speed spin split spoke spot spray
sprayer spring spun stack stand standing start started state stay steel step steps steve stick sticks still stock stones stop
stopped store story straight strange straw string strip strong stubble stuck stuff stump stupid such suddenly sue sun sunday
sure swath swather swung table tail take taken takes talk tall tank tape tarp team teeth tell ten test than thank thanks
thankyou that the their them then there these they thick thin thing things think third this those though thought thousand three
threw through throw thru thursday tie tied tight till time times tip tire tired to today together told tom tomorrow ton tonight
tonne tonnes tons too took tool tooth top topped torch torn total totals touch touched tough toward town track tractor trail
trailer trap trash tree trees tried trip trouble truck true try trying tube tubes tuesday turn turned turning turns twice two
type ugly uncle under unit until up upper us use used usual usually very vibrate volt volts wagon wait waited waiting walk
walked wall want wanted warm was wash washed washer wasn't watch water way we weather wednesday weed weeds week weeks weight
weld welder well went were west wet whack what wheat wheel wheels when where which while white who whole why wide wife will wind
window windrow windrower windrows wing winter wire with within without woman won't wont wood word wore work worked working world
worn worse worst would wouldn't wrench wrong yard year years yellow yes yesterday yet you young your zero
pinched shipping freight tax handling
"""


@cache
def ordinary_words() -> frozenset[str]:
    """Return the words, in small letters without apostrophes."""
    return frozenset(_WORDS.replace("'", "").split())
