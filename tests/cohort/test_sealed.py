"""What is sealed and signed in plain Python is what libsodium opens, and what the standards say."""

import sys

import pytest
from nacl.bindings import crypto_secretbox
from nacl.public import SealedBox
from nacl.signing import SigningKey, VerifyKey

from recall.base.errors import RecallError
from recall.cohort import sealed

SEED = bytes(range(32))


@pytest.fixture
def plain(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without libsodium, as inside a browser."""
    for name in ("nacl", "nacl.exceptions", "nacl.public", "nacl.signing"):
        monkeypatch.setitem(sys.modules, name, None)


def test_a_shared_secret_is_that_of_the_standard() -> None:
    """RFC 7748, 5.2, first vector."""
    secret = "a546e36bf0527c9d3b16154b82465edd62144c0ac1fc5a18506a2244ba449ac4"
    u = "e6db6867583030db3594c1a424b15f7c726624ec26b3353b10a903a6d0ab1c4c"
    shared = "c3da55379de9c6908e94ea4df28d084f32eccf03491c71f754b4075577a28552"

    assert shared == sealed.x25519(bytes.fromhex(secret), bytes.fromhex(u)).hex()


def test_a_tag_is_that_of_the_standard() -> None:
    """RFC 8439, 2.5.2."""
    key = "85d6be7857556d337f4452fe42d506a80103808afb0db2fd4abff6af4149f51b"

    found = sealed._poly1305(b"Cryptographic Forum Research Group", bytes.fromhex(key))

    assert "a8061dc1305136c6c22b8baf0c0127a9" == found.hex()


@pytest.mark.parametrize("size", [0, 1, 31, 32, 33, 64, 4711])
def test_a_box_is_that_of_libsodium(size: int) -> None:
    """Of every length around a block's."""
    message, key, nonce = SEED * (size // 32 + 1), SEED[::-1], SEED[4:28]

    assert crypto_secretbox(message[:size], nonce, key)[-size - 16 :] == sealed.secretbox(
        message[:size], key, nonce
    )


def test_libsodium_opens_what_was_sealed_without_it(plain: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """And verifies what was signed without it (RFC 8032)."""
    public = sealed.public_of(SEED)
    box, signature = sealed.seal(b"my answers", public), sealed.sign(SEED, b"mine")
    monkeypatch.undo()
    key = SigningKey(SEED)

    assert public == key.verify_key.encode().hex()
    assert b"my answers" == SealedBox(key.to_curve25519_private_key()).decrypt(box)
    assert b"mine" == VerifyKey(bytes.fromhex(public)).verify(b"mine", signature)


@pytest.mark.parametrize(
    "wrong",
    [
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
        "",
        "class",
        "00" * 32,
        "01" + "00" * 31,
        "ff" * 32,
        "02" + "00" * 31,
        "ab" * 31,
    ],
)
@pytest.mark.parametrize("compiled", [True, False])
def test_what_is_no_key_is_refused(wrong: str, compiled: bool, request: pytest.FixtureRequest) -> None:
    """Of small order, off the curve, too short: by both in one sentence."""
    if not compiled:
        request.getfixturevalue("plain")

    with pytest.raises(RecallError, match="isn't a key"):
        sealed.check(wrong)
