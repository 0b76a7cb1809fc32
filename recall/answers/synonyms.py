"""Words that say the same, in one table; never two of which one turns a meaning round.

Sources: the FAA Pilot/Controller Glossary for `glidepath` beside `glideslope`, `vicinity`, `aborted` and
`unserviceable`; 14 CFR 25.1322 for amber or yellow; 14 CFR 1.2 for abbreviations, but for the last two lines of them;
all else is plain English, from memory.
"""

from functools import cache

from recall.base import regex as re

_WORDS = (
    "below under beneath underneath|above over|around round|close closed shut|"
    "lost lose loses losing loss fail fails failed failing failure dead inoperative inop unserviceable unavailable|"
    "fault faulty fail fails failed failing failure defective|amber yellow|sound noise|small low little|"
    "large big|all every everything|while during|find locate|applied set|alive live powered energized|"
    "show shown indicate display read|inhibited disabled|start begin began begun commence|stop halt cease|"
    "abort aborted reject rejected|check verify confirm|watch monitor observe|"
    "tell inform notify advise report|press push depress|fall fell fallen drop decrease|decrease reduce|"
    "rise rose risen increase|climb ascend|fitted fit install|blocked clogged plugged obstructed|"
    "jam stick stuck|tight taut|slack loose|grease lubricate|replace change swap exchange|fill refill|"
    "repair mend fix|clear erase|continue proceed|forward fore|wrong incorrect|"
    "quickly rapidly fast quick rapid|light lamp|because since|waiting awaiting|blow blew blown|"
    "break broke broken|freeze froze frozen|burn burnt|bend bent|give gave given|take took taken|run ran|"
    "hold held|keep kept|tear tore torn|wear wore worn|drive drove driven|feed fed|sink sank sunk|"
    "leak leakage|seize seizure|remove removal|form formation|adjust adjustment|indicate indication"
)
_PHRASES = """
    immediately: at once, right away, straight away, immediate
    nearby: in the vicinity, in the near vicinity, close by
    glide path: glideslope, glide slope
    missed approach: go missed, going missed
    landing gear: undercarriage
    continue: carry on, go on, keep going
    refill: top up, fill up
    automatically: by itself, by themselves, on its own
    used: in use
    not care: does not matter, doesn't matter, no matter
    try again: retry
    depth sounder: echo sounder, echosounder
    if: in the event of, in case of
    moving: in motion
    too hot: overheated, overheating, overheats
    hot: heats up
    tank: fuel tank
    tanks: fuel tanks
    bleed: bleed air
"""
_ABBREVIATIONS = """
    afm:airplane flight manual, agl:above ground level, apu:auxiliary power unit, atc:air traffic control,
    cas:calibrated airspeed, dh:decision height, dme:distance measuring equipment, eas:equivalent airspeed,
    ias:indicated airspeed, ifr:instrument flight rules, ils:instrument landing system,
    mda:minimum descent altitude, mel:minimum equipment list, msl:mean sea level, oei:one engine inoperative,
    tas:true airspeed, vfr:visual flight rules, vhf:very high frequency,
    cb:circuit breaker, o2:oxygen, co2:carbon dioxide,
    psu:power supply unit, ups:uninterruptible power supply, gpu:ground power unit, egt:exhaust gas temperature
"""
COMMON = dict(entry.split(":") for entry in re.split(r",\s+", _ABBREVIATIONS.strip()))
"""Abbreviations that needn't stand in a deck, with their meanings."""
_SAID = {
    said: word
    for word, others in (line.strip().split(": ") for line in _PHRASES.strip().splitlines())
    for said in others.split(", ")
}
_PHRASE = re.compile(rf"\b(?:{'|'.join(sorted(_SAID, key=len, reverse=True))})\b", re.I)


def one_phrase(text: str) -> str:
    """A text with one of the phrases that say the same for each of them."""
    return _PHRASE.sub(lambda found: _SAID[found.group().casefold()], text)


@cache
def meanings() -> dict[str, frozenset[int]]:
    """Words of the table with the places of their meanings in it."""
    lines = [line.split() for line in _WORDS.split("|")]
    words = {word for line in lines for word in line}
    return {word: frozenset(at for at, line in enumerate(lines) if word in line) for word in words}
