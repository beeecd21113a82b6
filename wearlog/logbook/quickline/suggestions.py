"""Words that are not known: each is named, with the known words it is nearest to. None of them is ever taken for another word."""

from __future__ import annotations

from wearlog.logbook.quickline.lexicon import Lexicon
from wearlog.logbook.quickline.scan import Role, Scan, either
from wearlog.logbook.quickline.tokens import Token
from wearlog.logbook.quickline.words import WORDS, known_words

#: signs that part the pieces of a line and mean nothing themselves
_QUIET_SIGNS = ",;.:!()-/&+'~|[]"
_MOST_NAMED = 8
_MOST_SUGGESTED = 3
_LONGEST_COMPARED = 24
_HINT = "Correct it, or put a remark behind --."


def blame_unknown(scan: Scan, lexicon: Lexicon, names: frozenset[str]) -> None:
    """Blame every token that nothing has claimed and that says something. `names` are the words of machines and places."""
    unknown = [index for index in range(len(scan.tokens)) if scan.free(index) and not _is_quiet(scan, index)]
    if not unknown:
        return
    known = known_words() | names | {word for phrase in lexicon.kinds for word in phrase}
    for index in unknown[:_MOST_NAMED]:
        scan.blame(*_sentence(scan.tokens[index], known), index)
    rest = len(unknown) - _MOST_NAMED
    if rest > 0:
        words = "1 more word" if rest == 1 else f"{rest} more words"
        hint = "Write only what broke, where, why and how long; put the rest behind --."
        scan.blame("unknown_word", f"There are {words} I do not know.", hint, unknown[_MOST_NAMED])
    for index in unknown:
        scan.claim(index, index + 1, Role.BLAMED)


def _is_quiet(scan: Scan, index: int) -> bool:
    token = scan.tokens[index]
    if not (token.is_word or token.is_number):
        return token.text in _QUIET_SIGNS
    return token.text in WORDS.small


def _sentence(token: Token, known: frozenset[str]) -> tuple[str, str, str]:
    """Return code, message and hint for an unknown word or sign."""
    unclear = dict(WORDS.unclear)
    if token.text in unclear:
        return "unclear_word", f"'{token.shown}' can mean two things.", unclear[token.text]
    if not (token.is_word or token.is_number):
        return (
            "unknown_sign",
            f"The sign '{token.shown}' means nothing here.",
            "Leave it out, or put a remark behind --.",
        )
    if token.text in (*WORDS.worked, *WORDS.stood):
        return (
            "no_duration",
            f"'{token.shown}' has no duration beside it.",
            f"Write how long, like 30 min {token.shown}.",
        )
    if token.text in known:
        return (
            "misplaced_word",
            f"'{token.shown}' means nothing where it stands.",
            "Leave it out, or put a remark behind --.",
        )
    near = [f"'{word}'" for word in nearest(token.text, known)]
    question = f"; did you mean {either(near)}?" if near else "."
    return "unknown_word", f"'{token.shown}' is not a word I know{question}", _HINT


def nearest(word: str, known: frozenset[str]) -> list[str]:
    """Return up to three known words that go on from `word` or differ least from it, if any is near."""
    if not 2 < len(word) <= _LONGEST_COMPARED:
        return []
    most = 1 if len(word) < 6 else 2
    scored = [(distance(word, one, most), one) for one in known if abs(len(one) - len(word)) <= most and len(one) > 2]
    least = min((distance for distance, _ in scored), default=most + 1)
    if least <= most:
        return sorted(one for distance, one in scored if distance == least)[:_MOST_SUGGESTED]
    return sorted((one for one in known if one.startswith(word)), key=lambda one: (len(one), one))[:_MOST_SUGGESTED]


def distance(word: str, other: str, most: int) -> int:
    """Return how many letters must be changed, added, dropped or swapped with a neighbour; more than `most` once it is."""
    before: list[int] = []
    row = list(range(len(other) + 1))
    for place, letter in enumerate(word, start=1):
        next_row = [place]
        for column, target in enumerate(other, start=1):
            cost = min(row[column] + 1, next_row[column - 1] + 1, row[column - 1] + (letter != target))
            if before and column > 1 and letter == other[column - 2] and word[place - 2] == target:
                cost = min(cost, before[column - 2] + 1)
            next_row.append(cost)
        if min(next_row) > most:
            return most + 1
        before, row = row, next_row
    return row[-1]
