"""Ordinary English and farm words that are no misspelling of anything: a line keeps them as its note. Data, read when one is needed."""

from __future__ import annotations

from functools import cache
from typing import Final

_WORDS: Final = """
a able about above across actually added after afternoon again against ago ahead air all almost alone along already also although
always am amp amps an and another any anybody anyone anything anyway apart are area aren't around as aside ask asked at ate away awful
baby back backed bad badly bag bags bang bar barely bars base be beat became because been before began begin behind being below bench
beside best better between beyond big bit black blade bloody blue body book boss both bottom bought boy brace bracket brand bring
brother brought brown bucket bucks built bump bush busy but button buy by cab call called came can can't cannot cant car cart case
caught cell center centre chaff chance change check checked chunk city clean cleaned clear clod close closed cloth clutch coat cold
combine come comes coming complete concrete connect corn corner could couldn't couple cover crew crop cross cut cuts cutter cutting
dad damage damaged dang darn dark day days deal dealer deep deer depth did didn't dig dirt dirty do does doesn't dog doing don't done
door double down dozen drag draw dried drill drive driven driver driving drop drops drove dry due dug during dusk dust dusty duty
each early earth easy edge eight either else empty end ends engine enough even evening ever every everything except extra eye eyes
face fact fair fall family far farm farmer fast father feed feel feet fell felt fence few field fields fifteen fill filled final find
fine finish finished fire first fit fits five fix flat flip flipped floor foot football for force forgot forward found four frame
free fresh friday from front frost fuel full further game gap gate gave gear get gets getting girl give given glad go goes going gone
good got grain grandpa grass gravel gray grease greased great green grey ground guess guy guys had hail half hand handed handle hands
hang hanging hard hardly has have haven't hay he head heading headland headlands heard heat heavy held help her here hey high
hill him hired his hit hold hole holes holding hole home hook hope hour hours house how huge hung hurt i ice idea if in inch inches
inner inside instead into is isn't it its itself job jump june just keep keeps kept key kid kids kill kind knew knob knock know
lack ladder lady land lane large last late later law lay leave left leg lentils less let level lever life lift lifted light like line
lines list listen little load loaded long look looked looking looks loose lose lot lots loud low lower luck lucky lunch machine made main
make makes making man many mark mast mate matter may maybe me mean meant men mess metal mid middle mile miles mind mine minute minutes
miss mixed mom monday money month more morning most mother mount mouse move moved much mud must my myself name near nearly neat
neck need needed needs neighbor neighbour neither never new next nice nick night nine no nobody noise noisy none noon nor north not
note nothing notice noticed now nowhere nut nuts of off oh oil ok old on once one ones only onto open opened or order ordered
other our out outer outside over own pace pack paint pair parked part parts pass past patch pay pea peas people perhaps phone pick
picked piece pieces pin pins pit place plate plates play plow plug plugged point pole pool poor pop possible post power press pretty
price probably pull pulled pulls pump push pushed put puts quick quickly quiet quit quite rain rained raise raised ran rather raw
reach read ready real really rear reason red ride right ring rise road rock rode roll rolled roller room rough round row rub run
running runs rush rust rusty sack safe said same sand sat saturday saw say says scale screw scrap sea seat second see seed seem seemed
seems seen sell send sent set seven shade shaft shape share sharp she shear shed sheet shift shook shop short should show showed side
sides sign silly since sister sit site six size skip slack slid slide slip slope slow slowly small smell smoke smoked snow so soft soil
sold solid some somebody someone something sometimes somewhere son song soon sorry sort sound south space spare spares speed spin split
spot spray spring spun stack stand standing start started state stay steel step steps stick sticks still stop stopped store story
straight straw strange string strip strong stubble stuck stuff stump such suddenly sun sunday sure swath swather swung table tail take
taken takes talk tall tank tape team tell ten test than thank thanks that the their them then there these they thick thin thing things
think third this those though thought thousand three threw through throw thru thursday tie tied tight till time times tip tire tired
to today together told tomorrow tonight too took tool tooth top torn touch touched tough toward town track tractor trap trash tree trees
tried trip trouble truck true try trying tuesday turn turned turning turns twice two type uncle under unit until up upper us use used
usual usually very wait waited waiting walk walked wall want wanted warm was wash washed wasn't watch water way we weather wednesday
weed weeds week weeks weight well went were west wet whack what wheat wheel wheels when where which while white who whole why wide wife
will wind window wing winter wire with within without woman won't wont wood word wore work worked working world worn worse worst would
wouldn't wrench wrong yard year years yellow yes yesterday yet you young your zero size picking flax barley oats rye canola mustard
clay stones pivot approach slough ditch culvert pasture trail corner bolt bolts nut washer rivet rivets bushing shim weld welder torch
hammer pliers shimmed grinder chisel punch jack chain link links belt tooth teeth lost losing pressure gallon gallons quart litre
litres liter liters psi rpm volts volt amps ohms mm cm km kmh mph inch ft lbs kg dollars dollar each per bushel bushels ton tons
tonne tonnes box boxes bag bags pack packs piece crate pallet pail pails tube tubes roll rolls invoice bill paid cost costs
mower baler sprayer seeder windrower drill auger planter wagon trailer pickup bobcat loader mixer grinder windrow windrows
code codes error errors received receive receives arrived delivered delivery returned return counted count inventory shelf stock dealer
purchased fetched serviced service maintenance drained flushed topped filter filters extinguishers extinguisher coolant antifreeze diesel
shows showing reading readings reads meter meters counter clock hours total totals bucket rag tarp sleeve cover covers hub spoke vibrate
ugly stupid damn dang hell god crap heck bugger blasted darned shoot shucks please thanks thankyou hello mike bob joe jim tom sam
dave steve carl hank leroy ella anna mary sue jen kate
"""


@cache
def common_words() -> frozenset[str]:
    """Return the words, in small letters without apostrophes."""
    return frozenset(_WORDS.replace("'", "").split())
