"""A hand-in: a trainee's answers to one deck, sealed for one class and signed by a key that only this class
sees.

The file is a line that names the format, then a sealed box (libsodium's `crypto_box_seal`: X25519, XSalsa20
and Poly1305) to the class key. In it lie a signature (Ed25519, RFC 8032) and what it is over: zlib-packed
JSON (RFC 8259), answers by columns. The class key is an Ed25519 key as revisions are signed with; sealing
takes its X25519 form.
"""

import hashlib
import json
import zlib
from collections.abc import Mapping
from typing import Any

from recall.base import regex as re
from recall.base.dataclass import dataclass, field
from recall.base.errors import RecallError
from recall.base.text import fields_of, one_line, shown
from recall.cohort import sealed
from recall.kinds.wording import NAME, SLUG, is_number, is_text, is_texts, is_whole
from recall.store.needs import NEEDS, is_day

FORMAT = 1
HEAD = b"recall hand-in 1\n"
MOST = 1 << 23
"""Bytes of a hand-in, and four times as many of what is packed in it."""
MOST_ANSWERS = 500_000
"""A hundred a day, for thirteen years."""
LONGEST_NAME = 200
_SIGNED = b"recall hand-in of a trainee\n"
_KEY = re.compile(r"[0-9a-f]{64}")
MODES = ("daily", "plan", "oral")
MARKERS = ("program", "self", "examiner")
COLUMNS = (
    *("card", "hash", "revision", "day", "mark", "right"),
    *("seconds", "mode", "by", "claimed", "overruled"),
)
"""One value an answer in each. card, hash, revision: indices of `cards`, `hashes`, `revisions`; right: 1, 0,
or -1 where nobody told; mode, by: indices of MODES, MARKERS; seconds: null where no time was taken."""
_OWN = ("person", "deck", "made", "name", "withdrawn", "parameters", "cards", "hashes", "revisions")
"""Fields of a hand-in that it says under their own name."""
_FIELDS = {"format", "class", *_OWN, *COLUMNS}
_INDICES = {"card": "cards", "hash": "hashes", "revision": "revisions"}
_RANGES = {
    "mark": (1, 4),
    "right": (-1, 1),
    "mode": (0, 2),
    "by": (0, 2),
    "claimed": (0, 1),
    "overruled": (0, 1),
}


@dataclass(frozen=True, slots=True)
class HandIn:
    """What a trainee hands in. to: the class key; person: the key that signs, the trainee's for this class
    alone (both public, in hexadecimal); made: milliseconds since 1970, the newest counts; name: empty where
    it is withheld; withdrawn: all of this trainee is to be taken out again; answers: COLUMNS, in the order in
    which they were given to each card; given: what was typed, empty where it stays with the trainee."""

    to: str
    person: str
    deck: str
    made: int
    name: str = ""
    withdrawn: bool = False
    parameters: tuple[float, ...] = ()
    cards: tuple[str, ...] = ()
    hashes: tuple[str, ...] = ()
    revisions: tuple[str, ...] = ()
    answers: Mapping[str, list[Any]] = field(default_factory=lambda: {name: [] for name in COLUMNS})
    given: tuple[str, ...] = ()

    @property
    def count(self) -> int:
        """Answers in it."""
        return len(self.answers["card"])

    @property
    def called(self) -> str:
        """What the class calls this trainee: the name, or eight digits of the key's SHA-256."""
        return self.name or pseudonym(self.person)


class WrongHandInError(RecallError):
    """A file that isn't taken as a hand-in."""


def pseudonym(person: str) -> str:
    """Eight digits that stand for a trainee in one class."""
    mark = hashlib.sha256(bytes.fromhex(person)).hexdigest()
    return f"{mark[:4]} {mark[4:8]}"


def own_key(secret: bytes, to: str) -> bytes:
    """The seed of a trainee's key for one class (BLAKE2b of the class key under the trainee's secret): the
    same on all their devices; nobody without the secret can tell that two of them are one person's."""
    return hashlib.blake2b(bytes.fromhex(to), digest_size=32, key=secret, person=b"recall hand-in").digest()


def seal(made: HandIn, seed: bytes) -> bytes:
    """The file of a hand-in. seed: of the key that `person` is the public half of."""
    columns = {name: made.answers[name] for name in COLUMNS} | ({"given": made.given} if made.given else {})
    plain = {"format": FORMAT, "class": made.to, **fields_of(made, *_OWN), **columns}
    packed = zlib.compress(json.dumps(plain, ensure_ascii=False, separators=(",", ":")).encode(), 9)
    return HEAD + sealed.seal(sealed.sign(seed, _SIGNED + packed) + packed, made.to)


def unseal(content: bytes, seed: bytes) -> HandIn:
    """What lies in a hand-in. seed: of the class key. Raises WrongHandInError, which says why it isn't
    taken."""
    from nacl.exceptions import CryptoError
    from nacl.public import SealedBox
    from nacl.signing import SigningKey, VerifyKey

    if not content.startswith(HEAD):
        raise _wrong("isn't a hand-in, or one of a later version", "ask for it again")
    key = SigningKey(seed)
    try:
        opened = SealedBox(key.to_curve25519_private_key()).decrypt(content[len(HEAD) :])
    except (CryptoError, TypeError, ValueError):
        raise _wrong("was made for another class, or altered on its way", "ask for it again") from None
    signature, packed = opened[:64], opened[64:]
    made = _read(_unpacked(packed))
    if made.to != key.verify_key.encode().hex():
        raise _wrong("was made for another class", "ask for it again")
    try:
        VerifyKey(bytes.fromhex(made.person)).verify(_SIGNED + packed, signature)
    except (CryptoError, TypeError, ValueError):
        raise _wrong("isn't signed by the trainee that it names", "ask for it again") from None
    return made


def opens(content: bytes, seed: bytes) -> bool:
    """Whether a hand-in was made for the class of a key."""
    try:
        unseal(content, seed)
    except WrongHandInError:
        return False
    return True


def _wrong(what: str, help: str = "ask the trainee for a new one") -> WrongHandInError:
    return WrongHandInError(what, help)


def _unpacked(packed: bytes) -> Any:
    unpacker = zlib.decompressobj()
    try:
        text = unpacker.decompress(packed, 4 * MOST)
    except zlib.error:
        raise _wrong("can't be unpacked") from None
    if not unpacker.eof or unpacker.unused_data:
        raise _wrong("is larger than a hand-in can be")
    try:
        return json.loads(text.decode(), parse_constant=_no_number)
    except (ValueError, RecursionError):
        raise _wrong("holds no JSON") from None


def _no_number(name: str) -> Any:
    raise ValueError(f"{name} is no number")


def _read(plain: Any) -> HandIn:
    """The strict gate: names, types, ranges, lengths. Raises WrongHandInError by the first thing that is
    wrong."""
    if not isinstance(plain, dict) or plain.keys() - {"given"} != _FIELDS or plain["format"] != FORMAT:
        raise _wrong("isn't what this version knows as a hand-in", "use the newest version of recall")
    reviewed = NEEDS["reviewed"]
    for name in ("class", "person"):
        if not (isinstance(plain[name], str) and _KEY.fullmatch(plain[name])):
            raise _wrong(f"names no {name} key")
    if not (isinstance(plain["deck"], str) and SLUG.fullmatch(plain["deck"])):
        raise _wrong("names no deck")
    if not is_whole(plain["made"], 0, 1 << 43) or type(plain["withdrawn"]) is not bool:
        raise _wrong("doesn't say when it was made")
    if not is_text(plain["name"], LONGEST_NAME) or shown(one_line(plain["name"])) != plain["name"]:
        raise _wrong(f"holds a name that isn't a line of at most {LONGEST_NAME} characters")
    if plain["parameters"] != [] and not NEEDS["tuned"]["parameters"].fits(plain["parameters"]):
        raise _wrong("holds what no memory model computes with")
    for name in ("cards", "hashes"):
        if not is_texts(plain[name]) or not all(map(NAME.fullmatch, plain[name])):
            raise _wrong(f"holds {name} that aren't hashes")
    if not is_texts(plain["revisions"]) or not all(map(reviewed["revision"].fits, plain["revisions"])):
        raise _wrong("holds revisions that aren't numbers")
    rows = len(plain["card"]) if isinstance(plain["card"], list) else -1
    if not 0 <= rows <= MOST_ANSWERS:
        raise _wrong(f"holds no list of at most {MOST_ANSWERS} answers")
    for name in (*COLUMNS, *(("given",) if "given" in plain else ())):
        if not isinstance(plain[name], list) or len(plain[name]) != rows:
            raise _wrong(f"doesn't say `{name}` of each answer")
    indices = {name: (0, len(plain[of]) - 1) for name, of in _INDICES.items()}
    for name, (low, high) in (indices | _RANGES).items():
        if not all(is_whole(value, low, high) for value in plain[name]):
            raise _wrong(f"holds answers whose `{name}` can't be")
    if not all(map(is_day, plain["day"])):
        raise _wrong("holds answers whose `day` can't be")
    if not all(value is None or is_number(value, 0, 86_400) for value in plain["seconds"]):
        raise _wrong("holds answers whose `seconds` can't be")
    if not all(map(reviewed["given"].fits, plain.get("given", ()))):
        raise _wrong("holds typed words that can't be")
    own = {name: plain[name] for name in _OWN}
    for name in ("parameters", "cards", "hashes", "revisions"):
        own[name] = tuple(own[name])
    answers = {name: plain[name] for name in COLUMNS}
    return HandIn(plain["class"], **own, answers=answers, given=tuple(plain.get("given", ())))
