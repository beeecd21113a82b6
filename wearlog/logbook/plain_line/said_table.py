"""What words say of a part beside those that a cell knows too: what people do, see and put off, by the letters."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.logbook.quickline.words import WORDS, Weight

#: words of the quick line's own tables that a whole line takes otherwise
_NOT_HERE: Final = frozenset({"new", "hot", "rivet", "rivets", "bolt", "bolts"})

_FASTENERS: Final = ("rivet", "rivets", "bolt", "bolts")


@cache
def said_phrases() -> dict[str, Said]:
    """Return what each phrase says, by its letters without spaces; the phrases of the quick line's own tables among them."""
    found: dict[str, Said] = {}
    for sense, listed in WORDS.senses:
        weights = (
            sense.cause_weight if sense.cause else Weight.PLAIN,
            sense.mode_weight if sense.mode else Weight.PLAIN,
        )
        one = Said(sense.cause, sense.mode, sense.action, min(weights))
        found.update({joined(phrase): one for phrase in listed if phrase not in _NOT_HERE})
    found.update({phrase: Said(cause=Cause.LOOSE, weight=Weight.HINT) for phrase in _FASTENERS})
    for one, text in SAID:
        found.update({joined(phrase): one for phrase in listed_in(text)})
    found.update({joined(phrase): Said(reason=True) for phrase in WORDS.reasons})
    return found


@cache
def said_words() -> frozenset[str]:
    """Return every single word of these phrases."""
    listed = [phrase for _, phrases in WORDS.senses for phrase in phrases]
    listed += [phrase for _, text in SAID for phrase in listed_in(text)]
    return frozenset(
        word for phrase in (*listed, *_FASTENERS, *WORDS.reasons) for word in phrase.replace("'", "").split()
    )


def joined(phrase: str) -> str:
    """Return the letters of a phrase without spaces, hyphens and apostrophes: hold down, hold-down and holddown are one."""
    return phrase.replace(" ", "").replace("-", "").replace("'", "")


def listed_in(text: str) -> list[str]:
    """Return the phrases of a text of a table, which are parted by strokes."""
    return [" ".join(phrase.split()) for phrase in text.split("|")]


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Said:
    """What a phrase says, or several together say of one part; None and False where nothing is said.

    Attributes
    ----------
    soft : bool
        The mode is only taken for granted from it: "noisy" is how a bearing failed.
    usual : bool
        It broke as its kind usually does: "went".
    watched : bool
        Something was seen or heard, and nothing done: it goes on unless somebody says otherwise.
    fine : bool
        The part is all right.
    planned : bool
        It is said of winter work.
    new : bool
        A new part was put on, and no word of an old one that broke.
    reason : bool
        What stands behind it is why.
    """

    cause: Cause | None = None
    mode: Mode | None = None
    action: Action | None = None
    weight: Weight = Weight.PLAIN
    soft: bool = False
    usual: bool = False
    watched: bool = False
    fine: bool = False
    planned: bool = False
    new: bool = False
    reason: bool = False


_WORN: Final = Said(Cause.WEAR, Mode.WORN, weight=Weight.HINT)

_LOOSE: Final = Said(Cause.LOOSE, Mode.LOOSE, weight=Weight.HINT)

#: parts came by one of these
CAME: Final = (
    *(
        "got",
        "bought",
        "picked up",
        "received",
        "came in",
        "came",
        "delivered",
        "arrived",
        "fetched",
        "purchased",
        "get in",
        "got in",
    ),
    *(
        "delivery",
        "brought home",
        "stocked up",
        "in the mail",
        "restocked",
        "pick up",
        "picked",
        "brought",
        "ups brought",
        "paid",
        *("dealer sent", "sent us"),
    ),
)

#: what is said -> the phrases for it, parted by strokes; a phrase here goes before the same one of the quick line
SAID: Final[tuple[tuple[Said, str], ...]] = (
    (
        Said(cause=Cause.IMPACT),
        """
        rock strike | stone strike | hit something | hit a | hit an | hit the | ran over | strike | struck a | stone damage
        | rock damage | stone went through | stone went thru | badger mound | fencepost | t post | by a wrench | by a tool
        | by a bolt | by a nut | by a stick | by a wire | by wire | by fence wire
        | by something | whacked | clipped | clipped a | iron | root | roots | log | swallowed a stone | picked up a rock
        | picked up a stone | ate a rock | ate a stone | dirt mound | ran into | ran into a | bumped | culvert | pipe | antler
        | wire fence | hidden post | cobble | stones again | rocky | stony | on something | something hard | hit dirt
        | hit the ground | foreign matter
        """,
    ),
    (Said(cause=Cause.SECONDARY), "took out | took with it | takes out | taken out by | wrecked | chewed up | with it"),
    (
        _WORN,
        """
        worn thin | worn away | wore thin | wore | wore off | worn off | worn smooth | rounded off | all dull | chafed thru
        | chafed through | chafed | rubbed through | rubbed thru | rubbed | wore thru | worn thru | worn to nothing | too thin
        | no edge | no edge left | lost its edge | past it | old and worn | not sharp | very dull | rounded over
        | worn past the limit | past the limit | over the limit | shot
        """,
    ),
    (Said(mode=Mode.WORN, weight=Weight.HINT, soft=True), "fraying | frayed | glazed | cupped | pitted | rusted"),
    (
        Said(Cause.LOOSE, Mode.LOOSE, weight=Weight.HINT),
        "bolts came loose | bolt came loose | rivets came loose | rivet came loose",
    ),
    (
        Said(Cause.LOOSE, Mode.BROKEN, weight=Weight.HINT),
        "rivets sheared | rivet sheared | bolts sheared | rivets broke | rivets let go",
    ),
    (
        Said(Cause.WEAR, Mode.FAILED, weight=Weight.HINT),
        """
        wont hold charge | wont hold a charge | does not hold charge | will not hold charge | no charge left
        | doesnt hold charge | will not hold a charge
        """,
    ),
    (
        Said(Cause.WEAR, Mode.WORN, Action.MENDED, Weight.HINT, soft=True),
        "sharpened | sharpened them | shimmed | shimmed it | took out the play | shimmed up",
    ),
    (Said(Cause.WEAR, Mode.WORN, weight=Weight.HINT, soft=True), "gap | too much gap | too much play | sloppy"),
    (
        _LOOSE,
        """
        bolt missing | bolts missing | missing a bolt | lost a bolt | lost bolts | bolt gone | bolts gone | bolt fell out
        | bolts fell out | bolt out | bolts out | rivet missing | rivets missing | lost a rivet | rivet gone
        """,
    ),
    (_LOOSE, "came undone | rattled loose | backed off | backed out | not tight | working loose | bolts loose"),
    (
        Said(mode=Mode.LOOSE, soft=True),
        """
        jumped off | jumped | derailed | came off the sprocket | came off its sprocket | off the sprocket | ran off
        | off track | to loose | too loose | too slack | slack | off its track | slipped off | threw the chain
        | came off the pulley | unplugged | came unplugged | disconnected
        """,
    ),
    (
        Said(mode=Mode.LOOSE, soft=True, watched=True),
        "tracking off | tracks off | tracking bad | jumping | slipping | slips",
    ),
    (
        Said(mode=Mode.BROKEN),
        """
        in two | in 2 | in half | in pieces | in bits | busted | bust | let go | snap | snaps | tip broke off | half gone
        | broke in two | broke in 2 | broke in half | chip | broken up | broke up | broke apart | came apart | tip gone
        | tip off | tip missing | tip is gone | breaking | busted off | sheared the | cracked off | broke through | brok
        | nicked | gouged | punched through | broke clean off | snapped clean off | demolished
        """,
    ),
    (
        Said(mode=Mode.BENT),
        """
        bent around | out of line | out of shape | bowed | crooked | curled | deformed | bent over | twisted up | dented
        | bends | bent up | bent down | bent out | bent in | bent bad | warped | mashed | curled up
        """,
    ),
    (Said(mode=Mode.CRACKED), "cracking | splitting | hairline | has a crack | cracked through | crack in"),
    (
        Said(mode=Mode.MISSING),
        """
        went missing | disappeared | not there | fell away | dropped | dropped out | dropped off | lost off | flew out
        | came out | we lost | no longer there
        """,
    ),
    (Said(mode=Mode.MISSING, usual=True), "gone | is gone | are gone"),
    (Said(mode=Mode.STRETCHED), "stretching | got long | overstretched"),
    (
        Said(mode=Mode.STRETCHED, action=Action.MENDED, soft=True),
        """
        took a link out | took a link off | link out | links out | took out a link | took 2 links out | shortened
        | removed a link | link taken out | took out a half link | took a half link out | took out half a link
        | took out one link | took out 2 links | took out a full link
        """,
    ),
    (Said(mode=Mode.TORN), "tearing | ripping | shredded | split open | came unlaced | ripped open | hole in"),
    (
        Said(mode=Mode.SEIZED),
        "froze up | froze | frozen | locked | locked solid | wont turn | siezed | rusted solid | will not turn",
    ),
    (
        Said(mode=Mode.LEAKING),
        """
        weeping | dripping | weeps | drips | spraying | seeping | leaking oil | blew out oil | lost oil | pouring oil
        | oil leak | losing oil
        """,
    ),
    (
        Said(mode=Mode.FAILED),
        """
        burnt up | burned up | burned | burst | burn up | burnt through | packed up | packed it in | gave up | quits | smoked
        | cooked | collapsed | gone bad | bad | failing | died | burning | blown out | toast
        """,
    ),
    (Said(mode=Mode.FAILED, soft=True), "ran hot | got hot"),
    (
        Said(mode=Mode.FAILED, soft=True, watched=True),
        """
        weak | getting weak | grease coming out | dust coming out | throwing grease | screaming
        | noisy | running hot | rumbling | growling
        | hot | warm | sounds bad | playing up | acting up | has play | some play | got play
        | squeaks | squeaking | squealing | knocking | rattles | rattling | knocks | vibrates | vibrating | humming | whining
        | grinding | clicking | squeals
        | smoking | howling | making noise | makes noise | sounds rough | a bit rough | feels rough | rough
        """,
    ),
    (
        Said(usual=True),
        "blew | blown | blew up | blew on me | went | went out | went bad | went again | let loose | gave way",
    ),
    (
        Said(action=Action.REPLACED),
        """
        put a new one on | put a new one in | put new one in | put new one on | changed it | changed them | swapped it
        | swapped them | swap | swapping | changing | changed out | swapped out | replaced it | replaced them | put another in
        | put another on | put another one in | put another one on | in its place | to change | to replace | renewing
        | replacement | threw in a new one | stuck a new one in | put a fresh one in | put a fresh one on | put on a new one
        | put in a new one | new one in | new one on | used | put a spare in | put a spare on | spare on | spare in
        | traded out | changed over | put one on | put one in
        """,
    ),
    (
        Said(action=Action.REPLACED, new=True),
        """
        new | brand new | put new | put in new | put on new | a new | fitted new | installed new | renewed | new set
        | new ones | put new ones in | put new ones on | new ones in | new ones on
        """,
    ),
    (
        Said(mode=Mode.BENT, action=Action.MENDED, soft=True),
        """
        straightened | straightened it | straightened them | straighten | straightening | beat it straight | beat straight
        | knocked straight | bent it back | bent it straight | bent back | bent them back | hammered | hammered out
        | hammered back | hammered straight | hammered it straight | bent straight | pried it back | pried back
        """,
    ),
    (
        Said(mode=Mode.LOOSE, action=Action.MENDED, soft=True),
        """
        tightened | retightened | tightened up | tightened it | tighten | tightening | retensioned | retorqued
        | took up the slack | took up | back on | put on again | put it on again | adjusted | adjusted it | aligned | realigned
        """,
    ),
    (
        Said(mode=Mode.LOOSE, action=Action.LEFT, soft=True),
        "due for tightening | needs tightening | need tightening | should be tightened | to be tightened",
    ),
    (Said(mode=Mode.TORN, action=Action.MENDED, soft=True), "laced | laced it up | laced up | sewed | sewn | stitched"),
    (
        Said(action=Action.MENDED),
        """
        mended it | weld | weld on | weld on strip | weld up | welded up | brazed | taped | taped up | zip tied | ziptied
        | glued | glued a patch on | patch | patch on | put back on | put it back on | put back | put it back
        | wired up | wired it up | rebuilt | rebuild | resealed | reset | retied | rivetted | new rivets | new rivet
        | new fitting | new fittings | new o ring | new o rings | new gasket | new clip | new clips | new nut | new nuts
        | new clamp | new clamps | new terminal | new washer | new washers | new cotter pin
        | new bolts | new bolt | rerivet | reriveted | riveted | riveted it | welding | soldered | filed | ground smooth
        | clamped | bodged | jury rigged | unjammed | freed | freed it | freed up
        | replaced the bolt | replaced the bolts | replaced bolt | replaced bolts | changed the bolt | changed the bolts
        | replaced the rivet | replaced the rivets
        | put a new link in | put a link in | put in a new link | new link in | new link | new connector link
        | redid rivets | redid the rivets | put a bolt in | put a new bolt in | put new bolts in | put a new rivet in | loosened it
        | swapped end for end | turned end for end | turned it around | turned them around | turned it over
        | turned them over | turned them | turned it | flipped it | flipped them | reversed it | reversed them
        | wrapped it | wrapped it up | wrapped with tape | wrapped it with tape
        | put the chain back on | torqued | plugged back in | plugged it back in | plugged in again | reconnected
        | charged overnight | charged it | charged up | charged them | recharged | boosted | jump started | jumped it
        """,
    ),
    (
        Said(action=Action.LEFT),
        """
        leave | ran without | still cuts | still cutting | do it | do it tonight | do it later | do it tomorrow
        | leave it | leave as is | leave in | left them | left them in | keep an eye on it | watch it | watching it
        | good for now | still good | runs ok | run ok | runs fine | works ok | still works | still runs | for now
        | run till winter | runs till winter | till winter | until winter | carry on | carrying on | keep going
        | didnt touch it | did not touch it | not touched | will get | will change | will replace | will fix | will do
        | will need changing | will need replacing | will want changing | should be changed | must be changed
        | has to be replaced | needs to be changed | needs to be replaced | to be replaced
        | to be changed | to be fixed | to be mended | due for changing
        | due for replacing
        | change later | replace later | fix later | later | finished the field with it | finished the day with it
        | wiped it down | wiped down | wiped it off | needs replacing | needs changing | need to replace | need to change
        | needs a new one | needs new | has to be changed | must be replaced | should be replaced | going to change
        | going to replace | to do | not done | not yet | still running | ran it | run it | runs on | kept on | kept cutting
        | kept on cutting | cut on | ran with it | ran like that | leaving it | left as it is | left the way it is
        | ok for this year | good for this year | good for another year | ok for now | good enough | ok till winter
        | havent changed it | not changed yet | leave for winter | next winter | wait for winter | until it quits
        | order a new one | ordered | ordered one | ordered a new one | new one ordered | need to order | have to order
        | till it quits | no spare | none on hand | still in | still on | run as is | ran as is | let it run | letting it run
        | let it be | let it go | just watch | not bothered | not bad enough | will order | order one | wait
        | waiting for part | still holding | still ok
        """,
    ),
    (
        Said(fine=True),
        "ok | okay | fine | all right | alright | not hurt | is good | looks good | undamaged | is ok | is fine",
    ),
    (
        Said(planned=True),
        """
        winter | winter work | over winter | over the winter | this winter | last winter | preseason | pre season | offseason
        | off season | in the shop | at the shop | by shop | by the shop | by the dealer | shop work | full set | complete set
        | whole set | before harvest | before the season | ahead of harvest | ahead of the season
        | while the machine was apart | while it was apart | while apart | overhaul | overhauled | spring | in spring
        | as planned | planned | preventive | just in case | while at it | while we were at it | nothing broken
        | nothing wrong | nothing was wrong | after harvest | after the season | winter job | getting ready | service
        """,
    ),
)
