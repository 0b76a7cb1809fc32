"""What was typed as a list: its pieces, and the members of a set in them."""

from collections.abc import Callable, Collection, Iterator, Sequence

from recall.answers.model import Lore
from recall.answers.tokens import tokens_of
from recall.answers.vocabulary import SIDES
from recall.answers.words import Reading, compare
from recall.base import regex as re

Find = Callable[[str, Collection[int]], list[int]]


_NAMED = re.compile(r"\d+|[A-Z]")
"""What names one of several: a number, a letter."""
_EACH = re.any_case(r"\b(?:both|all|the (?:two|three|four))\s+(?:the\s+)?([^,;\n]+?)(?=$|[,;\n]|\s+and\b)")


def each_written(given: str, texts: Sequence[str]) -> str:
    """`both starters` written out, where two members or more are called so but for a side or a number."""

    def written(found: re.Match[str]) -> str:
        bare = {
            text: " ".join(
                word for word in text.split() if word.casefold() not in SIDES and not _NAMED.fullmatch(word)
            )
            for text in texts
        }
        named = [text for text in texts if bare[text] != text and compare(found[1], bare[text]) is not None]
        return "; ".join(named) if len(named) > 1 else found.group()

    return _EACH.sub(written, given)


_BULLET = re.compile(r"^\s*([•·‣▪◦*–—-])\s+")
_BETWEEN = frozenset(("and", "or", "then", "first"))
_BEGINS = (r"(?:^|(?<=[\n;,]))\s*", r"(?:^|(?<=[\s;,]))")
_NUMBERS = tuple(map(str, range(1, 100)))
_LISTED = tuple(
    (re.any_case(begins + number), order)
    for number, order in (
        (r"\(?(?:step )?(\d{1,2})\s?[.):–—-]+(?=\s+\S)", _NUMBERS),
        (r"\(?([a-h])\)(?=\s+\S)", (*"abcdefgh", "")),
        (r"(\d{1,2})(?=\s+[^\W\d])", _NUMBERS),
    )
    for begins in _BEGINS
)
"""Numbers and letters of a list, each with those that follow one another from its head."""

_NEXT = re.any_case(
    r"[\n•·‣▪◦]|[,;]?\s+(?:as well as|along with|together with|(?:and )?also|followed by|after that)\s+(?=\w)",
)
"""What parts one from the next, besides commas and the like."""


def listed(given: str, texts: Sequence[str] = ()) -> str:
    """What was typed with semicolons for line ends, bullets and the numbers of a list, which may stand among numbers
    of what is right (texts)."""
    own = {number for text in texts for number in re.findall(r"\d+", text)}
    text = given.strip()
    if bullet := _BULLET.match(text):
        text = re.sub(rf"(?:^|\s)\{bullet[1]}\s+", "; ", text)
    for mark, order in _LISTED:
        found: list[int] = []
        for one in mark.finditer(text):
            if one[1].casefold() == order[len(found)]:
                found.append(one.start())
            elif one[1] not in own:
                break
        else:
            if len(found) > 1 and not found[0]:
                text = mark.sub(lambda one: "; " if one.start() in found else one[0], text)  # noqa: B023
    return _NEXT.sub("; ", re.sub(r"^\(?1[.)]\s+(?=\D)", "", text)).strip("; ")


def in_runs(
    given: str, texts: Sequence[str], lore: Lore, *, exact: bool
) -> tuple[list[int], tuple[str, ...]]:
    """Which texts stand whole in what was typed, with whatever between them, in the order typed; and what is none."""
    found: list[int] = []
    added: list[str] = []
    for line in listed(given, texts).split(";"):
        typed, at, rest = tokens_of(line), 0, list[str]()
        while at < len(typed.words):
            ends = [
                (end, -member)
                for member, text in enumerate(texts)
                if member not in found
                for end, _ in Reading(typed, tokens_of(text), lore, exact).ends(at)
            ]
            if ends:
                added += [" ".join(rest)] if rest else []
                at, member = max(ends)
                found.append(-member)
                rest = []
            else:
                if typed.words[at] not in _BETWEEN or rest:
                    rest.append(typed.said(typed.words[at]))
                at += 1
        added += [" ".join(rest)] if rest else []
    read = [tokens_of(text) for text, _ in _pieces(listed(given, texts))]
    pieces = [" ".join(map(piece.said, piece.words)) for piece in read]
    return found, tuple(part for run in added for part in _parted(run, pieces))


def _parted(run: str, pieces: Sequence[str]) -> Iterator[str]:
    """A run of words that are no member, in the pieces that were typed."""
    while run:
        part = next((piece for piece in pieces if piece and f"{run} ".startswith(f"{piece} ")), run)
        yield part
        run = run[len(part) :].strip()


def members_in(
    given: str, answer: Sequence[str], find: Find, rungs: bool
) -> tuple[list[int], tuple[str, ...]]:
    """Find the members in the pieces of a text, of which as many may make up one as it has itself; an amount and its
    time may be parted."""
    pieces = _pieces(given)
    parts = [max(1 + rungs, len(_pieces(member))) for member in answer]
    found: list[int] = []
    added: list[str] = []
    at = 0
    while at < len(pieces):
        for length in range(min(max(parts), len(pieces) - at), 0, -1):
            among = [member for member, most in enumerate(parts) if most >= length]
            members = find(_joined(pieces[at : at + length]), among)
            if not members and length == 1 and at and re.fullmatch(r"\w{1,2}", pieces[at][0]):
                pieces[at] = re.sub(r"\w+$", pieces[at][0], pieces[at - 1][0]), pieces[at][1]
                members = find(pieces[at][0], among)  # `fans 1 and 2`
            if (
                not members
                and length == 1
                and at + 1 < len(pieces)
                and _JOINED.fullmatch("".join(pieces[at]))
            ):
                whole = re.sub(r"^\S+", pieces[at][0], pieces[at + 1][0])
                members = find(whole, among)  # `left and right pump`
            if members:
                found.append(next((member for member in members if member not in found), members[0]))
                at += length
                break
        else:
            added.append(pieces[at][0])
            at += 1
    return found, tuple(added)


_JOINED = re.any_case(rf"\S+(?:\s+(?:and|&)\s+|\s*[/+]\s*)|(?:{'|'.join(SIDES)}|[lr]h?)\W+")
"""A word that has its noun in common with the next member."""
_AND = r"(?:(?:and|then|&)\b\s*)?"
_COMMA = r"\s*(?:(?<!\d),|,(?!\d{3}\b))"
_PARTS = re.any_case(
    rf"(\s*[;]\s*{_AND}|{_COMMA}\s*{_AND}|\s+(?:and|or|then|plus|&|\+|[-–—])\s+|\s*\+\s*|\s*/\s*|(?<!\bno)(?<!\bnr)\.\s+)",
)
"""A comma between digits groups them where three follow."""


def _pieces(given: str) -> list[tuple[str, str]]:
    """What was typed, in pieces, each with the separator behind it."""
    parts = _PARTS.split(given)
    pieces = list(zip(parts[::2], [*parts[1::2], ""], strict=True))
    return [(text.strip(), between) for text, between in pieces if re.search(r"\w", text) or text.strip(" .")]


def _joined(pieces: Sequence[tuple[str, str]]) -> str:
    return "".join(text + between for text, between in pieces[:-1]) + pieces[-1][0]
