"""Words that marking must know: what turns a meaning round, what says the same, what is no slip.

Opposites, small words and everyday short forms: common practice, no source; many of the short forms stand among the
contractions of FAA Order JO 7340.2 (from memory); letters as they are spoken, the phonetic alphabet of ICAO Annex 10.
"""

from functools import cache, lru_cache

from recall.base import regex as re
from recall.base.text import word_set

_SPELLINGS = (
    (re.compile(r"man(?:oeuv|ouev|euv)(?:er|re(?!d)|r)"), "maneuver"),
    (re.compile(r"(?<=col|vap|arm|fav|lab)our|(?<=harb)our"), "or"),
    (re.compile(r"(?<=[a-z]{2})([tb])re(?=s?$)"), r"\1er"),
    (re.compile(r"(?<=[a-z]{3})is(?=(?:e|ed|es|er|ers|ing|ation)$)"), "iz"),
    (re.compile(r"(?<=[a-z]{3})ll(?=ed$|ing$|ers?$)"), "l"),
    (re.compile(r"ogue(?=s?$)"), "og"),
    *(
        (re.compile(british), american)
        for british, american in (
            ("gauge", "gage"), ("grey", "gray"), ("disk", "disc"), ("tyre", "tire"), ("aluminium", "aluminum"),
            ("aeroplane", "airplane"), ("programme", "program"), ("defence", "defense"), ("licence", "license"),
            ("sulph", "sulf"), ("windshield", "windscreen"), ("^fully$", "full"), ("^each$", "every"),
            ("^permitted$", "allowed"), ("^(?:alone|solely)$", "only"), ("^nil$", "no"), ("^obstacle", "obstruction"),
            ("^(?:aerodrome|airfield)(?=s?$)", "airport"),
        )
    ),
)  # fmt: skip
"""British and American spellings, from memory: one of them is the key."""


@lru_cache(maxsize=16_384)
def spelling(word: str) -> str:
    """A word in the one spelling by which it is compared."""
    for pattern, ours in _SPELLINGS:
        word = pattern.sub(ours, word)
    return word


_OPPOSITES = (
    "on off|open closed|open close|open shut|full fuel|full empty|high low|up down|left right|inside outside|"
    "inner outer|inboard outboard|before after|above below|over under|minimum maximum|min max|increase decrease|"
    "increases decreases|increasing decreasing|ac dc|a.c d.c|in out|upper lower|forward aft|front rear|front back|"
    "hot cold|start stop|extend retract|extended retracted|engage disengage|engaged disengaged|arm disarm|"
    "armed disarmed|lock unlock|locked unlocked|latched unlatched|connect disconnect|connected disconnected|"
    "normal abnormal|manual automatic|inhibited enabled|enabled disabled|isolated connected|port starboard|"
    "indicated true|inlet outlet|ascent descent|ascend descend|climb descend|climb descent|advance retard|push pull|"
    "energized de-energized|symmetric asymmetric|charge discharge|load unload|failed healthy|loss gain|less more|"
    "wet dry|day night|inbound outbound|rising falling|fast slow|long short|primary secondary|"
    "serviceable unserviceable|pressurized depressurized|running stopped|alive dead|lit unlit|stowed deployed|"
    "stowed unstowed|raise lower|raised lowered|intake exhaust|ahead astern|positive negative|coarse fine|rich lean|"
    "transmit receive"
)
OPPOSITES = frozenset(frozenset(pair.split()) for pair in _OPPOSITES.split("|"))
"""Words that turn a meaning round, in the one spelling by which they are compared."""
OPPOSED = frozenset(word for pair in OPPOSITES for word in pair)
NEGATIONS = word_set("not no non never without none nor neither unless until")
ARTICLES = word_set("the a an")
SMALL = ARTICLES | word_set(
    "is are was were be been has have had do does did will can of at for with to its their it they you she he we "
    "ones must shall should would could needs get gets got goes becomes becoming being too"
)
"""Words that may be left out or added, where others stand beside them."""
PREFIXES = word_set("anti auto dis inter mis non pre semi sub super trans")
"""Beginnings of a word that are none of it cut short."""
SIDES = word_set("left right up down on off in out front rear upper lower inner outer high low open closed")
"""Words that are never passed over as words of the question."""
ORDERING = word_set("by into than then if when while or and")
FIXED = (OPPOSED - {"maximum", "minimum", "fuel"}) | NEGATIONS | SIDES | ORDERING
"""Words of a phrase whose order tells something."""
SWITCHED = word_set("select selected set switch switched turn turned")
"""Words that needn't be said of what is on or off."""
SETTING = SWITCHED | word_set("them it put move moved squawk code to in at")
"""Words that say that something is set as the next ones say."""

GENERAL = word_set("actuator assembly equipment installation module motor set supply system tank unit")
"""Words that a name may do without, where nothing else is called by the rest of it."""
LOOSE = word_set("equipment installation lamp light system unit")
"""Words that may be said behind a name, where nothing else is called so."""

THINGS = word_set("""
    bearing building bushing casing coupling fitting heading hearing housing landing letting meaning meeting opening
    rating reading setting spring string warning winding
""")
"""Words in -ing that are things of their own, no form of the verb."""

_SHORT = """
    a:alpha,alfa b:bravo c:charlie d:delta e:echo f:foxtrot g:golf h:hotel i:india j:juliett k:kilo m:mike n:november
    o:oscar p:papa q:quebec s:sierra t:tango u:uniform v:victor w:whiskey x:xray y:yankee z:zulu
    accum:accumulator aft:rear alt:altitude,altimeter,alternate,alternator amb:ambient ap:autopilot app:approach
    assy:assembly auto:automatic,automatically aux:auxiliary av:avionics baro:barometric bat:battery batt:battery
    brg:bearing bus:busbar carb:carburettor ch:channel chk:check clsd:closed cmd:command
    com:communication,communications
    comm:communication,communications comp:compressor,compass config:configuration cont:continuous,continuously
    ctl:control ctr:center ctrl:control deg:degrees dep:departure des:descent dest:destination
    diff:differential,difference dir:direction,directional disch:discharge div:division elec:electric,electrical
    elev:elevation,elevator emer:emergency emerg:emergency eng:engine equip:equipment ess:essential ext:external
    flt:flight freq:frequency fwd:forward gen:generator gnd:ground hdg:heading horiz:horizontal hyd:hydraulic
    hi:high hydr:hydraulic ident:identification ign:ignition ind:indicator,indication,indicated inop:inoperative
    inst:instrument instr:instrument int:internal inv:inverter l:left ldg:landing lh:left lo:low loc:localizer
    lt:light,left lub:lubrication mag:magnetic,magneto maint:maintenance man:manual max:maximum mech:mechanical
    min:minimum msg:message multi:multiple nav:navigation norm:normal op:operator,operating oper:operating
    oxy:oxygen pax:passenger,passengers pnl:panel pos:position posn:position pres:pressure press:pressure
    prop:propeller prox:proximity pwr:power qty:quantity r:right rad:radio,radar rcvr:receiver recirc:recirculation
    ref:reference reg:regulator rel:release res:reserve rev:reverse rh:right rly:relay rt:right rud:rudder
    rwy:runway sec:secondary sel:selector sig:signal,significant spd:speed stab:stabilizer stbd:starboard
    stby:standby std:standard stdby:standby sw:switch sys:system sync:synchronize,synchronized,synchronization
    syst:system tach:tachometer tech:technician temp:temperature tk:tank tq:torque trq:torque turb:turbine
    vac:vacuum vert:vertical vib:vibration vlv:valve vol:volume warn:warning wx:weather xfeed:crossfeed xfer:transfer
    xpdr:transponder xpndr:transponder
"""


@cache
def long_forms() -> dict[str, frozenset[str]]:
    """Each short form with the whole words that it may stand for, in our one spelling."""
    entries = (entry.split(":") for entry in _SHORT.split())
    return {short: frozenset(map(spelling, words.split(","))) for short, words in entries}


_ENDINGS = ("", "s", "es", "ed", "ing")


def is_word(word: str) -> bool:
    """Whether it is a common word or a form of one: never another word's slip."""
    bases = _bases()
    stems = ((word.removesuffix(ending), ending) for ending in _ENDINGS if word.endswith(ending))
    return any(stem in bases or (ending in ("ed", "ing") and f"{stem}e" in bases) for stem, ending in stems)


@cache
def _bases() -> frozenset[str]:
    """Common words that lie, they or a form of theirs, one slip from a word of the trade, and those themselves
    (`pilot` and pitot, `altitude` and attitude, `light` and right, `warming` and warning), in the one spelling;
    common are the most frequent 25,000 of the package wordfreq."""
    from importlib.resources import files

    return frozenset((files("recall.answers") / "words.txt").read_text(encoding="utf-8").split())
