"""Phones on the shop's own network: its addresses, and the shop's own certificate authority that vouches for the desk.

A browser lets a page take photographs, and work without a network, only where it trusts the certificate. No public
authority vouches for a machine in a shop, so the shop has its own: made once, kept for years, trusted once by each
phone. It can vouch for names and addresses of a shop's own network and for nothing else. Nothing here asks the network.
"""

import os
import re
import socket
import struct
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from ipaddress import IPv4Address, IPv4Network, IPv6Network, ip_network
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from witnessmark.documents import Refused

AUTHORITY_YEARS = 10
LEAF_DAYS = 397  # phones refuse more than 825 days even from an authority of one's own, 398 from others (from memory)
RENEWED_BEFORE = timedelta(days=180)  # a desk that is not started again for half a year still has a good one
CLOCKS_APART = timedelta(days=1)  # a phone's clock may be behind
AUTHORITY_FILE, DESK_FILE = "authority.pem", "desk.pem"

# All an authority of ours may vouch for beside names under .local (RFC 6762): RFC 1918, 3927, 6598, 1122; 4193, 4291.
OWN_NETWORKS: tuple[IPv4Network | IPv6Network, ...] = tuple(
    map(
        ip_network,
        ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "100.64.0.0/10", "127.0.0.0/8",
         "fc00::/7", "fe80::/10", "::1/128"),
    )
)  # fmt: skip
# An address in each of those that a desk might reach: to ask the system which of its own it would send from.
_BEYOND = ("192.0.2.1", "192.168.255.254", "10.255.255.254", "172.31.255.254")
_SIOCGIFADDR = 0x8915  # Linux: the address of an interface


class BadAuthority(Refused):
    """The shop's certificate authority is there but can't be used."""


@dataclass(frozen=True)
class Vouched:
    """What `serve --lan` needs: `file` holds the certificate, the authority's and the key; only its owner may read it.

    `left_out` are addresses the authority may not vouch for. `new_authority`: every phone has to be told again.
    """

    file: Path
    authority: x509.Certificate
    names: tuple[str, ...]
    addresses: tuple[IPv4Address, ...]
    left_out: tuple[IPv4Address, ...]
    until: datetime
    new_authority: bool

    @cached_property
    def authority_der(self) -> bytes:
        """The authority's certificate as phones take it; it holds no secret."""
        return self.authority.public_bytes(serialization.Encoding.DER)

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the authority's certificate, in pairs, to be compared by eye."""
        return self.authority.fingerprint(hashes.SHA256()).hex(" ").upper()

    @property
    def hosts(self) -> tuple[str, ...]:
        """Every name and address the desk answers to on this network."""
        return (*map(str, self.addresses), *self.names)


# ---- where we are ----


def lan_addresses() -> tuple[IPv4Address, ...]:
    """This machine's addresses on its own networks, the one most used first. Sends nothing.

    IPv4 only: a phone's browser can't be given the zone that a link-local IPv6 address needs.
    """
    found = [*_sending_from(), *_of_interfaces()]
    kept = dict.fromkeys(address for address in found if not (address.is_loopback or address.is_unspecified))
    return tuple(sorted(kept, key=lambda address: address.is_link_local))


def _sending_from() -> list[IPv4Address]:
    found = []
    for beyond in _BEYOND:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
            try:
                asking.connect((beyond, 9))  # on a datagram socket this only looks up the route
            except OSError:
                continue
            found.append(IPv4Address(asking.getsockname()[0]))
    return found


def _of_interfaces() -> list[IPv4Address]:
    """The first address of every interface, where the system can be asked for it."""
    found = []
    if sys.platform == "linux":
        import fcntl

        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
            for _, name in socket.if_nameindex():
                try:
                    told = fcntl.ioctl(asking.fileno(), _SIOCGIFADDR, struct.pack("256s", name.encode()[:15]))
                except OSError:  # an interface without an address
                    continue
                found.append(IPv4Address(told[20:24]))
    return found


def host_names(said: str | None = None) -> tuple[str, ...]:
    """The names a phone may know this machine by: NAME.local and NAME. None where its name is no such name."""
    name = (socket.gethostname() if said is None else said).partition(".")[0].lower()
    if name == "localhost" or not re.fullmatch(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?", name):
        return ()
    return f"{name}.local", name


# ---- who vouches ----


def vouched(folder: Path, now: datetime, names: Sequence[str], addresses: Sequence[IPv4Address]) -> Vouched:
    """The desk's certificate for these names and addresses, from the shop's authority in `folder`.

    What is kept there and still good is used; made where missing, near its end, or other than asked. Raises
    BadAuthority where an authority is there but can't be read: phones trust it, so it is never replaced unasked.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    authority, authority_key, is_new = _authority(folder / AUTHORITY_FILE, now, names)
    allowed = _allowed_names(authority)
    names = tuple(name for name in names if name.endswith(".local") or name in allowed)
    left_out = tuple(address for address in addresses if not any(address in network for network in OWN_NETWORKS))
    addresses = tuple(address for address in addresses if address not in left_out)
    file = folder / DESK_FILE
    leaf = _leaf_in(file)
    if leaf is None or not _still_good(leaf, authority, now, names, addresses):
        leaf = _new_leaf(file, authority, authority_key, now, names, addresses)
    return Vouched(file, authority, names, addresses, left_out, leaf.not_valid_after_utc, is_new)


def due(vouched: Vouched, now: datetime) -> bool:
    """Whether a desk that is still running should be started again, for a new certificate."""
    return vouched.until - now < RENEWED_BEFORE / 6


def _authority(
    file: Path, now: datetime, names: Sequence[str]
) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey, bool]:
    if file.exists():
        try:
            pem = file.read_bytes()
            (certificate,) = x509.load_pem_x509_certificates(pem)
            key = serialization.load_pem_private_key(pem, None)
        except (ValueError, TypeError) as error:
            raise BadAuthority(_spoilt(file)) from error
        if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != certificate.public_key():
            raise BadAuthority(_spoilt(file))
        file.chmod(0o600)  # a copy brought back from elsewhere may be open to others
        if certificate.not_valid_after_utc - now > RENEWED_BEFORE:
            return certificate, key, False
    key = ec.generate_private_key(ec.SECP256R1())
    certificate = _new_authority(key, now, names)
    _write(file, [certificate], key)
    return certificate, key, True


def _spoilt(file: Path) -> str:
    return (
        f"{file}: expected the shop's certificate authority, its certificate and its key; they can't be read or do not "
        "belong together. Bring the file back from a backup, or move it away: a new one is made, and every phone has "
        "to be told to trust that."
    )


def _new_authority(key: ec.EllipticCurvePrivateKey, now: datetime, names: Sequence[str]) -> x509.Certificate:
    machine = names[-1] if names else "the shop"
    # The day tells two of them apart in a phone's list.
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"witnessmark at {machine}, {now:%Y-%m-%d}")])
    own = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    bare = dict.fromkeys(["local", "localhost", *(name for name in names if not name.endswith(".local"))])
    within = [*map(x509.DNSName, bare), *map(x509.IPAddress, OWN_NETWORKS)]
    return (
        _started(name, name, key.public_key(), now, now + timedelta(days=AUTHORITY_YEARS * 365.25))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(x509.NameConstraints(permitted_subtrees=within, excluded_subtrees=None), critical=True)
        .add_extension(own, critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(own), critical=False)
        .sign(key, hashes.SHA256())
    )


def _new_leaf(
    file: Path,
    authority: x509.Certificate,
    authority_key: ec.EllipticCurvePrivateKey,
    now: datetime,
    names: Sequence[str],
    addresses: Sequence[IPv4Address],
) -> x509.Certificate:
    key = ec.generate_private_key(ec.SECP256R1())
    says = ["localhost", *names]
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, names[0] if names else "localhost")])
    until = min(now + timedelta(days=LEAF_DAYS), authority.not_valid_after_utc)
    alternatives = [*map(x509.DNSName, says), *map(x509.IPAddress, (IPv4Address("127.0.0.1"), *addresses))]
    vouching = authority.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    leaf = (
        _started(name, authority.subject, key.public_key(), now, until)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(alternatives), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(vouching), critical=False)
        .sign(authority_key, hashes.SHA256())
    )
    _write(file, [leaf, authority], key)
    return leaf


def _started(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePublicKey, now: datetime, until: datetime
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder(subject_name=subject, issuer_name=issuer, public_key=key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - CLOCKS_APART)
        .not_valid_after(until)
    )


def _usage(signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _allowed_names(authority: x509.Certificate) -> set[str]:
    subtrees = authority.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
    return {subtree.value for subtree in subtrees if isinstance(subtree, x509.DNSName)}


def _leaf_in(file: Path) -> x509.Certificate | None:
    """The desk's certificate in a file with its own key; None where there is none: it is quickly made again."""
    try:
        pem = file.read_bytes()
        leaf, _ = x509.load_pem_x509_certificates(pem)
        key = serialization.load_pem_private_key(pem, None)
    except (FileNotFoundError, ValueError, TypeError):
        return None
    return leaf if key.public_key() == leaf.public_key() and file.stat().st_mode & 0o777 == 0o600 else None


def _still_good(
    leaf: x509.Certificate,
    authority: x509.Certificate,
    now: datetime,
    names: Sequence[str],
    addresses: Sequence[IPv4Address],
) -> bool:
    try:
        leaf.verify_directly_issued_by(authority)
    except (ValueError, TypeError, InvalidSignature):
        return False
    says = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return (
        leaf.not_valid_before_utc <= now
        and leaf.not_valid_after_utc - now > RENEWED_BEFORE
        and set(names) <= set(says.get_values_for_type(x509.DNSName))
        and set(addresses) <= set(says.get_values_for_type(x509.IPAddress))
    )


def _write(file: Path, certificates: Sequence[x509.Certificate], key: ec.EllipticCurvePrivateKey) -> None:
    """Certificates and key (PKCS#8) in one file, so that they can't come apart, for its owner's eyes only, durably."""
    pem = b"".join(certificate.public_bytes(serialization.Encoding.PEM) for certificate in certificates)
    pem += key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    number, name = tempfile.mkstemp(dir=file.parent, prefix=".making-")  # mode 0600 from the first byte on
    try:
        with os.fdopen(number, "wb") as out:
            out.write(pem)
            out.flush()
            os.fsync(out.fileno())
        Path(name).replace(file)
    finally:
        Path(name).unlink(missing_ok=True)
