"""Words by which orders, positions and states are told."""

from recall.kinds.prose.lexicon import ORDERS, ORDERS_TOO, bag

VERBS = (
    ORDERS
    | (ORDERS_TOO - {"fire", "motor", "limit", "transfer", "vent"})
    | bag(
        """
    plug rake slow pay steer pour climb stand sit top
    acknowledge acquire add agree aim align alternate announce answer approach ask assemble assess assign attach
    await be break brief bring build bypass calculate calibrate carry choose collect combine command communicate
    compare compile compute configure consult copy count create crosscheck cross-check cut decide defuel deflate
    delete deploy deplane detach detect determine disable disembark disassemble dismount dispose double-check
    download dry eject employ empty enable energise energize enter equalise erase establish evaluate examine
    expand fasten fetch fill find finish flip flush get give go grab have help hoist identify ignore immerse
    implement increase incline inflate initialise initialize inject insert install interrupt investigate isolate
    jettison kill land latch let listen locate lock loosen lubricate make measure monitor navigate neutralise
    offload operate orient overhaul park pass paste prepare press pressurise protect purge push raise rebuild
    recheck reconnect record recover recycle refer refill refit regain reinstall relax release reload relock
    relight remember remind remount reopen repair repeat replace repressurise require respond restore retrieve
    return reverse review rotate run save say scroll search secure see seek send separate service show slacken
    squawk squeeze stabilise store stow strap suspend synchronise synchronize tap taxi tell transmit tune unclip
    uncover undo unfasten unfold unhook uninstall unlatch unlock unpack unplug unscrew untie unwind update
    upload use vacate validate ventilate warn watch wipe write
    """
    )
)
"""First words of orders."""

STATES = bag(
    """
    on off up down in out open closed shut set idle cutoff cut-off checked check complete completed done removed
    armed disarmed auto automatic normal neutral clear secure secured stowed locked unlocked latched released
    confirmed confirm received obtained required desired planned feather feathered maximum minimum full zero
    tested reset standby stby ready aboard fastened extended retracted engaged disengaged connected disconnected
    displayed aligned adjusted started stopped running stable applied briefed selected seen heard counted noted
    correct guarded tight pull press push turn
    """
)
"""Last words of what a control, a gauge or a person is brought to."""

POSITIONS = STATES | bag(
    """
    manual max min test left right both takeoff landing emergency land sea water ground flight immediately alt
    arm rich lean high low fast slow hot cold forward aft cut feather dim bright
    """
)
"""What a control is brought to, where it stands in capitals."""
