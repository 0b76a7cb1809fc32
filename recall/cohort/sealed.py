"""Sealed boxes and signatures: by libsodium where it is, in plain Python inside a browser, where nothing compiled is.

Both give the same: `crypto_box_seal` of libsodium (X25519, RFC 7748; XSalsa20, Bernstein 2011, "Extending the Salsa20
nonce"; Poly1305, RFC 8439; the nonce is BLAKE2b of both keys), Ed25519 (RFC 8032). Plain Python takes times that
tell of the secret; who could measure them inside a browser could read it as well.
"""

import hashlib
import secrets
import struct
from collections.abc import Callable, Sequence

from recall.base.errors import RecallError

_P = 2**255 - 19
_WORD = 0xFFFFFFFF
_SIGMA = struct.unpack("<4I", b"expand 32-byte k")
_ROUNDS = (
    (0, 4, 8, 12), (5, 9, 13, 1), (10, 14, 2, 6), (15, 3, 7, 11),
    (0, 1, 2, 3), (5, 6, 7, 4), (10, 11, 8, 9), (15, 12, 13, 14),
)  # fmt: skip


def sign(seed: bytes, message: bytes) -> bytes:
    """The signature of a message (64 bytes)."""
    return _key(seed)[0](message)


def public_of(seed: bytes) -> str:
    """The public half of a key of this seed, in hexadecimal."""
    return _key(seed)[1].hex()


def _key(seed: bytes) -> tuple[Callable[[bytes], bytes], bytes]:
    """What signs with a key of this seed, and its public half."""
    try:
        from nacl.signing import SigningKey
    except ImportError:
        from ecdsa import Ed25519
        from ecdsa import SigningKey as Plain

        plain = Plain.from_string(seed, curve=Ed25519)
        return lambda message: bytes(plain.sign(message)), bytes(plain.verifying_key.to_string())
    key = SigningKey(seed)
    return lambda message: key.sign(message).signature, key.verify_key.encode()


def seal(message: bytes, public: str) -> bytes:
    """A box that the owner of an Ed25519 key alone opens. Raises RecallError for a text that is no such key."""
    wrong = RecallError("the class key isn't a key", "ask the instructor for it again")
    try:
        from nacl.exceptions import CryptoError
        from nacl.public import SealedBox
        from nacl.signing import VerifyKey
    except ImportError:
        if (to := _montgomery(public)) is None:
            raise wrong from None
        return _sealed(message, to, secrets.token_bytes(32))
    try:
        return SealedBox(VerifyKey(bytes.fromhex(public)).to_curve25519_public_key()).encrypt(message)
    except (CryptoError, RuntimeError, TypeError, ValueError):
        raise wrong from None


def check(public: str) -> None:
    """Raises RecallError for a text that is no key to seal for."""
    seal(b"", public)


def _montgomery(public: str) -> bytes | None:
    """The X25519 form of an Ed25519 key (RFC 7748, 4.1: u = (1 + y) / (1 - y)); None where it is none."""
    from ecdsa import Ed25519, VerifyingKey
    from ecdsa.errors import MalformedPointError

    try:
        raw = bytes.fromhex(public)
        VerifyingKey.from_string(raw, curve=Ed25519)
        y = int.from_bytes(raw, "little") & ((1 << 255) - 1)
        u = ((1 + y) * pow(1 - y, -1, _P) % _P).to_bytes(32, "little")
    except (AssertionError, MalformedPointError, TypeError, ValueError):
        return None
    return u if y < _P and any(x25519(bytes(32), u)) else None  # a point of small order hides nothing


def _sealed(message: bytes, to: bytes, own: bytes) -> bytes:
    """own: the secret of a key that is thrown away."""
    here = x25519(own, (9).to_bytes(32, "little"))
    nonce = hashlib.blake2b(here + to, digest_size=24).digest()
    shared = _core(struct.unpack("<8I", x25519(own, to)), struct.unpack("<4I", bytes(16)), plus=False)
    return here + secretbox(message, shared, nonce)


def x25519(secret: bytes, u: bytes) -> bytes:
    """RFC 7748, section 5."""
    k = int.from_bytes(secret, "little") & ~7 & ((1 << 255) - 1) | 1 << 254
    x1 = int.from_bytes(u, "little") & ((1 << 255) - 1)
    x2, z2, x3, z3, swapped = 1, 0, x1, 1, 0
    for at in range(254, -1, -1):
        bit = k >> at & 1
        if bit != swapped:
            x2, x3, z2, z3 = x3, x2, z3, z2
        swapped = bit
        a, b, c, d = x2 + z2, x2 - z2, x3 + z3, x3 - z3
        aa, bb, da, cb = a * a % _P, b * b % _P, d * a % _P, c * b % _P
        e = aa - bb
        x3, z3 = (da + cb) ** 2 % _P, x1 * (da - cb) ** 2 % _P
        x2, z2 = aa * bb % _P, e * (aa + 121665 * e) % _P
    if swapped:
        x2, z2 = x3, z3
    return (x2 * pow(z2, _P - 2, _P) % _P).to_bytes(32, "little")


def secretbox(message: bytes, key: bytes, nonce: bytes) -> bytes:
    """XSalsa20 and Poly1305, as NaCl's `crypto_secretbox`: tag and ciphertext."""
    under = struct.unpack(
        "<8I", _core(struct.unpack("<8I", key), struct.unpack("<4I", nonce[:16]), plus=False)
    )
    tail = struct.unpack("<2I", nonce[16:])
    size = 32 + len(message)
    stream = b"".join(
        _core(under, (*tail, at & _WORD, at >> 32), plus=True) for at in range((size + 63) // 64)
    )[:size]
    mixed = int.from_bytes(message, "little") ^ int.from_bytes(stream[32:], "little")
    hidden = mixed.to_bytes(len(message), "little")
    return _poly1305(hidden, stream[:32]) + hidden


def _core(key: Sequence[int], told: Sequence[int], *, plus: bool) -> bytes:
    """A block of Salsa20; without `plus`, HSalsa20: eight words of the state as it was mixed."""
    start = [
        _SIGMA[0], *key[:4], _SIGMA[1], *told, _SIGMA[2], *key[4:], _SIGMA[3],
    ]  # fmt: skip
    x = list(start)
    for _ in range(10):
        for a, b, c, d in _ROUNDS:
            for to, one, two, by in ((b, a, d, 7), (c, b, a, 9), (d, c, b, 13), (a, d, c, 18)):
                sum = x[one] + x[two] & _WORD
                x[to] ^= (sum << by & _WORD) | sum >> 32 - by
    if plus:
        return struct.pack("<16I", *((a + b) & _WORD for a, b in zip(x, start, strict=True)))
    return struct.pack("<8I", *(x[at] for at in (0, 5, 10, 15, 6, 7, 8, 9)))


def _poly1305(message: bytes, key: bytes) -> bytes:
    """RFC 8439, section 2.5."""
    r = int.from_bytes(key[:16], "little") & 0x0FFFFFFC0FFFFFFC0FFFFFFC0FFFFFFF
    found = 0
    for at in range(0, len(message), 16):
        found = (found + int.from_bytes(message[at : at + 16] + b"\1", "little")) * r % (2**130 - 5)
    return (found + int.from_bytes(key[16:], "little") & ((1 << 128) - 1)).to_bytes(16, "little")
