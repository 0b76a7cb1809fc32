"""Hand-overs: one key says, under its signature, that another may sign from now on.

They lie in the folder of published revisions and travel in each later revision, so that who skipped some can follow.
"""

from collections.abc import Collection, Iterable
from pathlib import Path

from recall.base import regex as re
from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.base.files import read_plain
from recall.publish.sign import public_of, sign_text, verifies

FILE = "hand-overs.txt"
"""The file of a revision that holds them."""
SUFFIX = ".hand-over"
_FORM = re.compile(
    r"recall hand-over\nFrom: ([0-9a-f]{64})\nTo: ([0-9a-f]{64})\nWay: (instead|beside|lost)\n"
    r"Signature: ([0-9a-f]{128})\n"
)
_LARGEST = 1 << 20
"""Bytes of a file of hand-overs."""
_PUBLIC = re.compile(r"[0-9a-f]{64}")
_LONGEST_PUBLIC = 80
"""Bytes of a file with a public key in hexadecimal."""


@dataclass(frozen=True, slots=True)
class HandOver:
    """Public keys in hexadecimal. way: `instead` and `beside` are signed with the old key, which then signs no more
    or goes on; `lost` with the new one, so that it proves nothing but who asks."""

    old: str
    new: str
    way: str
    signature: str

    @property
    def signed(self) -> bytes:
        """What its signature is over."""
        return f"recall hand-over\nFrom: {self.old}\nTo: {self.new}\nWay: {self.way}\n".encode()

    @property
    def text(self) -> str:
        """As it is written down."""
        return f"{self.signed.decode()}Signature: {self.signature}\n"


def read_hand_overs(text: str) -> set[HandOver]:
    """Those whose signature is right; all else is passed over, since it proves nothing."""
    found = {HandOver(*each.groups()) for each in _FORM.finditer(text)}
    return {each for each in found if _is_signed(each)}


def _is_signed(each: HandOver) -> bool:
    by = each.new if each.way == "lost" else each.old
    return verifies(bytes.fromhex(by), bytes.fromhex(each.signature), each.signed)


def make_hand_over(old: str, new: str, way: str, key: Path) -> HandOver:
    """Sign one. key: the private half of the old key, of the new one where the old is lost."""
    bare = HandOver(old, new, way, "")
    return HandOver(old, new, way, sign_text(bare.signed, key))


def named_key(name: str) -> str:
    """A public key: written in hexadecimal, of a file that holds it so, or of a key's file."""
    if _PUBLIC.fullmatch(name):
        return name
    path = Path(name)
    if path.is_file() and path.stat().st_size <= _LONGEST_PUBLIC:
        words = read_plain(path, _LONGEST_PUBLIC).decode("ascii", "replace").strip()
        if _PUBLIC.fullmatch(words):
            return words
    return public_of(path)


def in_folder(out: Path) -> set[HandOver]:
    """The hand-overs that lie in a folder of revisions."""
    return {each for file in sorted(out.glob(f"*{SUFFIX}")) for each in read_hand_overs(_text(file))}


def _text(file: Path) -> str:
    try:
        return read_plain(file, _LARGEST).decode("ascii")
    except (OSError, UnicodeDecodeError) as fault:
        raise RecallError(f"can't read {file}", "take it away, or put the right one there") from fault


def followed(held: Collection[str], overs: Iterable[HandOver], *, lost: bool = False) -> frozenset[str]:
    """The keys that may sign where these did. lost: believe what is said of lost keys too."""
    overs = [each for each in overs if lost or each.way != "lost"]
    found = set(held)
    while more := {each.new for each in overs if each.old in found} - found:
        found |= more
    return frozenset(found - {each.old for each in overs if each.way != "beside" and each.old in found})


def family(signer: str, overs: Iterable[HandOver]) -> frozenset[str]:
    """The keys to hold to when a signer's file is the first: those it shares the deck with too."""
    overs = list(overs)
    found = {signer}
    while more := {each.old for each in overs if each.way == "beside" and each.new in found} - found:
        found |= more
    return followed(found, overs) | {signer}


def may_sign(signer: str, overs: Iterable[HandOver]) -> frozenset[str]:
    """Who may sign the revision after one of this signer's."""
    overs = list(overs)
    return followed(family(signer, overs), overs, lost=True)
