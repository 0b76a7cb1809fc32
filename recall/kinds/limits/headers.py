"""Header names of limits, as people write them: role → names, lower case, singular; the first is used in help."""

from recall.base import regex as re
from recall.base.text import word_set
from recall.kinds.prose.lexicon import by_role

HEADERS = by_role("""
    parameter: parameter, item, limit|limitation|parameter name, quantity, specification, spec, characteristic,
        property, measurement, metric, gauge, instrument, indicator, sensor, attribute, variable, v-speed, v speed,
        airspeed
    minimum: minimum, minimum|min limit|value|, lower|low limit|, lowest, at least, not below
    maximum: maximum, maximum|max limit|value|allowed|, upper|high limit|, highest, at most, not above,
        not to exceed, do not exceed
    normal: normal, normal range|value|operation|, normal operating range, typ, typical|nominal value|,
        green arc|range|
    value: value, limit, limitation, range, operating limit|range, limit|limiting value, threshold, setpoint,
        set point, requirement, permitted|allowed range|, permissible, how much, figure, amount
    caution: caution, alert, amber, yellow, advisory
    warning: warning, critical, shutdown, red line, alarm, trip
    side: side, limit|bound type, type of limit
    unit: unit, unit of measure, uom, u/m, eu, eng unit, engineering unit,
        einheit, unité, unidad, unità, eenheid, enhet
    when: when, flight| phase, phase of flight, configuration, regime, operating| condition, power| setting,
        operating| mode, operation, arc, situation, at, rating, state, colour, color, marking, flap
    for: for, maximum|max| duration, time limit, for how long, maximum|max time
    below: if below|low|below_minimum|too_low|below_limit, below minimum|, when below
    above: if above|high|above_maximum|too_high|above_limit, above maximum, when above
    action: if|when exceeded, exceedance, crew|corrective| action, action if exceeded, on exceedance, if outside limit
""")

ALERTS = {
    word: rank
    for rank, words in enumerate(
        (
            "caution|alert|amber|yellow|advisory|precautionary|prealarm|pre-alarm",
            "warning|warn|alarm",
            "critical|shutdown|shut-down|shut down|slowdown|slow-down|slow down|emergency shutdown|red|redline|"
            "red line|trip|cut|cutoff|cut-off|cut-out|lockout|lock-out|failsafe|fail-safe|abort",
        )
    )
    for word in words.split("|")
}
"""Words for thresholds, and how grave each is."""
JUDGED = {
    **dict.fromkeys(("good", "ok", "ok range", "good range", "healthy"), ("normal", -1)),
    **dict.fromkeys(("watch", "marginal", "attention"), ("caution", 0)),
    **dict.fromkeys(("bad", "act", "act at", "danger", "unsafe", "worn"), ("warning", 1)),
}
"""Words that head amounts as a range or a threshold, and anything else over other cells."""
ACTS_AT = re.any_case(
    r"(?:(?:acts?|opens?|closes?|lifts?|relieves?|blows?|trips?|alarms?|starts?|stops?|cuts? (?:in|out)|shuts?|"
    r"switch(?:es)?|sets?|pops?|fires?|on|off)(?: ?/ ?| ))+at|set to|at|expected(?: (?:value|reading|result)s?)?",
    holds=(" at", "/at", "set to", "expected"),
)
"""Headers of the amount at which something acts by itself, or that a check should find."""
TRIGGER = re.any_case(rf"{ACTS_AT.pattern}|(?:trip |trigger )?(?:thresholds?|set ?points?|triggers?)")
WATCH = re.any_case(
    r"(?:\w+ )?(?:alarm|alert|trip|interlock|protection|trigger|cut-?out|shut-?down)s?(?: name)?"
)
"""Headers over what acts, and over the amounts beyond which it does."""

QUANTITY = re.any_case(
    r"\b(?:torque|pressure|temperature|temp|speed|airspeed|rpm|voltage|current|power|weight|mass|quantity|level|flow|"
    r"altitude|frequency|vibration|itt|tgt|egt|tit|cht|n[1-3]|n[pghr]|mach|load|oil|fuel|depth|height|length|width|diameter|"
    r"thickness|volume|capacity|angle|force|tension|clearance|draught|draft|radius|reach|stroke|concentration|humidity|"
    r"density|strength|swl|wll)\b"
)
ASIDE = re.any_case(
    r"\b(?:default|example|notes?|remarks?|comments?|description|tolerance|accuracy|resolution|error|measured|actual|readings?|"
    r"results?|previous|was|old|new|from|to|step|change|difference|price|cost|interval|"
    r"hysteresis|deadband|delay|reset|clears?|sensor|ours|theirs|today|yesterday)\b"
)
"""Headers of quantities that are no limits of the parameter beside them."""
LIMIT = re.any_case(r"\blimit|\bat$|\brating|\bthreshold|\btrip|\bset ?point|\ballow|\bpermi")
LOGGED = re.any_case(
    r"#|(?:date|time|timestamp|year|month|day|week|no|nr|number|rank|run|sample|benchmark|version|release|issue|id|"
    r"step|file|price|cost|trip|lap|member|person|ingredient|author)s?\.?"
)
"""Headers of logs, lists and measurements: what they number is no condition."""
LOG = re.any_case(
    r"\b(?:logs?|measured|measurements?|trials?|history|records?|samples?|prices?|costs?|budget|inventory|stock|"
    r"benchmarks?|results?|statistics|rota|schedule|changes|changelog|stores|carried?|carry|"
    r"consumed|compared|comparisons?|versus|recipes?|team|diary)\b",
    holds=word_set("""
        log measure trial histor record sample price cost budget inventor stock benchmark result statistic rota
        schedul change stores carr consum compar versus recipe team diary
    """),
)
"""Headings over amounts that were, or are had: no limits unless a header says so."""
PRICE = re.any_case(
    r"\b(?:prices?|costs?|in stock|quantity in stock|supplier)\b",
    holds=("price", "cost", "stock", "supplier"),
)
ARC = re.any_case(r"\b(?:arc|band|marking|colou?r)s?\b")
TAG = re.compile(r"[A-Z]{1,5}[-_ ]?\d[\w./-]*")
NAME = re.any_case(r"desc(?:r|ription)?\.?|name|service|designation|signal|measurement|what")
LONE = re.any_case(r"lower|low|upper|high")
NUMBERED = re.compile(r"[<>≤≥~±+\-\u2212]?\s?\d")
SPELT = re.compile(r"[A-Z]?[a-z]{3,}")
SYMBOL = re.compile(r"[a-zα-ω]{1,2}[A-Z0-9]*")
"""Names such as `fz` and `vc`, whose case says what they are."""
DAY = re.any_case(r"(?:mon|tues?|wed(?:nes)?|thu(?:rs)?|fri|sat(?:ur)?|sun)(?:day)?s?\.?")
"""Days of the week: what stands under or beside them was, or is on that day."""
