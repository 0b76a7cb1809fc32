"""A hand-in is sealed for one class, signed by its trainee, and read through a strict gate."""

import json
import zlib
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from nacl.public import SealedBox
from nacl.signing import SigningKey
from sealed_kit import open_sealed

from recall.base.dataclass import replace
from recall.base.text import digest
from recall.cohort.handin import (
    COLUMNS,
    HEAD,
    HandIn,
    WrongHandInError,
    own_key,
    pseudonym,
    seal,
    unseal,
)
from recall.cohort.sealed import public_of

CLASS, OTHER = bytes(range(32)), bytes(range(1, 33))
ME = own_key(b"m" * 32, public_of(CLASS))


def made(**changed: Any) -> HandIn:
    """A hand-in of two answers."""
    columns: dict[str, list[Any]] = {name: [0, 0] for name in COLUMNS}
    columns |= {"day": [739_900, 739_901], "mark": [1, 3], "right": [0, 1], "seconds": [None, 2.5]}
    plain = HandIn(
        public_of(CLASS), public_of(ME), "boat", 1, cards=(digest(("a",)),), hashes=(digest(("b",)),),
        revisions=("1",), answers=columns,
    )  # fmt: skip
    return replace(plain, **changed)


def test_what_was_sealed_comes_out() -> None:
    """Nothing is lost or altered on the way."""
    sent = made(name="Ada", given=("six", "0.6 m"))

    assert sent == unseal(seal(sent, ME), CLASS)


def test_another_class_cannot_open_it() -> None:
    """It was made for one class key."""
    with pytest.raises(WrongHandInError, match="another class"):
        unseal(seal(made(), ME), OTHER)


@pytest.mark.parametrize("at", [0, 20, 60, 100, -1])
def test_a_changed_byte_is_refused(at: int) -> None:
    """Wherever it stands."""
    content = bytearray(seal(made(), ME))
    content[at] ^= 1

    with pytest.raises(WrongHandInError):
        unseal(bytes(content), CLASS)


def test_nobody_hands_in_for_another() -> None:
    """The signature must be of the person whom it names."""
    stolen = made(person=public_of(own_key(b"x" * 32, public_of(CLASS))))

    with pytest.raises(WrongHandInError, match="signed"):
        unseal(seal(stolen, ME), CLASS)


def test_one_class_cannot_pass_it_on_to_another() -> None:
    """Sealed anew for another class, it still says for which it was made."""
    opened = SealedBox(SigningKey(CLASS).to_curve25519_private_key()).decrypt(seal(made(), ME)[len(HEAD) :])
    passed_on = HEAD + SealedBox(SigningKey(OTHER).verify_key.to_curve25519_public_key()).encrypt(opened)

    with pytest.raises(WrongHandInError, match="another class"):
        unseal(passed_on, OTHER)


def test_a_trainee_is_another_one_in_each_class() -> None:
    """Two classes can't tell that two of their pseudonyms are one person's; one class always has the same."""
    keys = [public_of(own_key(b"m" * 32, public_of(seed))) for seed in (CLASS, OTHER, CLASS)]

    assert (True, False) == (keys[0] == keys[2], keys[0] == keys[1])
    assert 9 == len(pseudonym(keys[0]))


def test_a_second_implementation_opens_and_verifies_it() -> None:
    """The box by the NaCl papers' Salsa20 in plain Python with X25519 and Poly1305 of another library; the
    signature by that library's Ed25519 (RFC 8032)."""
    sent = made()
    secret = bytes(SigningKey(CLASS).to_curve25519_private_key())

    opened = open_sealed(seal(sent, ME)[len(HEAD) :], secret)
    Ed25519PublicKey.from_public_bytes(bytes.fromhex(sent.person)).verify(
        opened[:64], b"recall hand-in of a trainee\n" + opened[64:]
    )
    assert "boat" == json.loads(zlib.decompress(opened[64:]))["deck"]
    assert public_of(ME) == Ed25519PrivateKey.from_private_bytes(ME).public_key().public_bytes_raw().hex()


def sealed(plain: Any, seed: bytes = ME) -> bytes:
    """Any JSON, signed and sealed as a hand-in is."""
    packed = zlib.compress(plain if isinstance(plain, bytes) else json.dumps(plain).encode())
    signature = SigningKey(seed).sign(b"recall hand-in of a trainee\n" + packed).signature
    return HEAD + SealedBox(SigningKey(CLASS).verify_key.to_curve25519_public_key()).encrypt(
        signature + packed
    )


def plain() -> dict[str, Any]:
    """The JSON of a hand-in."""
    opened = SealedBox(SigningKey(CLASS).to_curve25519_private_key()).decrypt(seal(made(), ME)[len(HEAD) :])
    read: dict[str, Any] = json.loads(zlib.decompress(opened[64:]))
    return read


HOSTILE: list[tuple[str, Any]] = [
    ("day", [1, 2]), ("day", [739_900, 10**9]), ("day", [739_900]), ("day", None), ("day", [739_900, 739_900.5]),
    ("mark", [0, 3]), ("mark", [1, 5]), ("mark", [True, 3]), ("mark", ["1", 3]), ("right", [2, 0]),
    ("card", [0, 1]), ("card", [0, -1]), ("card", "00"), ("card", {}), ("hash", [0, 7]), ("revision", [0, 1]),
    ("seconds", [-1, 0]), ("seconds", [1e9, 0]), ("seconds", ["1", 0]), ("mode", [3, 0]), ("by", [0, 9]),
    ("claimed", [2, 0]), ("overruled", [None, 0]), ("cards", ["x"]), ("cards", None), ("cards", [7]),
    ("hashes", ["A" * 20]), ("revisions", ["1.2.x"]), ("revisions", [1]), ("deck", "../up"), ("deck", 7),
    ("deck", "A"), ("person", "0" * 63), ("person", None), ("class", "zz"), ("made", -1), ("made", 1.5),
    ("made", 10**20), ("name", "x" * 201), ("name", "a\nb"), ("name", "a\x1b[2J"), ("name", " a"),
    ("name", "a\u202eb"), ("name", "\ud800"), ("name", None), ("withdrawn", 1),
    ("parameters", [1.0]), ("parameters", "x"), ("parameters", [float("nan")] * 21), ("format", 2),
    ("given", ["a"]), ("given", [1, 2]), ("given", ["x" * 200_000, ""]), ("more", 1),
]  # fmt: skip


@pytest.mark.parametrize(("field", "value"), HOSTILE, ids=lambda value: str(value)[:20])
def test_what_a_trainee_cannot_have_written_is_refused(field: str, value: Any) -> None:
    """A hand-in is signed by whoever made it, so its content is checked all the same."""
    with pytest.raises(WrongHandInError):
        unseal(sealed(plain() | {field: value}), CLASS)


@pytest.mark.parametrize(
    "content",
    [
        b"[]", b"null", b"7", b"", b"{", b"\xff", b"[" * 200_000, b'{"a":' * 100_000, b"NaN", b"0" * ((1 << 27) + 1),
    ],
    ids=lambda content: content[:6].decode("latin-1"),
)  # fmt: skip
def test_what_is_no_hand_in_at_all_is_refused(content: bytes) -> None:
    """Of any shape, depth and size; a packed desert too."""
    with pytest.raises(WrongHandInError):
        unseal(sealed(content), CLASS)


def test_a_lacking_field_is_refused() -> None:
    """Each by itself."""
    for name in plain():
        left = {key: value for key, value in plain().items() if key != name}

        with pytest.raises(WrongHandInError):
            unseal(sealed(left), CLASS)
