"""The trade's units: shown name, dimension, reference, exact size in SI, spellings.

Factors: NIST SP 811 (2008), appendix B, and the exact definitions it rests on. A plain gallon, quart and their
flows are the US ones; an imperial one has to say so.
"""

from fractions import Fraction

FOOT = Fraction("0.3048")
INCH = FOOT / 12
POUND = Fraction("0.45359237")
GRAVITY = Fraction("9.80665")
POUND_FORCE = POUND * GRAVITY
PSI = POUND_FORCE / INCH**2
GALLON = Fraction("3.785411784") / 1000
IMPERIAL = Fraction("4.54609") / 1000
MERCURY = Fraction("133.322387415")  # conventional millimetre of mercury, Pa
HOUR = 3600
ZERO_CELSIUS = Fraction("273.15")
ZERO_FAHRENHEIT = Fraction("459.67") * Fraction(5, 9)

# name, dimension, reference, factor to the SI unit, spellings; a spelling is taken in any case unless two units
# would then share it, or it starts with "=" (exactly as written).
UNITS: tuple[tuple[str, str, str, Fraction | int, str], ...] = (
    ("kt", "speed", "", Fraction(1852, 3600), "kt kts kn knot knots"),
    ("mph", "speed", "", Fraction(5280 * 12) * INCH / HOUR, "mph mi/h mile/h miles/h"),
    ("km/h", "speed", "", Fraction(1000, 3600), "km/h kph kmh kmph km/hr"),
    ("m/s", "speed", "", Fraction(1), "m/s m/sec mps metres/second meters/second"),
    ("mm/s", "speed", "", Fraction(1, 1000), "mm/s mm/sec millimetres/second"),
    ("cm/s", "speed", "", Fraction(1, 100), "cm/s cm/sec"),
    ("in/s", "speed", "", INCH, "in/s in/sec ips inches/second"),
    ("m/min", "speed", "", Fraction(1, 60), "m/min m/minute metres/minute meters/minute"),
    ("mm/min", "speed", "", Fraction(1, 60000), "mm/min mm/minute"),
    ("in/min", "speed", "", INCH / 60, "in/min ipm inches/minute"),
    ("mm/rev", "feed", "", Fraction(1, 1000), "mm/rev mm/r mm/turn"),
    ("in/rev", "feed", "", INCH, "in/rev ipr"),
    ("m/s²", "acceleration", "", Fraction(1), "m/s² =m/s2 m/sec²"),
    ("ft/min", "speed", "vertical", FOOT / 60, "ft/min fpm feet/minute feet/min ft/minute foot/min"),
    ("Mach", "mach", "", Fraction(1), "mach mach_number =M"),
    ("ft", "length", "", FOOT, "ft foot feet"),
    ("m", "length", "", Fraction(1), "=m metre metres meter meters mtr"),
    ("km", "length", "", Fraction(1000), "km kilometre kilometres kilometer kilometers"),
    (
        "NM",
        "length",
        "",
        Fraction(1852),
        "=NM =nm nmi naut_mi nautical_mile nautical_miles nautical_mi naut_miles",
    ),
    ("SM", "length", "", Fraction(5280) * FOOT, "sm mi statute_mile statute_miles"),
    ("in", "length", "", INCH, "in inch inches"),
    ("μm", "length", "", Fraction(1, 10**6), "μm micron microns micrometre micrometres"),
    ("mm", "length", "", Fraction(1, 1000), "mm millimetre millimetres millimeter millimeters"),
    ("cm", "length", "", Fraction(1, 100), "cm centimetre centimetres centimeter centimeters"),
    ("FL", "length", "pressure altitude", FOOT * 100, "fl flight_level"),
    ("lb", "mass", "", POUND, "lb lbs lbm pound pounds"),
    ("klb", "mass", "", POUND * 1000, "klb klbs"),
    ("oz", "mass", "", POUND / 16, "oz ounce ounces"),
    ("kg", "mass", "", Fraction(1), "kg kgs kilogram kilograms kilo kilos"),
    ("t", "mass", "", Fraction(1000), "=t tonne tonnes metric_ton metric_tons"),
    ("US gal", "volume", "", GALLON, "gal gals gallon gallons us_gal us_gals us_gallon us_gallons usg usgal"),
    (
        "Imp gal",
        "volume",
        "",
        IMPERIAL,
        "imp_gal imp_gals imp_gallon imp_gallons imperial_gallon imperial_gallons",
    ),
    ("L", "volume", "", Fraction(1, 1000), "l litre litres liter liters ltr"),
    ("gram", "mass", "", Fraction(1, 1000), "gram grams gramme grammes"),
    ("mg", "mass", "", Fraction(1, 10**6), "mg milligram milligrams"),
    ("m²", "area", "", Fraction(1), "m² =m2 sq_m square_metre square_metres square_meter square_meters"),
    ("ft²", "area", "", FOOT**2, "ft² =ft2 sq_ft square_foot square_feet"),
    ("m³", "volume", "", Fraction(1), "m³ =m3 cubic_metre cubic_metres cubic_meter cubic_meters"),
    ("ft³", "volume", "", FOOT**3, "ft³ =ft3 cu_ft cubic_foot cubic_feet"),
    ("mL", "volume", "", Fraction(1, 10**6), "ml millilitre millilitres milliliter milliliters"),
    ("qt", "volume", "", GALLON / 4, "qt qts quart quarts us_qt us_qts us_quart us_quarts"),
    ("lb/h", "mass flow", "", POUND / HOUR, "lb/h pph lb/hr lbs/h lbs/hr lb/hour lbs/hour pounds/hour"),
    ("lb/min", "mass flow", "", POUND / 60, "lb/min lbs/min pounds/minute lb/minute"),
    ("kg/h", "mass flow", "", Fraction(1, HOUR), "kg/h kg/hr kgph kg/hour"),
    ("kg/min", "mass flow", "", Fraction(1, 60), "kg/min kg/minute"),
    ("kg/s", "mass flow", "", Fraction(1), "kg/s kg/sec"),
    (
        "US gal/h",
        "volume flow",
        "",
        GALLON / HOUR,
        "gal/h gal/hr gph us_gal/h us_gal/hr gallons/hour gal/hour",
    ),
    ("US gal/min", "volume flow", "", GALLON / 60, "gal/min gpm us_gal/min gallons/minute"),
    ("Imp gal/h", "volume flow", "", IMPERIAL / HOUR, "imp_gal/h imp_gal/hr"),
    ("L/h", "volume flow", "", Fraction(1, 1000 * HOUR), "l/h l/hr lph litres/hour liters/hour"),
    ("L/min", "volume flow", "", Fraction(1, 60000), "l/min lpm litres/minute liters/minute"),
    ("qt/h", "volume flow", "", GALLON / 4 / HOUR, "qt/h qt/hr qts/hr quarts/hour"),
    ("m³/h", "volume flow", "", Fraction(1, HOUR), "m³/h m³/hr =m3/h =m3/hr cubic_metres/hour"),
    ("m³/s", "volume flow", "", Fraction(1), "m³/s m³/sec =m3/s cubic_metres/second"),
    ("m³/min", "volume flow", "", Fraction(1, 60), "m³/min =m3/min"),
    ("L/s", "volume flow", "", Fraction(1, 1000), "l/s l/sec litres/second"),
    ("mL/min", "volume flow", "", Fraction(1, 60 * 10**6), "ml/min"),
    ("t/h", "mass flow", "", Fraction(1000, HOUR), "=t/h =t/hr tonnes/hour"),
    ("kg/m²", "area density", "", Fraction(1), "kg/m² =kg/m2"),
    ("g/kWh", "specific consumption", "", Fraction(1, 3600 * 10**6), "g/kwh"),
    ("cSt", "viscosity", "", Fraction(1, 10**6), "cst mm²/s =mm2/s centistokes"),
    ("lb/US gal", "density", "", POUND / GALLON, "lb/gal lbs/gal lb/us_gal lbs/us_gal lb/usg pounds/gallon"),
    ("kg/m³", "density", "", Fraction(1), "kg/m³ =kg/m3"),
    ("kg/L", "density", "", Fraction(1000), "kg/l kg/litre kg/liter"),
    ("psi", "pressure", "", PSI, "psi pound/square_inch pounds/square_inch lb/sq_in"),
    ("kPa", "pressure", "", Fraction(1000), "kpa kilopascal kilopascals"),
    ("hPa", "pressure", "", Fraction(100), "hpa hectopascal hectopascals"),
    ("Pa", "pressure", "", Fraction(1), "=Pa pascal pascals"),
    ("MPa", "pressure", "", Fraction(10**6), "mpa megapascal"),
    ("N/mm²", "pressure", "", Fraction(10**6), "=N/mm² =N/mm2"),
    ("kgf/cm²", "pressure", "", GRAVITY * 10**4, "kgf/cm² =kgf/cm2 kg/cm² =kg/cm2 kgf/sq_cm kg/sq_cm"),
    (
        "lbf/ft²",
        "pressure",
        "",
        POUND_FORCE / FOOT**2,
        "psf lb/ft² =lb/ft2 lbf/ft² =lbf/ft2 lb/sq_ft lbs/sq_ft",
    ),
    ("mbar", "pressure", "", Fraction(100), "mbar =mb mbars millibar millibars"),
    ("bar", "pressure", "", Fraction(10**5), "bar bars"),
    (
        "inHg",
        "pressure",
        "",
        MERCURY * Fraction("25.4"),
        'inhg in_hg inches_hg inch_hg inches_mercury "hg "_hg inches_of_mercury inch_of_mercury',
    ),
    (
        "mmHg",
        "pressure",
        "",
        MERCURY,
        "mmhg mm_hg millimetre_of_mercury millimeter_of_mercury "
        "millimetres_of_mercury millimeters_of_mercury",
    ),
    ("mmH2O", "pressure", "", GRAVITY, "mmh2o mmh₂o mm_h2o mmwc mmwg"),
    ("cmH2O", "pressure", "", GRAVITY * 10, "cmh2o cmh₂o cm_h2o cmwc cmwg"),
    ("inH2O", "pressure", "", GRAVITY * Fraction("25.4"), "inh2o inh₂o in_h2o inwc inwg"),
    (
        "°C",
        "temperature",
        "",
        Fraction(1),
        "°c ℃ =C degc deg_c degrees_c celsius deg_celsius degrees_celsius centigrade",
    ),
    (
        "°F",
        "temperature",
        "",
        Fraction(5, 9),
        "°f ℉ =F degf deg_f degrees_f fahrenheit deg_fahrenheit degrees_fahrenheit",
    ),
    ("K", "temperature", "", Fraction(1), "=K kelvin kelvins °k"),
    ("Δ°C", "temperature difference", "", Fraction(1), "δ°c δc =ΔC °c_difference °c_diff"),
    ("Δ°F", "temperature difference", "", Fraction(5, 9), "δ°f δf =ΔF °f_difference °f_diff"),
    ("°C/min", "temperature rate", "", Fraction(1, 60), "°c/min °c/minute k/min"),
    ("°C/h", "temperature rate", "", Fraction(1, HOUR), "°c/h °c/hr °c/hour k/h"),
    ("V", "voltage", "", Fraction(1), "v volt volts"),
    ("kV", "voltage", "", Fraction(1000), "kv kilovolt kilovolts"),
    ("V/cell", "voltage", "per cell", Fraction(1), "v/cell vpc volts/cell"),
    ("μV", "voltage", "", Fraction(1, 10**6), "=μV microvolt microvolts"),
    ("mV", "voltage", "", Fraction(1, 1000), "=mV millivolt millivolts"),
    ("A", "current", "", Fraction(1), "=A amp amps ampere amperes"),
    ("mA", "current", "", Fraction(1, 1000), "=mA milliamp milliamps"),
    (
        "Ah",
        "charge",
        "",
        Fraction(HOUR),
        "ah amp-hour amp-hours ampere-hour ampere-hours amp_hours amp_hour ampere_hour ampere_hours a·h",
    ),
    ("mAh", "charge", "", Fraction(HOUR, 1000), "mah"),
    ("MW", "power", "", Fraction(10**6), "=MW megawatt megawatts"),
    ("mW", "power", "", Fraction(1, 1000), "=mW milliwatt milliwatts"),
    ("W", "power", "", Fraction(1), "w watt watts"),
    ("kW", "power", "", Fraction(1000), "kw kilowatt kilowatts"),
    ("hp", "power", "", 550 * FOOT * POUND_FORCE, "hp bhp horsepower horse_power"),
    ("shp", "power", "shaft", 550 * FOOT * POUND_FORCE, "shp shaft_horsepower"),
    ("VA", "apparent power", "", Fraction(1), "va volt-ampere volt-amperes volt_amperes"),
    (
        "kVA",
        "apparent power",
        "",
        Fraction(1000),
        "kva kilovolt-ampere kilovolt-amperes kilovolt_ampere kilovolt_amperes",
    ),
    ("Wh", "energy", "", Fraction(HOUR), "wh watt-hour watt-hours watt_hour watt_hours"),
    (
        "kWh",
        "energy",
        "",
        Fraction(1000 * HOUR),
        "kwh kilowatt-hour kilowatt-hours kilowatt_hour kilowatt_hours",
    ),
    ("Wh/kg", "specific energy", "", Fraction(HOUR), "wh/kg"),
    ("W/kg", "specific power", "", Fraction(1), "w/kg"),
    ("μF", "capacitance", "", Fraction(1, 10**6), "=μF =uF microfarad microfarads"),
    ("nF", "capacitance", "", Fraction(1, 10**9), "=nF nanofarad"),
    ("pF", "capacitance", "", Fraction(1, 10**12), "=pF picofarad"),
    ("mH", "inductance", "", Fraction(1, 1000), "=mH millihenry"),
    ("μH", "inductance", "", Fraction(1, 10**6), "=μH =uH microhenry"),
    ("dB", "level", "", Fraction(1), "db decibel decibels"),
    ("dB(A)", "level", "A-weighted", Fraction(1), "db(a) dba db_a"),
    ("dBm", "level", "one milliwatt", Fraction(1), "dbm"),
    ("dBi", "level", "isotropic", Fraction(1), "dbi"),
    ("Ω", "resistance", "", Fraction(1), "ω ohm ohms"),
    ("kΩ", "resistance", "", Fraction(1000), "kω kohm kohms kilohm kilohms"),
    ("MΩ", "resistance", "", Fraction(10**6), "=MΩ megohm megohms"),
    ("mΩ", "resistance", "", Fraction(1, 1000), "=mΩ milliohm milliohms"),
    ("J", "energy", "", Fraction(1), "j joule joules"),
    ("kJ", "energy", "", Fraction(1000), "kj kilojoule kilojoules"),
    ("Hz", "frequency", "", Fraction(1), "hz hertz cps"),
    ("kHz", "frequency", "", Fraction(1000), "khz kilohertz"),
    ("MHz", "frequency", "", Fraction(10**6), "mhz megahertz"),
    ("GHz", "frequency", "", Fraction(10**9), "ghz gigahertz"),
    ("N", "force", "", Fraction(1), "=N newton newtons"),
    ("kN", "force", "", Fraction(1000), "=kN kilonewton kilonewtons"),
    ("lbf", "force", "", POUND_FORCE, "lbf pound-force pounds-force pound_force pounds_force"),
    ("kNm", "torque", "", Fraction(1000), "=kNm kn·m"),
    ("daN", "force", "", Fraction(10), "=daN"),
    (
        "Nm",
        "torque",
        "",
        Fraction(1),
        "=Nm n·m n-m =N_m newton-metre newton-metres newton-meter newton-meters newton_metre newton_metres "
        "newton_meter newton_meters",
    ),
    (
        "ft-lb",
        "torque",
        "",
        FOOT * POUND_FORCE,
        "ft-lb ft-lbs ft·lb ft_lb ft_lbs ft-lbf ft·lbf foot-pound foot-pounds foot_pound foot_pounds",
    ),
    (
        "lb-ft",
        "torque",
        "",
        FOOT * POUND_FORCE,
        "lb-ft lbs-ft lb·ft lb_ft lbf-ft lbf·ft pound-foot pound-feet",
    ),
    (
        "in-lb",
        "torque",
        "",
        INCH * POUND_FORCE,
        "in-lb in-lbs in·lb in_lb in_lbs lb-in lb·in in-lbf inch-pound inch-pounds inch_pound inch_pounds",
    ),
    ("%", "ratio", "", Fraction(1, 100), "% percent per_cent pct"),
    ("ppm", "ratio", "", Fraction(1, 10**6), "ppm parts/million"),
    ("lx", "illuminance", "", Fraction(1), "lx lux"),
    ("kB", "data", "", Fraction(8 * 10**3), "=kB =KB kilobyte kilobytes"),
    ("MB", "data", "", Fraction(8 * 10**6), "=MB megabyte megabytes"),
    ("GB", "data", "", Fraction(8 * 10**9), "=GB gigabyte gigabytes"),
    ("TB", "data", "", Fraction(8 * 10**12), "=TB terabyte terabytes"),
    ("KiB", "data", "", Fraction(8 << 10), "kib kibibyte kibibytes"),
    ("MiB", "data", "", Fraction(8 << 20), "mib mebibyte mebibytes"),
    ("GiB", "data", "", Fraction(8 << 30), "gib gibibyte gibibytes"),
    ("TiB", "data", "", Fraction(8 << 40), "tib tebibyte tebibytes"),
    ("MB/s", "data rate", "", Fraction(8 * 10**6), "=MB/s"),
    ("GB/s", "data rate", "", Fraction(8 * 10**9), "=GB/s"),
    ("kbit/s", "data rate", "", Fraction(1000), "kbit/s kbps"),
    ("Mbit/s", "data rate", "", Fraction(10**6), "mbit/s mbps"),
    ("Gbit/s", "data rate", "", Fraction(10**9), "gbit/s gbps"),
    ("rpm", "rotation", "", Fraction(1), "rpm r/min rev/min revs/min"),
    ("s", "time", "", Fraction(1), "s sec secs second seconds"),
    ("μs", "time", "", Fraction(1, 10**6), "μs microsecond microseconds"),
    ("ms", "time", "", Fraction(1, 1000), "ms msec millisecond milliseconds"),
    ("min", "time", "", Fraction(60), "min mins minute minutes"),
    ("h", "time", "", Fraction(HOUR), "h hr hrs hour hours"),
    ("day", "time", "", Fraction(24 * HOUR), "day days"),
    ("week", "time", "", Fraction(7 * 24 * HOUR), "week weeks"),
    ("month", "calendar time", "", Fraction(1), "month months calendar_month calendar_months"),
    ("year", "calendar time", "", Fraction(12), "year years yr yrs"),
    ("°", "angle", "", Fraction(1), "° deg degs degree degrees"),
    ("°/s", "angular speed", "", Fraction(1), "°/s deg/s deg/sec degrees/second °/sec"),
    ("g", "acceleration", "", GRAVITY, "g gs g's"),
)

OFFSETS: dict[str, Fraction] = {"°C": ZERO_CELSIUS, "°F": ZERO_FAHRENHEIT}

# What a unit may be said to be measured against: unit names, reference, short label, spellings behind the unit.
# Units of one dimension with different references never convert into each other.
_ALTITUDES = "ft m km"
_PRESSURES = "psi kPa hPa Pa MPa bar mbar inHg mmHg cmH2O mmH2O inH2O"
_ELECTRIC = "V kV mV A mA"
REFERENCES: tuple[tuple[str, str, str, str], ...] = (
    ("kt mph km/h m/s", "indicated", "IAS", "ias indicated indicated_airspeed"),
    ("kt mph km/h m/s", "calibrated", "CAS", "cas calibrated calibrated_airspeed"),
    ("kt mph km/h m/s", "equivalent", "EAS", "eas equivalent equivalent_airspeed"),
    ("kt mph km/h m/s", "true", "TAS", "tas true true_airspeed"),
    ("kt mph km/h m/s", "ground", "GS", "gs ground_speed groundspeed"),
    (_ALTITUDES, "above ground", "AGL", "agl above_ground above_ground_level above_the_ground"),
    (_ALTITUDES, "above sea level", "MSL", "msl amsl asl above_sea_level above_mean_sea_level"),
    (_ALTITUDES, "above the aerodrome", "AAL", "aal afe afl above_aerodrome_level above_field_elevation"),
    (_ALTITUDES, "pressure altitude", "PA", "pa pressure_altitude"),
    (_ALTITUDES, "density altitude", "DA", "da density_altitude"),
    (_PRESSURES, "gauge", "gauge", "gauge gage (g)"),
    (_PRESSURES, "absolute", "absolute", "absolute abs (a)"),
    (_PRESSURES, "differential", "differential", "differential diff"),
    (_ELECTRIC, "DC", "DC", "dc"),
    (_ELECTRIC, "AC", "AC", "ac"),
    ("%", "N1", "N1", "n1"),
    ("%", "N2", "N2", "n2"),
    ("%", "N3", "N3", "n3"),
    ("%", "Ng", "Ng", "ng"),
    ("%", "Np", "Np", "np"),
    ("%", "Nf", "Nf", "nf"),
    ("%", "Nr", "Nr", "nr"),
    ("%", "torque", "torque", "torque tq trq"),
    ("%", "RPM", "RPM", "rpm"),
    ("%", "power", "power", "power"),
    ("%", "MAC", "MAC", "mac"),
    ("%", "relative humidity", "RH", "rh relative_humidity"),
)

# Short forms that hold unit and reference in one word.
JOINED: dict[tuple[str, str], tuple[str, str]] = {
    ("kt", "indicated"): ("KIAS", "kias"),
    ("kt", "calibrated"): ("KCAS", "kcas"),
    ("kt", "equivalent"): ("KEAS", "keas"),
    ("kt", "true"): ("KTAS", "ktas"),
    ("kt", "ground"): ("kt GS", ""),
    ("psi", "gauge"): ("psig", "psig psi-g"),
    ("psi", "absolute"): ("psia", "psia psi-a"),
    ("psi", "differential"): ("psid", "psid"),
    ("bar", "gauge"): ("bar gauge", "barg"),
    ("bar", "absolute"): ("bar absolute", "bara"),
    ("V", "DC"): ("V DC", "vdc dc_v dc_volt dc_volts"),
    ("V", "AC"): ("V AC", "vac ac_v ac_volt ac_volts"),
    ("A", "DC"): ("A DC", "dc_a dc_amp dc_amps"),
    ("A", "AC"): ("A AC", "ac_a ac_amp ac_amps"),
    ("%", "N1"): ("% N1", "n1_%"),
    ("%", "N2"): ("% N2", "n2_%"),
    ("%", "torque"): ("% torque", "torque_%"),
}

# Units whose amount stands behind them.
BEFORE: dict[str, str] = {"Mach": "M", "FL": "FL"}

# Words that name things to count, in the singular or as they stand.
_COUNTED = """
    passenger person people pax crew soldier paratrooper seat occupant litter stretcher patient cycle start landing
    attempt time turn engine pump battery blade bag aircraft step item pallet bottle shot charge door raft vest pilot
    generator approach takeoff flight point question dose mask man men woman women child children sortie jump jumper
    survivor tyre tire wheel tank light page count each unit piece
"""
COUNTED = frozenset(_COUNTED.split())

# Words that could be one of two units: never guessed.
_TWO_UNITS = "mile miles ton tons pint pints mil mils"
TWO_UNITS = frozenset(_TWO_UNITS.split())

# Words that end like a plural and name nothing that is counted.
_NOT_THINGS = (
    "always sometimes unless across towards besides perhaps whereas plus minus various others degrees"
)
NOT_THINGS = frozenset(_NOT_THINGS.split())
