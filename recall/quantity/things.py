"""Words that are units of things counted, of two units at once, or of none."""

from recall.base.text import word_set

# Words that name things to count, in the singular or as they stand.
COUNTED = word_set("""
    passenger person people pax crew soldier paratrooper seat occupant litter stretcher patient cycle start landing
    car attempt time turn engine pump battery blade bag aircraft step item pallet bottle shot charge door raft vest
    pilot generator approach takeoff flight point question dose mask man men woman women child children sortie jump
    jumper survivor tyre tire wheel tank light page count each unit piece
""")

# Words that could be one of two units: never guessed.
TWO_UNITS = word_set("mile miles ton tons pint pints mil mils")

# Words that end like a plural and name nothing that is counted.
NOT_THINGS = word_set(
    "always sometimes unless across towards besides perhaps whereas plus minus various others degrees"
)
