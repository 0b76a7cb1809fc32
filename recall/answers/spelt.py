"""Numbers in words as digits: `forty-five minutes`, `minus twenty nine`, `one point five`, `half an hour`."""

from decimal import Decimal

from recall.answers.rewriting import rewriting
from recall.base import regex as re

_SAID = """
    zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen
    eighteen nineteen
"""
_ONES = tuple(_SAID.split())
_TENS = {
    "twenty": 20,
    "thirty": 30,
    "forty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "ninety": 90,
}
_VALUES = {word: at for at, word in enumerate(_ONES)} | _TENS | {"niner": 9, "nought": 0}
_POWERS = {"hundred": 100, "thousand": 1000}
_WORD = "|".join((*_VALUES, *_POWERS))
_NUMBER = re.any_case(
    rf"\b(?:an?\s+(?=hundred|thousand))?(?:{_WORD})\b"
    rf"(?:(?:[\s-]+|(?<=hundred)\s+and\s+|(?<=thousand)\s+and\s+)(?:{_WORD})\b)*"
    rf"(?:\s+(?:point|decimal)(?:[\s-]+(?:{'|'.join(_ONES[:10])}|niner)\b)+)?",
)
_NUMERAL = "|".join(_ONES[1:10])
_parts = rewriting(
    rf"""
    \b({_NUMERAL}) oh (?=(?:{_NUMERAL})\b) => \1 zero~
    \bhourly\b|\bevery[ -]hour\b => every 1 hour
    \bhalf (?:an )?hour\b => 30 minutes
    \bhalf a minute\b => 30 seconds
    (?:\b(?:one[- ])?half (?:an? )?|(?<![\d/.])1[/⁄]2 ?|½ ?)(?=(?:[sn]m|(?:statute |nautical )?mile|inch)) => 0.5~
    \b(?:an?|one|1) (hour|minute|second|day) and a half\b => 1.5 \1s
    \b(?:three|3) quarters of an hour\b => 45 minutes
    \b(?:a )?quarter of an hour\b => 15 minutes
    (?:^|(?<=minus )|(?<=negative ))point (?=(?:zero|{_NUMERAL})\b) => zero point~
    (?:^|(?<=for )|(?<=than ))(?:an (?=hour\b)|a (?=(?:minute|second|day|week)\b)) => 1~
"""
)


_MANY = re.any_case(r"\b(\d{1,3}(?:\.\d+)?) (hundred|thousand)\b")
_HALF = re.any_case(r"\b(\d+)(?: and a half\b| 1/2\b| ?½)")


def with_digits(text: str) -> str:
    """The text with each number in words written in digits."""
    text = _parts(text)
    text = _MANY.sub(
        lambda found: f"{(Decimal(found[1]) * _POWERS[found[2].casefold()]).normalize():f}", text
    )
    text = _NUMBER.sub(lambda found: _digits(found.group()), text)
    return _HALF.sub(r"\1.5", text)


def _digits(said: str) -> str:
    whole, _, behind = re.sub(r"\b(?:decimal)\b", "point", said.casefold()).partition("point")
    words = [word for word in re.split(r"[\s-]+", whole) if word and word not in ("and", "a", "an")]
    if len(words) > 1 and all(_VALUES.get(word, 10) < 10 for word in words):
        number = "".join(str(_VALUES[word]) for word in words)
    else:
        numbers = _sums(words)
        if len(numbers) == 2 and numbers[0] < 100 and 10 <= numbers[1] < 100:
            numbers = [numbers[0] * 100 + numbers[1]]  # `two fifty`
        number = " ".join(map(str, numbers))
    decimals = "".join(str(_VALUES[word]) for word in re.split(r"[\s-]+", behind.strip()) if word)
    return f"{number}.{decimals}" if decimals else number


def _sums(words: list[str]) -> list[int]:
    """The numbers that follow each other: `twenty nine` is one, `one twenty` two."""
    numbers: list[int] = []
    total, part, last = 0, 0, 0
    for word in words:
        if word in _POWERS:
            part = max(part, 1) * _POWERS[word]
            if word == "thousand":
                total, part = total + part, 0
            last = _POWERS[word]
        else:
            value = _VALUES[word]
            if last and (last <= value or last < 20):
                numbers.append(total + part)
                total = part = 0
            part, last = part + value, value
    return [*numbers, total + part]
