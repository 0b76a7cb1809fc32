"""Lists of words by which sentences and cells are judged."""

from recall.base.text import word_set


def by_role(text: str) -> dict[str, tuple[str, ...]]:
    """Role → header names, from lines such as `role: name, low|high limit, next|`: each of several words, or none,
    with `_` for a blank inside one."""
    roles: dict[str, tuple[str, ...]] = {}
    role, *pieces = f"{' '.join(text.split())} ".split(": ")
    for piece in pieces:  # each ends in the next role
        names, _, following = piece.rpartition(" ")
        roles[role] = tuple(dict.fromkeys(name for said in names.split(",") for name in _each(said)))
        role = following
    return roles


def _each(names: str) -> list[str]:
    if "|" not in names:
        return [names.strip().replace("_", " ")]
    ways = [""]
    for word in names.split():
        ends = word.split("|")
        ways = [f"{way} {end}" if end else way for way in ways for end in ends]
    return [way[1:].replace("_", " ") for way in ways]


SIDES = word_set("""
    left right inside outside inner outer inboard outboard upper lower forward aft front rear port starboard ac
    dc a.c d.c in before after above below over under inlet outlet inbound outbound hot cold
""")
"""Opposites that name two things rather than two states of one."""

SIGNALS = word_set("""
    note notes warning caution danger important info tip hint todo fixme remark remarks example examples step
    on off yes no open closed auto arm armed test if then else and or not the all any new old see warn error
""")
"""Words in capitals that introduce or set something and are no abbreviations."""

GENERAL = word_set("""
    a abnormal about additional advice also an and appendix background basic caution cautions common condition
    conditions consequence consequences considerations contents data description detail details effect effects
    emergencies emergency example examples failure failures faq fault faults feature features following for from
    general guide how important in information inhibit inhibits instruction instructions interlock interlocks
    introduction issue issues item items key known knowledge limit limitation limitations limits list logic main
    memory misc miscellaneous mitigation more normal note notes of on operating operation operations other others
    overview page part points principle principles problem problems procedure procedures protection protections
    question questions reference references remarks requirements rule rules safety section setup special start summary
    system systems the things tips to topic topics trouble troubleshooting usage use using warning warnings what
    when why with
""")
"""Words of headings that name no thing by themselves."""

ORDERS = word_set("""
    abandon abort acknowledge acquire activate add adjust advance advise agree aim align allow alternate
    announce answer apply approach arm ask assemble assess assign attach avoid await be begin bleed boil break
    brief bring build bypass calculate calibrate call cancel carry cast change check choose clamp clean climb
    close collect combine command communicate compare compile complete compute configure confirm connect
    consider consult contact continue control copy count crank create cross-check crosscheck crossfeed cut cycle
    deactivate decide declare decrease deflate defuel delete deplane deploy depressurise descend deselect detach
    detect determine dip disable disarm disassemble disconnect discontinue disembark disengage dismount dispose
    ditch divert do don't double-check download drain dry eject employ empty enable energise energize engage
    ensure enter equalise erase establish evacuate evaluate examine execute exit expand extend extinguish fasten
    feather fetch fill find finish fire flip flush fly follow get give go grab hang haul have help hoist hold
    home identify ignore immerse implement incline increase inflate inform initialise initialize initiate inject
    insert inspect install interrupt investigate isolate jettison keep kill land latch lay leave let limit
    listen locate lock loosen lower lubricate maintain make measure mix monitor motor move navigate neutralise
    never notify observe obtain offload open operate orient overhaul park pass paste pay perform pick place plan
    plug pour preheat prepare press pressurise proceed protect pull purge push put raise rake re-engage rebuild
    recharge recheck reconnect record recover recycle reduce refer refill refit regain regard reinstall reject
    relax release relight reload relock remain remember remind remount remove reopen repair repeat replace
    report repressurise require reset respond rest restore resume retard retract retrieve return reverse review
    rinse rotate run save say scroll search secure see seek select send separate service set shed shout show
    shut sign sit slacken slow solder spray squawk squeeze stabilise stand start stay steer stir stop store stow
    strap suspend swap sweep switch synchronise synchronize take tap taxi tell test throttle throw tie tighten
    top transfer transmit trim try tune turn unclamp unclip uncover undo unfasten unfold unhook uninstall
    unlatch unload unlock unpack unplug unscrew untie unwind update upload use vacate validate vent ventilate
    verify wait warn wash watch weigh wipe withdraw write
""")
"""First words of orders."""

NAMES_TOO = word_set("""
    answer approach bleed brake break brief check clamp climb control count crank cut dip drain drop empty fill fire
    flush fly haul hoist hold increase land lay limit lock lower measure mix motor open park pass paste pick plan plug
    press purge raise recharge record reset restore return reverse review rotate search separate service shed shout
    show slow spray stand start stir stop strap sweep switch tap taxi test throttle throw tie transfer trim tune
    update upload vent warn wash watch weigh
""")
"""Orders that may also name a thing (`check valve`, `transfer pump`)."""

DONE = word_set("""
    aboard adjusted aligned amber applied armed auto automatic blue briefed check checked clean clear closed
    complete completed confirm confirmed connected correct counted cut-off cutoff desired disarmed disconnected
    disengaged displayed done down dry empty engaged extended fastened feather feathered firm full green guarded
    heard idle in latched level loaded locked maximum minimum neutral normal noted obtained off on open out
    planned press pull push ready received red released removed required reset retracted running secure secured
    seen selected set shut stable standby started stby stopped stowed tested tight turn unlocked up white zero
""")
"""Last words of what a control, a gauge or a person is brought to."""

POSITIONS = DONE | word_set("""
    aft alt arm both bright cold cut dim emergency fast flight forward ground high hot immediately land landing
    lean left low manual max min rich right sea slow takeoff test water
""")
"""What a control is brought to, where it stands in capitals."""

VACUOUS = word_set("""
    advisable any apparent applicable appropriate available believed best better clear cold complete completed
    considered dark decided desirable desired determined done doubt else equipped evident false
    fitted hot important impossible installed known likely necessary needed not possible practicable practical present
    raining ready recommended required safe said snowing so successful suspected thought time true
    unavailable unknown unlikely unsafe unsuccessful unsure warm windy worth
""")
"""Conditions that say nothing alone: `If necessary`, `If in doubt`, `When installed`, `it is known`."""

LOOSE_ENDS = word_set("""
    a also always an and are both but can common could did do does for from generally if is likely longer main may
    might never no normally not of often only or other possible probable probably rarely root should sometimes that
    the these this to typically usually was were what when which who why will would
""")
"""Words that a subject can't end with: what follows them isn't said of it, or not for sure."""

CLAUSE_WORDS = word_set("""
    although are because but can could if is may means might must says shall should that was were when which while
    who will would
""")
"""Words that show that a subject is no plain name."""

ASIDE = word_set("a an and as at by for from in is no of on or the to with")
"""Words that stay in lower case in a title."""

OPENERS = word_set("""
    after also although and as because before but check confirm e.g ensure for however if make note once or
    otherwise remember since so that then therefore though thus unless until verify when while
""")
"""Words at the head of a sentence whose subject comes later, or which is told to somebody."""

ELSEWHERE = word_set("click consult read refer see visit")
"""Words that send the reader somewhere else."""

AFTER_ORDER = word_set(
    "a again all an any at both by down each every everything for in it its off on once out that the this to until "
    "up with"
)
"""Words after `check` or `transfer` that show an order."""

BEFORE_NOUNS = word_set("""
    about above across after against all along also and are around as at because before behind below beside between
    beyond both but by can do does down during each even for from half has have if in inside into is just like may
    most must near nor not of off on only onto or out outside over past per since some such than that though through
    to towards under unless until up upon via was were when where whether which while who will with within without
""")
"""Words that stand before an article and are no verb that takes what follows."""

VERBS = word_set("""
    appear are aren't become begin can can't cannot converge decrease detect detects did dies disconnect
    disengage do drift drop exceed fail failed fall goes had happen has have illuminate increase indicate is
    isn't meet move occur receive remain rise sees senses separate show start stay surge vibrate was were will
    won't appears approaches becomes begins bends blocks boils breaks burns bursts catches chatters clears
    cavitates chafes climbs clogs closes collapses comes connects converges cools corrodes cracks creeps crumbles
    curdles darkens decreases deflates dents derates descends dims disconnects disengages does drains dries drifts
    drips drops empties engages enters evaporates exceeds expands extends fades fails falls fills flames flashes
    flickers floats floods fouls freezes gets grows hangs happens hardens heats holds hunts ignites illuminates
    increases indicates isolates jams jerks jumps leaks leaves lies lights locks loosens loses lowers meets melts
    misfires misses moves needs occurs opens oscillates overcharges overflows overheats overspeeds overtakes
    pitches pulsates quits raises rattles reaches rears receives reduces relights remains resets restarts retracts
    reverses rises rolls rots runs rusts sags scorches seeps seizes separates settles shakes shows shrinks shuts
    sinks slackens slides slips slows smoulders softens sounds sours spins spoils squeals stalls stands starts
    starves stays steers sticks stiffens stops stutters surges sweats swells swings takes tears thaws thickens
    tilts tips topples transfers trips turns unloads vibrates wanders warms warps wears weakens weeps widens wilts
    withers wobbles yaws
""")
"""Verbs by which a clause (`the pump fails`) is told from a name (`pump failure`)."""

NEGATING = word_set("not never no don't doesn't isn't aren't cannot can't won't nor neither")
"""Words with which `only when` is turned round."""

TELLING = word_set("""
    collects contains displays formats gives keeps lists outputs prints puts reports returns saves sends shows stores
    writes
""")
"""Verbs whose object may be `the test results in …`."""

CONNECTIVES = word_set("""
    although and as because but e.g especially except for i.e if in including instead not or particularly rather since
    so such though thus to unless when where which while who with without
""")
"""Words at the head of a clause that belongs to what stands before it: no consequence begins there."""

PARTICIPLES = word_set("""
    begun bought broken built caught chosen done drawn driven fed found frozen given held hit hung kept known laid led
    left lost made met paid put read run seen sent set shown shut stuck taken told understood unset worn written
""")
"""Participles besides those in -ed: `When set to 1` doesn't say what is set."""

AFTER_PARTICIPLE = word_set("""
    a an all and any as at before by down during for from in into off on or out over the through to under until up
    with within without
""")
"""Words after a participle that has no subject; before a noun it is only its adjective (`Failed pumps stop`)."""

STRESSED = word_set("""
    a always am an any are as at be been before after below above both but by can cannot do does done each every
    first for from has have if in into is it its last least less may more most must never no none not nothing
    now of one only or other our out over per pm same shall should so than that their them then there these they
    this those through to too two under until upon us use very was we were what when where which while who why
    will with within without would you your also because between during every again
""")
"""Words that stand in capitals to be stressed."""

MEASURES = dict.fromkeys(("level", "quantity", "load", "flow", "range", "capacity", "rate"), "") | {
    "temp": "temperature",
    **dict.fromkeys(("weight", "mass"), "mass"),
    **dict.fromkeys(("tension", "force", "thrust"), "force"),
    **dict.fromkeys(
        word_set("length width height size diameter depth draught draft thickness clearance"), "length"
    ),
    **{
        word: word
        for word in word_set("pressure temperature voltage current speed torque time power volume frequency")
    },
}
"""What is measured of a thing, and of which dimension that is; empty where it may be of several."""

QUANTITIES = frozenset(MEASURES) | word_set(
    "accuracy resolution oil fuel air operating rated nominal ambient storage input output supply"
)
"""Words that name a quantity but no system: `Oil pressure` of the engine and of the APU are two things."""

STATES = word_set("""
    active alive amber blocked broken burnt charged clogged closed cold contaminated cracked dark dead deflated
    dirty discharged dry empty engaged exhausted failed flat flooded frozen full green heavy high hot iced
    inoperative jammed leaking light locked loose lost low missing off on open out overheated red seized short
    shut slack slow stuck unlocked unstable
    unusable weak wet worn wrong
""")
"""What a thing is, where a phrase names it with its state (`nose heavy`, `dead battery`)."""
