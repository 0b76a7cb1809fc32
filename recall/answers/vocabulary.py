"""Words that marking must know: what turns a meaning round, what says the same, what is no slip.

Opposites, small words and everyday short forms: common practice, no source; many of the short forms stand among the
contractions of FAA Order JO 7340.2 (from memory).
"""

import re
from functools import lru_cache

_SPELLINGS = (
    (re.compile(r"man(?:oeuv|euv)(?:er|re(?!d)|r)"), "maneuver"),
    (re.compile(r"(?<=col|vap|arm|fav|lab)our|(?<=harb)our"), "or"),
    (re.compile(r"(?<=[a-z]{2})([tb])re(?=s?$)"), r"\1er"),
    (re.compile(r"(?<=[a-z]{3})is(?=(?:e|ed|es|er|ers|ing|ation)$)"), "iz"),
    (re.compile(r"(?<=[a-z]{3})ll(?=ed$|ing$|er$)"), "l"),
    (re.compile(r"ogue(?=s?$)"), "og"),
    *(
        (re.compile(british), american)
        for british, american in (
            ("gauge", "gage"), ("grey", "gray"), ("disk", "disc"), ("tyre", "tire"), ("aluminium", "aluminum"),
            ("aeroplane", "airplane"), ("programme", "program"), ("defence", "defense"), ("licence", "license"),
            ("sulph", "sulf"), ("windshield", "windscreen"),
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
    "energised de-energised|symmetric asymmetric|charge discharge|load unload|failed healthy|loss gain|less more|"
    "wet dry|day night|inbound outbound|rising falling|fast slow|long short|primary secondary|"
    "serviceable unserviceable|pressurised depressurised|running stopped|alive dead|lit unlit|stowed deployed|"
    "stowed unstowed|raise lower|raised lowered|intake exhaust|ahead astern|positive negative|coarse fine|rich lean|"
    "transmit receive"
)
OPPOSITES = frozenset(frozenset(map(spelling, pair.split())) for pair in _OPPOSITES.split("|"))
OPPOSED = frozenset(word for pair in OPPOSITES for word in pair)
NEGATIONS = frozenset(
    ("not", "no", "non", "never", "without", "none", "nor", "neither", "cannot", "unless", "until")
)
ARTICLES = frozenset(("the", "a", "an"))
SMALL = ARTICLES | {"is", "are", "was", "were", "be", "been", "of", "for", "with", "its", "their"}
"""Words that may be left out or added, where others stand beside them."""
_SIDES = "left right up down on off in out front rear upper lower inner outer high low open closed"
SIDES = frozenset(_SIDES.split())
"""Words that are never passed over as words of the question."""

GENERAL = frozenset(
    ("actuator", "unit", "system", "assembly", "motor", "set", "equipment", "module", "installation")
)
"""Words that a name may do without, where nothing else is called by the rest of it."""

_SHORT = """
    accum:accumulator alt:altitude,altimeter,alternate,alternator amb:ambient app:approach assy:assembly
    auto:automatic,automatically aux:auxiliary bat:battery batt:battery baro:barometric brg:bearing
    carb:carburettor chk:check cmd:command com:communication,communications comm:communication,communications
    comp:compressor,compass config:configuration cont:continuous,continuously ctl:control ctrl:control ctr:center
    deg:degrees dep:departure des:descent dest:destination diff:differential,difference dir:direction,directional
    disch:discharge elec:electric,electrical elev:elevation,elevator emer:emergency emerg:emergency eng:engine
    equip:equipment ess:essential ext:external flt:flight freq:frequency fwd:forward gen:generator gnd:ground
    hdg:heading horiz:horizontal hyd:hydraulic hydr:hydraulic ident:identification ign:ignition
    ind:indicator,indication,indicated inop:inoperative inst:instrument instr:instrument int:internal inv:inverter
    l:left ldg:landing lh:left loc:localizer lt:light,left lub:lubrication mag:magnetic,magneto maint:maintenance
    man:manual max:maximum mech:mechanical min:minimum msg:message nav:navigation norm:normal oper:operating
    oxy:oxygen pax:passenger,passengers pnl:panel pos:position posn:position pres:pressure press:pressure
    prox:proximity prop:propeller pwr:power qty:quantity r:right rad:radio rcvr:receiver recirc:recirculation
    ref:reference reg:regulator rel:release res:reserve rev:reverse rh:right rt:right rly:relay rud:rudder
    rwy:runway sec:secondary sel:selector sig:signal spd:speed stab:stabilizer stbd:starboard stby:standby
    stdby:standby std:standard sw:switch sys:system syst:system tach:tachometer temp:temperature tk:tank
    tq:torque trq:torque turb:turbine vert:vertical vib:vibration vlv:valve vol:volume warn:warning
    wx:weather xfeed:crossfeed xfer:transfer xpdr:transponder xpndr:transponder
"""
LONG = {
    short: frozenset(map(spelling, words.split(",")))
    for short, words in (entry.split(":") for entry in _SHORT.split())
}
"""Each short form with the whole words that it may stand for, in our one spelling."""

_NO_SLIPS = """
    abort about accent aerial alarm alone along aloud alter altitude annual aptitude areal around arrow ascend
    ascent assent attitude balance balanced ballet ballots bands bangs banks beach bearing begin begun being believe
    believed belly bench better bevel billed binge black blade blank blast blend bloat block blocked blocks blowing
    blown blows board boats boiling bolts bonus boost booth boots bound bowls bracket brain brake brakes breach
    bread break breaks breed bridge bring broad brown brush build built bulbs bumps burning burns buses cabin cable
    cables calls candle canon captions carried carries casting catch cause caused caution cease censor certain chain
    chair chance change chapters charge chart charts chase check cheek chest chick chief chime choke chose circle
    claim clamp clamps class clean cleaned clear cleared cleat click climb climbs cling clock clone close closer
    closes cloud coach coarse coast coats codes coils colder color combat comes commuter compare compared compares
    complete computer connects controlled controller coped copper cores costs counts course cover cowls crack cracks
    craft crane crank crash creed creep crews cross crown cruise cycle damage damaged dated decent deck decks defect
    delay demand descend descent desert detect device differ digit dinner direct discharged disco diver docks doors
    doses double doubt dowel draft drain drains drawn draws dress dries drift drill drink drive driven driver drives
    drone drops drums early earth eight eights either elect elevate elevation emptied empties enter entry equal
    error event exact excess exhaust exist exits expect expert extend extent failing fails faint falls faster father
    fault faults faulty feather feeds fender fever fiber field fifth fight fights filed files filled filler fills
    filter final fire fired fires first fitter fixed flags flake flame flaps flare flash flat flats fleet flesh
    flight flights flint float flock flood floor flour flower flowing flown flows fluid flush flute flyer focal
    folder folds font force forge forks forms forth found founded frame frank fresh front frost froze fuels fumes
    fused fuses gages gains gases gates gauge gears giant given gives glare glass glide globe gloves glows grade
    grain grains grand grant graph grass grate gravel great green grill grind grip gripe grips gross ground group
    grove grows guard guess guest guide hands hangar hanger hangs haste hatch hatches hauls head header headers
    heading heads heals heaps heard hearing heart heated heater heaters heating heats heels height heights held
    hides hinder hinge hired hitch hoist hold holds hole holed holes hooks hoses hotel hours house hover human icing
    ideal idler image impel inflate inflated inlet inner input inputs insert inset inside intake intent inter invert
    issue items joint jumps kilns knobs knots known lamps land landing lands larger laser last lasts latch later
    lateral latitude layer leader leading leads leaking leaks leans learn learnt least leather leaving ledge letter
    letting level levels lever levers lifts light lights limbs limit limited lined linen liner lines links lists
    liter lives loading loads local locked locker locks logic looks loops loose loosen looser loses lost lower
    lowering lowers lucid macro magnet major maker makers makes manor manual march marker marking marks masks master
    masts match matched matches mater matter meals means meant measure measured medal media meets merge metal meter
    meters might miles minor minus mixed mixer mixture model modem modes moist molar moment money month moored moral
    motion motor motors mount mouse mouth moved moves movie mower multi music nacelle naked named names narrow naval
    nearby nearly needs neither never night nights noise north nose noses noted notes nozzle number nurse observer
    observers ocean offer oiled oiler older omit onset opens opera order other ought outer outlet output outside
    overhead ower oxide packs paddle pains paint painted panel panels panes paper parking parts passed passes paste
    patch patches pause pedal phase pilot pilots pipes piston pitch pitches pitot pivot place places plain plane
    planes plans plant plate plates plots plugs plumb point points poise poles ports posts pouch pound pounds power
    practice practise press presses pressure price pride prime primer print printed printer prior prism probe probes
    prone proof props proud prove pulls pulse pumps purge pushed quick quiet quilt quite quota radar radio radios
    rafts rails rains raise raises ramps range ranges rapid rated rates rather rating ratio reach reached reaches
    react read reader reading readings reads ready reason rebel recess record recover recovery reels refer relax
    relay relays release released releases relief remit remote remove removed removes renew repair repel replace
    replaced replaces reply required requires resent reserve reset resin rest rests retard retract return reverse
    rider ridge rifle right rights rigid ring rings risen rises river roads rocket rolls roots rotor rotors rough
    round rounded route router rover rowing rudder ruler rules runaway runway safer sails salty salve sample sauce
    saves saying scale scales scope score scrap screen screw seals search season seated seats second section sector
    seize seized sender sense sensor series serve serves sets setting settling seven shade shaft shake shakes shape
    share shared sharp shear sheds sheet shell shield shift ships shock shoes shore short shorted shorter shot shots
    shout shouts shown shows shunt shuts sick side sided sides sight sights signal signs silence silenced simple
    simply siren sites sixth size sizes skids skill skirt slack slant slats sleep sleet slice slick slide slides
    slings slips slope slots slower slows small smart smell smoke snake snaps sneak socket solar solid sonar sound
    sounds south space spade spare spark speak speaking speed speeds spell spend spent spice spike spill spins split
    spoke spool spoon sport spots spray spread squib stable stack staff stage stages stair stake stale stall stalls
    stamp stand stands stark stars start started starter starts state stated states static station stator stayed
    staying stays steal steam steel steep steer stems steps stern stick sticks stiff still stock stone stones stool
    stoop stops store stored stores storm stove stowed straight strain strand strap straps stray stream strip strips
    strobe stroke strong struck struts stuck studs stuff style suction supper surge surges sweep sweet swell swept
    swing swings switch switched switches table tables tacks tails taken takes tales tanker tanks tapes tasks taste
    taxed taxes taxiing taxing teach team teams tears tells tender tense tension tenth tests thanks there thermal
    these thick thing things think third thirds those three throw thrown throws thrust thumb tight tilts timed timer
    timers times tires title toast today toggle token tones tools tooth topic torch torque total touch tough towed
    tower towering towers towing trace traced traces track tracks tract trade trail train trained trains trait
    trapped traps travel trays tread treat tree trend trial tribe trick tried trims tripped trips truck trucks truly
    trunk trust truth tubes tuned tuner turbine turbo turning turns tutor twice twist under union unite units until
    upper upset urban usage usual vague valid value values valve valves vapor vault vector vents venue verse vessel
    video views viper visor vital vocal voice volts voted wafer wages waist waits wakes wants warming warms warning
    warns waste watch watches water waves weaker wears weather wedge weigh weighs weight weights wells wharf wheel
    wheels whenever where wherever which while white whole whose wider widow width winch winder winds wings winner
    winter wipe wiper wiping wired wires wiring witch witness wives words working works world worse worst would
    wound wreck wrist write wrong yards years yield young zones
"""
NO_SLIPS = frozenset(map(spelling, _NO_SLIPS.split()))
"""Words that are never another word's slip: common words of five letters or more that lie one slip from a word of the
trade, and those themselves (`pilot` and pitot, `altitude` and attitude, `light` and right, `warming` and warning)."""
