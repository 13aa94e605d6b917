"""Whose copy it is: an Ed25519 key made once on the bench, and the signature of a copy by it.

The chain stops accidents; whoever alters a copy can work all its hashes out again. They cannot sign
it again. Without a key, or without the library that signs, everything else works as ever.

*Source* of the signature: RFC 8032, section 5.1; by the library ``cryptography``, which is loaded
when something is signed or checked, and not before.
"""

import os
import re
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, Protocol

from benchcalc.runlog.folder import sync_folder

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

KEY_FILE, PUBLIC_FILE = "bench-key.pem", "bench-key.pub"
SIGNATURE = "SIGNATURE"
"""The file of a copy beside its MANIFEST; it names the key, and signs every byte of MANIFEST."""

_SIGNED_FOR = b"benchcalc copy 1\n"
"""What stands before MANIFEST in what is signed, so that it counts as nothing else."""

_TEXT = re.compile(
    rb"benchcalc 1\npublic ([0-9a-f]{64})\nfingerprint ([0-9a-f-]{24})\nsignature ([0-9a-f]{128})\n"
)
_PUBLIC = re.compile(rb"([0-9a-f-]{24}) ([0-9a-f]{64})\n")
_MOST_BYTES = 4096


class NoLibrary(Exception):
    """The library ``cryptography`` is not installed."""


class Signer(Protocol):
    """What signs a copy."""

    @property
    def fingerprint(self) -> str:
        """Of the key it signs with."""

    def sign(self, manifest: bytes) -> bytes:
        """The content of SIGNATURE."""


class Signed(NamedTuple):
    """SIGNATURE, read."""

    public: bytes
    signature: bytes

    @property
    def fingerprint(self) -> str:
        """Of the key that it says it is by."""
        return fingerprint_of(self.public)


class BenchKey:
    """The bench's own key. Raises NoLibrary, or ValueError for a file that holds none."""

    def __init__(self, pem: bytes) -> None:
        kind, serialization = _library()
        key = serialization.load_pem_private_key(pem, None)
        if not isinstance(key, kind):
            raise ValueError("it is no Ed25519 key")
        self._key: Ed25519PrivateKey = key
        raw = (serialization.Encoding.Raw, serialization.PublicFormat.Raw)
        self.public = key.public_key().public_bytes(*raw)

    @property
    def fingerprint(self) -> str:
        """Of its public half."""
        return fingerprint_of(self.public)

    def sign(self, manifest: bytes) -> bytes:
        """The content of SIGNATURE for a copy with this MANIFEST."""
        signature = self._key.sign(_SIGNED_FOR + manifest).hex()
        told = (f"public {self.public.hex()}", f"fingerprint {self.fingerprint}")
        return "\n".join(["benchcalc 1", *told, f"signature {signature}", ""]).encode()


def fingerprint_of(public: bytes) -> str:
    """The short name of a key: 80 bits of the SHA-256 of its public half, by fours."""
    digits = sha256(public).hexdigest()[:20]
    return "-".join(digits[at : at + 4] for at in range(0, 20, 4))


def read_signature(data: bytes) -> Signed:
    """SIGNATURE back again. Raises ValueError for anything else."""
    found = _TEXT.fullmatch(data)
    if found is None:
        raise ValueError("it is no signature of a copy")
    signed = Signed(bytes.fromhex(found[1].decode()), bytes.fromhex(found[3].decode()))
    if signed.fingerprint != found[2].decode():
        raise ValueError("its fingerprint is not that of its key")
    return signed


def is_signed(signed: Signed, manifest: bytes) -> bool:
    """Whether the key it names has signed this MANIFEST. Raises NoLibrary."""
    _library()
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        key = Ed25519PublicKey.from_public_bytes(signed.public)
        key.verify(signed.signature, _SIGNED_FOR + manifest)
    except (InvalidSignature, ValueError):
        return False
    return True


def key_of_bench(folder: Path) -> BenchKey | None:
    """The key in the folder of a log; None where there is none, or none can be used here.

    Raises ValueError, with the reason, for a key file that is damaged or may not be read.
    """
    if not os.path.lexists(folder / KEY_FILE):
        return None
    try:
        if (folder / KEY_FILE).stat().st_mode & 0o077:
            raise ValueError(f"others may read it: chmod 600 {KEY_FILE}")
        return BenchKey(_small_file(folder / KEY_FILE))
    except NoLibrary:
        return None
    except OSError as error:
        raise ValueError(error.strerror or str(error)) from error


def make_key(folder: Path) -> str:
    """The fingerprint of the bench's key, made now if there never was one; empty without any.

    Never puts a key in the place of another. Raises ValueError as ``key_of_bench`` does, and
    OSError when the folder cannot be written.
    """
    if not os.path.lexists(folder / KEY_FILE):
        try:
            kind, serialization = _library()
        except NoLibrary:
            return ""
        form = (serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8)
        pem = kind.generate().private_bytes(*form, serialization.NoEncryption())
        _put_private(folder / KEY_FILE, pem)
    shown = _shown(folder)
    if shown is None and (key := key_of_bench(folder)):
        shown = key.fingerprint
        with suppress(OSError):
            (folder / PUBLIC_FILE).write_bytes(f"{shown} {key.public.hex()}\n".encode())
    return shown or ""


def _shown(folder: Path) -> str | None:
    """The fingerprint as the public half beside the key has it: to show it nothing is loaded."""
    private, public = folder / KEY_FILE, folder / PUBLIC_FILE
    with suppress(OSError):
        found = _PUBLIC.fullmatch(_small_file(public))
        older = public.stat().st_mtime_ns < private.stat().st_mtime_ns
        if found and not older and _small_file(private):
            own = fingerprint_of(bytes.fromhex(found[2].decode()))
            return own if own == found[1].decode() else None
    return None


def _put_private(path: Path, data: bytes) -> None:
    """A file that nobody but its owner may read, whole or not at all."""
    fresh = path.with_name(f"{path.name}.new")
    fresh.unlink(missing_ok=True)
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(handle)
    fresh.rename(path)
    sync_folder(path.parent)


def _small_file(path: Path) -> bytes:
    """A file's bytes; a pipe is not waited for. Raises OSError."""
    handle = os.open(path, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)
    try:
        return os.read(handle, _MOST_BYTES)
    finally:
        os.close(handle)


def library_there() -> bool:
    """Whether anything can be signed or checked here."""
    try:
        _library()
    except NoLibrary:
        return False
    return True


def _library() -> "tuple[type[Ed25519PrivateKey], Any]":
    try:
        from cryptography.hazmat.primitives import serialization
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    except ImportError as error:
        raise NoLibrary(str(error)) from error
    return Ed25519PrivateKey, serialization
