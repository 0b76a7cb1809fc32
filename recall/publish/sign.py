"""Ed25519 signatures (RFC 8032) over a bag's tag manifest, which covers every other file by checksum."""

import hashlib
import os
import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from recall.base.errors import RecallError, UnverifiedError
from recall.base.files import read_plain, see_folder
from recall.publish.bag import SIGNATURE, TAGS

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

_FORM = re.compile(rb"Algorithm: Ed25519\nKey: ([0-9a-f]{64})\nSignature: ([0-9a-f]{128})\n")
_LARGEST = 1 << 16
"""Bytes of a key's file."""
_AGAIN = "don't use the file; ask whoever published it"


def new_key(path: Path) -> str:
    """Make a key in a file that only its owner may read; the public half, in hexadecimal.

    Raises RecallError where the file is there already (a key that is written over is lost for good), or its folder
    isn't.
    """
    see_folder(path)
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

    key = Ed25519PrivateKey.generate()
    pem = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        raise RecallError(f"there is a file already: {path}", "name one that isn't there yet") from None
    try:
        with os.fdopen(handle, "wb") as opened:
            opened.write(pem)
    except OSError:
        path.unlink()
        raise
    return public_of(path)


def sign(files: Mapping[str, bytes], key: Path) -> bytes:
    """The signature file of a bag. Raises RecallError for a file that holds no key of ours."""
    private = _private(key)
    public = private.public_key().public_bytes_raw()
    made = private.sign(files[TAGS])
    return f"Algorithm: Ed25519\nKey: {public.hex()}\nSignature: {made.hex()}\n".encode()


def sign_text(message: bytes, key: Path) -> str:
    """A signature over a text, in hexadecimal."""
    return _private(key).sign(message).hex()


def public_of(key: Path) -> str:
    """The public half of a key, in hexadecimal."""
    return _private(key).public_key().public_bytes_raw().hex()


def seed_of(key: Path) -> bytes:
    """The private half of a key, as 32 bytes."""
    return _private(key).private_bytes_raw()


def signer_of(files: Mapping[str, bytes]) -> str:
    """The public key that signed a bag, empty where none did. Raises UnverifiedError where the signature is wrong."""
    if SIGNATURE not in files:
        return ""
    found = _FORM.fullmatch(files[SIGNATURE])
    if found is None:
        raise UnverifiedError("its signature can't be read", _AGAIN)
    public, made = found[1].decode(), bytes.fromhex(found[2].decode())
    if not verifies(bytes.fromhex(public), made, files[TAGS]):
        raise UnverifiedError("its signature is wrong: it isn't what was signed", _AGAIN)
    return public


def verifies(public: bytes, made: bytes, message: bytes) -> bool:
    """Whether a signature is of a message under a public key, all as raw bytes."""
    try:
        from cryptography.exceptions import InvalidSignature
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
    except ImportError:  # inside a browser, where nothing compiled is
        return _verifies_plainly(public, made, message)

    try:
        Ed25519PublicKey.from_public_bytes(public).verify(made, message)
    except (InvalidSignature, ValueError):
        return False
    return True


def _verifies_plainly(public: bytes, made: bytes, message: bytes) -> bool:
    """The same in plain Python. It holds no secret, so its pace tells nothing."""
    from ecdsa import BadSignatureError, Ed25519, VerifyingKey
    from ecdsa.errors import MalformedPointError

    try:
        return bool(VerifyingKey.from_string(public, curve=Ed25519).verify(made, message))
    except (BadSignatureError, MalformedPointError, AssertionError, ValueError):
        return False


def spoken(public: str) -> str:
    """A key in the short form that people compare: eight groups of four digits of its SHA-256."""
    mark = hashlib.sha256(bytes.fromhex(public)).hexdigest()
    return " ".join(mark[at : at + 4] for at in range(0, 32, 4))


def _private(path: Path) -> "Ed25519PrivateKey":
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    try:
        key = load_pem_private_key(read_plain(path, _LARGEST), None)
    except FileNotFoundError:
        raise RecallError(f"there is no key `{path}`", "`recall keys new FILE` makes one") from None
    except (ValueError, TypeError) as fault:
        raise RecallError(f"`{path}` holds no key", "`recall keys new FILE` makes one") from fault
    if not isinstance(key, Ed25519PrivateKey):
        raise RecallError(f"the key in `{path}` isn't an Ed25519 key", "`recall keys new FILE` makes one")
    return key
