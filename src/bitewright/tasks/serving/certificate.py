"""The certificate under which a server answers beyond this computer: given, or made here."""

import hashlib
import shutil
import ssl
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from ipaddress import ip_address
from pathlib import Path

from bitewright.errors import BitewrightError
from bitewright.tasks.serving.serving_note import serving_folder

DAYS = 365


class CertificateError(BitewrightError):
    """A certificate or its key cannot be read or made."""

    def __init__(self, reason: str) -> None:
        super().__init__(
            f"There is no certificate to answer with beyond this computer ({reason}): give one "
            "with --certificate and --key, both as PEM."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """Two PEM files, and the certificate's SHA-256 fingerprint as browsers show it."""

    file: Path
    key: Path
    fingerprint: str


def given_certificate(file: Path, key: Path) -> Certificate:
    """A certificate of one's own.

    Raises
    ------
    CertificateError
    """
    try:
        ssl.create_default_context(ssl.Purpose.CLIENT_AUTH).load_cert_chain(file, key)
    except (OSError, ValueError) as error:
        raise CertificateError(f"{file.name} with {key.name}: {error}") from error
    return Certificate(file=file, key=key, fingerprint=_fingerprint(file))


def made_certificate(names: Sequence[str]) -> Certificate:
    """One that this computer signs for itself, for a year; kept, and made anew for other names.

    Raises
    ------
    CertificateError
    """
    program = shutil.which("openssl")
    if program is None:
        raise CertificateError("the program openssl, which makes one, is not there")
    called = hashlib.sha256("\n".join(names).encode()).hexdigest()[:12]
    file, key = (serving_folder() / f"{called}.{kind}.pem" for kind in ("certificate", "key"))
    lasts = [program, "x509", "-checkend", str(86_400), "-noout", "-in", str(file)]
    if not file.exists() or subprocess.run(lasts, capture_output=True, check=False).returncode:  # noqa: S603
        _make(program, names, file, key)
    return Certificate(file=file, key=key, fingerprint=_fingerprint(file))


def _make(program: str, names: Sequence[str], file: Path, key: Path) -> None:
    alternatives = ",".join(f"{'IP' if _is_address(name) else 'DNS'}:{name}" for name in names)
    command = [program, "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256"]
    command += ["-nodes", "-days", str(DAYS), "-subj", "/CN=Bitewright"]
    command += ["-addext", f"subjectAltName={alternatives}", "-keyout", str(key), "-out", str(file)]
    answer = subprocess.run(command, capture_output=True, text=True, check=False)  # noqa: S603
    if answer.returncode:
        raise CertificateError(f"openssl: {answer.stderr.strip().splitlines()[-1][:120]}")
    key.chmod(0o600)


def _is_address(name: str) -> bool:
    try:
        ip_address(name)
    except ValueError:
        return False
    return True


def _fingerprint(file: Path) -> str:
    pem = file.read_text(encoding="ascii")
    first = pem[pem.index("-----BEGIN CERTIFICATE-----") :].split("-----END CERTIFICATE-----")[0]
    der = ssl.PEM_cert_to_DER_cert(first + "-----END CERTIFICATE-----\n")
    return ":".join(f"{byte:02X}" for byte in hashlib.sha256(der).digest())


__all__ = ["Certificate", "CertificateError", "given_certificate", "made_certificate"]
