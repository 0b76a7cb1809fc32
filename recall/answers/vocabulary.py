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
    "ones must shall should would could needs get gets goes becomes becoming being too"
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
    diff:differential,difference dir:direction,directional disch:discharge elec:electric,electrical
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


_NO_SLIPS = """
    abort about accent aerial alarm alone along aloud alter altitude annual aptitude areal around arrow ascend
    ascent assent attitude balance ballet ballots band bang bank batch beach bearing begin begun being believe
    belly bench better bevel billed binge black blade blank blast blend bloat block blow blown board boat
    boiling bolt bonus boost boot booth bound bowl bracket brain brake breach bread break breed bridge bring
    broad brown brush build built bulb bump burn buse cabin cable call candle canon captions carried carries
    casting catch cause caution cease censor certain chain chair chance change chapters charge chart chase check
    cheek chest chick chief chime choke chose circle claim clamp class clean clear cleat click climb cling clock
    clone close closer cloud coach coarse coast coat code coil colder color combat come commuter compare
    complete computer connects controlled controller coped copper core cost counts course cover cowl crack craft
    crane crank crash creed creep crew cross crown cruise cycle damage dated decent deck defect delay demand
    descend descent desert detect device differ digit dinner direct discharged disco diver dock door dose double
    doubt dowel draft drain draw drawn dress drie drift drill drink drive driven driver drone drop drum early
    earth eight either elect elevate elevation emptied empties enter entry equal error event exact excess
    exhaust exist exit expect expert extend extent fail faint fall faster father fault faulty feather feed
    fender fever fiber field fifth fight file fill filler filter final fire first fitter fixed flag flake flame
    flap flare flash flat fleet flesh flight flint float flock flood floor flour flow flower flown fluid flush
    flute flyer focal fold folder font force forge fork form forth found frame frank fresh front frost froze
    fuel fume fuse gage gain gase gate gauge gear giant give given glare glass glide globe gloves glow grade
    grain grand grant graph grass grate gravel great green grill grind grip gripe gross ground group grove grow
    guard guess guest guide hand hang hangar hanger haste hatch haul head header heal heap heard hearing heart
    heat heater heel height held hide hinder hinge hired hitch hoist hold hole hook hose hotel hour house hover
    human icing ideal idler image impel inflate inlet inner input insert inset inside intake intent inter invert
    issue item joint jump kiln knob knot known lamp land larger laser last latch later lateral latitude layer
    lead leader leak lean learn learnt least leather leaving ledge letter letting level lever lift light limb
    limit line linen liner link list liter live load local lock locker logic look loop loose loosen looser lose
    lost lower lucid macro magnet major make maker manor manual march mark marker mask mast master match mater
    matter meal mean meant measure medal media meet merge metal meter might mile minor minus mixed mixer mixture
    mode model modem moist molar moment money month moored moral motion motor mount mouse mouth move movie mower
    multi music nacelle naked name narrow naval nearby nearly need neither never night noise north nose note
    nozzle number nurse observer ocean offer oiled oiler older omit onset open opera order other ought outer
    outlet output outside overhead ower oxide pack paddle pain paint pane panel paper parking part passed passes
    paste patch pause pedal phase pilot pipe piston pitch pitot pivot place plain plan plane plant plate plot
    plug plumb point poise pole port post pouch pound power practice practise press pressure price pride prime
    primer print printer prior prism probe prone proof prop proud prove pull pulse pump purge pushed quick quiet
    quilt quite quota radar radio raft rail rain raise ramp range rapid rate rather ratio reach react read
    reader readings ready reason rebel recess record recover recovery reel refer relax relay release relief
    remit remote remove renew repair repel replace reply required requires resent reserve reset resin rest
    retard retract return reverse rider ridge rifle right rigid ring rise risen river road rocket roll root
    rotor rough round route router rover rowing rudder rule ruler runaway runway safer sail salty salve sample
    sauce save saying scale scope score scrap screen screw seal search season seat second section sector seize
    sender sense sensor series serve sets setting settling seven shade shaft shake shape share sharp shear shed
    sheet shell shield shift ship shock shoe shore short shorter shot shout show shown shunt shut sick side
    sight sign signal silence simple simply siren site sixth size skid skill skirt slack slant slat sleep sleet
    slice slick slide slings slip slope slot slow slower small smart smell smoke snake snap sneak socket solar
    solid sonar sound south space spade spare spark speak speed spell spend spent spice spike spill spin split
    spoke spool spoon sport spot spray spread squib stable stack staff stage stair stake stale stall stamp stand
    star stark start starter state static station stator stay steal steam steel steep steer stem step stern
    stick stiff still stock stone stool stoop stop store storm stove stowed straight strain strand strap stray
    stream strip strobe stroke strong struck struts stuck stud stuff style suction supper surge sweep sweet
    swell swept swing switch table tack tail take taken tale tank tanker tape task taste taxe taxiing teach team
    tear tell tender tense tension tenth test thanks there thermal these thick thing think third those three
    throw thrown thrust thumb tight tilt time timer tire title toast today toggle token tone tool tooth topic
    torch torque total touch tough towed tower towing trace track tract trade trail train trait trap trapped
    travel tray tread treat tree trend trial tribe trick tried trim trip tripped truck truly trunk trust truth
    tube tuned tuner turbine turbo turn tutor twice twist under union unit unite until upper upset urban usage
    usual vague valid value valve vapor vault vector vent venue verse vessel video view viper visor vital vocal
    voice volt voted wafer wage waist wait wake want warm warn waste watch water wave weaker wear weather wedge
    weigh weight well wharf wheel whenever where wherever which while white whole whose wider widow width winch
    wind winder wing winner winter wipe wiper wire witch witness wive word work world worse worst would wound
    wreck wrist write wrong yard year yield young zone
"""
_ENDINGS = ("", "s", "es", "ed", "ing")


def is_word(word: str) -> bool:
    """Whether it is a common word or a form of one: never another word's slip."""
    bases = _bases()
    stems = ((word.removesuffix(ending), ending) for ending in _ENDINGS if word.endswith(ending))
    return any(stem in bases or (ending in ("ed", "ing") and f"{stem}e" in bases) for stem, ending in stems)


@cache
def _bases() -> frozenset[str]:
    """Common words that lie, they or a form of theirs, one slip from a word of the trade, and those themselves
    (`pilot` and pitot, `altitude` and attitude, `light` and right, `warming` and warning)."""
    return frozenset(map(spelling, _NO_SLIPS.split()))
