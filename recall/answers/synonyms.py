"""Words that say the same, in one table; never two of which one turns a meaning round.

Sources: the FAA Pilot/Controller Glossary for `glidepath` beside `glideslope`, `vicinity`, `aborted` and
`unserviceable`; 14 CFR 25.1322 for amber or yellow; 14 CFR 1.2 for abbreviations, but for the last two lines of them;
all else is plain English, from memory.
"""

from functools import cache

from recall.answers.rewriting import rewriting
from recall.answers.vocabulary import spelling

_WORDS = (
    "below under beneath underneath|above over|around round|close closed shut|"
    "lost lose loses losing loss fail fails failed failing failure dead inoperative inop unserviceable unavailable|"
    "fault faulty fail fails failed failing failure defective|amber yellow|sound noise|small low little|"
    "large big|all every everything|while during|find locate|applied set|alive live powered energized|"
    "show shown indicate display read|inhibited disabled blocked prevented|on applied engaged activated|"
    "off disengaged deactivated|up raised raise|down lowered lower|extended deployed|"
    "near approaching nearing imminent|start begin began begun commence|stop halt cease|"
    "abort aborted reject rejected|check verify confirm|watch monitor observe|tell inform notify advise report|"
    "press push depress|fall fell fallen drop decrease|decrease reduce|rise rose risen increase|climb ascend|"
    "fitted fit install|blocked clogged plugged obstructed|jam stick stuck|tight taut|slack loose|"
    "grease lubricate|replace change swap exchange|fill refill|repair mend fix|clear erase|continue proceed|"
    "forward fore|wrong incorrect|quickly rapidly fast quick rapid|light lamp|because since|waiting awaiting|"
    "blow blew blown|break broke broken part parted snap snapped|"
    "join joined connect connected tie tied link linked|transmit transmission transmitting|"
    "disagree disagreement differ|freeze froze frozen|burn burnt|bend bent|give gave given|take took taken|"
    "run ran|hold held|keep kept|tear tore torn|wear wore worn|drive drove driven|feed fed|sink sank sunk|"
    "leak leakage leaky|seize seizure|remove removal|form formation|adjust adjustment|indicate indication"
)
one_phrase = rewriting(r"""
    \b(?:at once|(?:right|straight) away|immediate)\b => immediately
    \b(?:in the (?:near )?vicinity|close by)\b => nearby
    \bglide ?slope\b => glide path
    \bgo(?:ing)? missed\b => missed approach
    \bundercarriage\b => landing gear
    \bgear (?:retracted|raised)\b => gear up
    \bgear (?:extended|lowered)\b => gear down
    \b(?:carry on|go on|keep going)\b => continue
    \b(?:top|fill) up\b => refill
    \bby (?:itself|themselves)\b|\bon its own\b => automatically
    \bin use\b => used
    \bdoes(?: not|n['’]t) matter\b|\bno matter\b => not care
    \bretry\b => try again
    \becho ?sounder\b => depth sounder
    \bin (?:the event|case) of\b => if
    \bin motion\b => moving
    \bheats up\b => hot
    \bfuel tank(?=s?\b) => tank
    \bbleed air\b => bleed
    \b(?:(?:do(?:es)?|is|are)(?: not|n['’]?t)|not) (?:work|function|operat)(?:s|e|ing)?(?: any ?more)?\b => fail
    \bno longer (?:works?|working|available)\b|\bnot available\b|\bstop(?:s|ped)? working\b => fail
    \bout of (?:order|service|action)\b|\bquits?\b|\bunusable\b|\bcan(?:no|['’]?)t be used\b => fail
    \b(?:not reliable|(?:can(?:no|['’]?)t|not to) be (?:relied (?:up)?on|trusted))\b => unreliable
    \b(?:close|near) to\b => near
    \bone engine (?:out|failed|dead)\b|\bsingle[- ]engine\b => one engine inoperative
    \ball the way\b => full
    \b(worn|burnt) out\b => \1
    \bexceed(?:s|ing)?\b => above
    \busing\b => with
    \bimpossible\b => not possible
    \bto port\b|\bleftwards\b => to the left
    \bto starboard\b|\brightwards\b => to the right
    \btowards?\b => to
    \b(?:all the time|indefinitely|permanently)\b => continuous
""")
"""A text with one of the phrases that say the same for each of them."""
_ABBREVIATIONS = """
    afm:airplane flight manual, agl:above ground level, apu:auxiliary power unit, atc:air traffic control,
    cas:calibrated airspeed, dh:decision height, dme:distance measuring equipment, eas:equivalent airspeed,
    ias:indicated airspeed, ifr:instrument flight rules, ils:instrument landing system,
    mda:minimum descent altitude, mel:minimum equipment list, msl:mean sea level, oei:one engine inoperative,
    tas:true airspeed, vfr:visual flight rules, vhf:very high frequency,
    dc:direct current, ac:alternating current, ir:infrared, cb:circuit breaker, o2:oxygen, co2:carbon dioxide,
    psu:power supply unit, ups:uninterruptible power supply, gpu:ground power unit, egt:exhaust gas temperature
"""
COMMON = dict(entry.strip().split(":") for entry in _ABBREVIATIONS.split(","))
"""Abbreviations that needn't stand in a deck, with their meanings."""


@cache
def meanings() -> dict[str, frozenset[int]]:
    """Words of the table with the places of their meanings in it."""
    lines = [[*map(spelling, line.split())] for line in _WORDS.split("|")]
    words = {word for line in lines for word in line}
    return {word: frozenset(at for at, line in enumerate(lines) if word in line) for word in words}
