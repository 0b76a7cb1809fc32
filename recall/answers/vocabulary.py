"""Words that marking must know: what turns a meaning round, what says the same, what is no slip.

Opposites, small words and everyday short forms: common practice, no source; many of the short forms stand among the
contractions of FAA Order JO 7340.2 (from memory).
"""

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
OPPOSITES = frozenset(frozenset(pair.split()) for pair in _OPPOSITES.split("|"))
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
    equip:equipment ext:external flt:flight freq:frequency fwd:forward gen:generator gnd:ground hdg:heading
    horiz:horizontal hyd:hydraulic hydr:hydraulic ident:identification ign:ignition
    ind:indicator,indication,indicated inop:inoperative inst:instrument instr:instrument int:internal inv:inverter
    ldg:landing lh:left loc:localizer lt:light,left lub:lubrication mag:magnetic,magneto maint:maintenance
    man:manual max:maximum mech:mechanical min:minimum msg:message nav:navigation norm:normal oper:operating
    oxy:oxygen pax:passenger,passengers pnl:panel pos:position posn:position pres:pressure press:pressure
    prox:proximity prop:propeller pwr:power qty:quantity rad:radio rcvr:receiver recirc:recirculation
    ref:reference reg:regulator rel:release res:reserve rev:reverse rh:right rt:right rly:relay rud:rudder
    rwy:runway sec:secondary sel:selector sig:signal spd:speed stab:stabilizer stby:standby stdby:standby
    std:standard sw:switch sys:system syst:system tach:tachometer temp:temperature tk:tank tq:torque trq:torque
    turb:turbine vert:vertical vib:vibration vlv:valve vol:volume warn:warning wx:weather xfeed:crossfeed
    xfer:transfer xpdr:transponder xpndr:transponder
"""
LONG = {short: frozenset(words.split(",")) for short, words in (entry.split(":") for entry in _SHORT.split())}
"""Each short form with the whole words that it may stand for, in our one spelling."""

_NO_SLIPS = """
    accent aerial alarm alter altitude annual aptitude areal ascend ascent assent attitude ballet ballots bands
    banks bearing belly bevel billed binge black blade blank blast blend bloat block board boats bolts bonus boost
    booth boots bound bowls bracket brain brake brakes breach bread break breaks breed bridge bring broad brown
    brush build bulbs bumps burns cabin cable cables candle canon casting cause caution cease censor chain chair
    chance change charge chart charts chase check cheek chest chick chief choke chose circle claim clamp class
    clean clear cleat click climb cling clock clone close closer cloud coach coarse coast coats coils color combat
    coped copper cores cover cowls crack cracks craft crane crank crash creed creep crews cross crown cruise cycle
    dated decent deck decks defect delay demand descend descent desert detect device differ digit direct disco
    docks doors doses double doubt dowel draft drain drawn drift drill drink drive driver drone drops drums early
    earth eight eights elect elevate elevation enter entry equal error event exact excess exhaust exist expect
    expert extend extent fails faint fault fever fiber field fifth fight files filler fills filter final fired
    fires first fitter fixed flags flake flame flaps flare flash flats fleet flesh flight flint float flock flood
    floor flour flows fluid flush flute flyer force forge forks forms forth frame frank fresh front frost froze
    fuels fused fuses gages gains gases gates gauge gears giant given glare glass glide globe gloves grade grain
    grand grant graph grass grate great green grill grind grip gripe grips gross group grove guard guess guest
    guide hands hangar hanger hatch hauls heading heads heals heaps heard hearing heart heated heater heaters
    heating heels height hinge hitch hoist holds holes hooks hoses hotel hours house hover human icing ideal idler
    image impel inlet inner input inputs insert inset inside intake intent invert issue items joint jumps kilns
    knobs knots lamps landing lands larger laser latch later lateral latitude leading leads leaks least leather
    ledge level levels lever levers light lights limbs limit lined linen liner lines links lists liter loading
    loads local locked locks logic loops loose looser lower lucid macro magnet major maker manor manual march
    marker marking marks masks masts match mater matter meals meant medal media meets merge metal meter meters
    might miles minor minus mixed mixer mixture model modem modes molar moment money month moored moral motion
    motor motors mount mouse mouth moved movie mower multi music nacelle naval never night nights noise north nose
    noses noted notes nozzle number nurse ocean offer oiled oiler older omit onset opens opera order other ought
    outer outlet output outside oxide packs paddle pains paint panel panels panes paper parking parts passed paste
    patch pause pedal phase pilot pilots pipes piston pitch pitot pivot place plain plane planes plans plant plate
    plates plots plugs plumb point points poise poles ports posts pound pounds power press presses pressure price
    pride prime primer print prior prism probe probes prone proof props proud prove pulls pulse pumps purge pushed
    quick quiet quilt quite quota radar radio radios rafts rails raise ramps range ranges rapid rated rates rather
    rating ratio reach react reader reads ready rebel recess record reels refer relax relay relays release relief
    remit renew repair repel reply resent reserve reset resin rests retard retract return reverse rider ridge
    rifle right rights rigid rings risen river roads rocket rolls roots rotor rotors rough round route rover
    rowing rudder ruler rules safer sails salty salve sauce scale scales scope scrap screen screw seals search
    seats second section sector seize sender sense sensor series serve serves sets seven shade shaft shake shape
    share sharp shear sheds sheet shell shield shift ships shock shoes shore short shots shout shown shunt shuts
    sides sight sights signal signs siren sites sixth skids skill skirt slack slant slats sleep sleet slice slick
    slide slides slings slips slope slots slows small smart smoke snake snaps sneak socket solar solid sonar sound
    south space spade spare spark speak speed speeds spell spend spent spice spike spill spins split spool spoon
    sport spots spray spread squib stack staff stage stages stair stake stale stall stalls stamp stand stands
    stark stars start starter starts state states static station stator stays steal steam steel steep steer stems
    steps stern stick sticks stiff still stock stone stool stoop stops store stored stores storm stove stowed
    straight strain strand strap straps stray stream strip strips strobe stroke strong struck struts studs stuff
    style surge surges sweep sweet swept swing switch table tables tacks tails taken tales tanker tanks tapes
    tasks taxed taxes taxiing taxing teams tears tense tension tenth tests thermal thick thing third thirds throw
    thrown thrust thumb tight tilts timed timer timers times tires title toast today toggle token tones tools
    tooth topic torch torque total touch tough towed tower towers towing traced traces track tracks tract trade
    trail train trains trait traps trays tread treat trend trial tribe trick tried trims trips truck trucks truly
    trunk trust truth tubes tuned tuner turbine turbo turns tutor twice twist under union unite units until upper
    upset urban usage usual vague valid value values valve valves vapor vault vector vents venue verse vessel
    video views viper visor vital vocal voice volts voted wafer wages waist warming warms warning warns waste
    watch water waves wears weather wedge weigh weight weights wells wharf wheel wheels where which white whole
    wider widow width winch winder winds wings wiper wiping wired wires wiring witch wives words works world worse
    worst would wound wreck wrist write wrong yards years yield young zones
"""
NO_SLIPS = frozenset(_NO_SLIPS.split())
"""Words that are never another word's slip: common words of five letters or more that lie one slip from a word of the
trade, and those themselves (`pilot` and pitot, `altitude` and attitude, `light` and right, `warming` and warning)."""
