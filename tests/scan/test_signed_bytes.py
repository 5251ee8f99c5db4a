"""Certificate signatures: the verdict on the signed bytes beside that of pyHanko.

Outside check: pyHanko 0.38 signs the files and gives its own verdict (``intact`` and the coverage
level) on the same bytes; OpenSSL's CMS code, through the cryptography package, makes messages in
other encodings.
"""

import hashlib
from dataclasses import dataclass
from datetime import UTC, datetime
from io import BytesIO

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    pkcs7,
    pkcs12,
)
from cryptography.x509.oid import NameOID
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign import signers
from pyhanko.sign.fields import SigFieldSpec, SigSeedSubFilter, append_signature_field
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko.sign.validation.status import SignatureCoverageLevel
from pyhanko_certvalidator import ValidationContext
from pypdf import PdfWriter
from reportlab.pdfgen.canvas import Canvas

from compliance.scan.acroform import read_fields
from compliance.scan.acroform_read import read_fields_here
from compliance.scan.pdf_model import Seal, SealState
from compliance.scan.signed_bytes import (
    NOT_JUDGED,
    BytesCheck,
    MessageError,
    compute_bytes_check,
    read_part,
    read_parts,
)

DETACHED = "/adbe.pkcs7.detached"
UNCHANGED = "The signed part of the file is unchanged."
CHANGED = "The signed part of the file was changed after it was signed."

Key = rsa.RSAPrivateKey | ec.EllipticCurvePrivateKey


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """A key with a certificate of its own, in an invented name."""

    key: Key
    certificate: x509.Certificate
    signer: signers.SimpleSigner


def make_hand(key: Key) -> Hand:
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Odile Ferrant")])
    usage = x509.KeyUsage(
        digital_signature=True,
        content_commitment=True,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=False,
        crl_sign=False,
        encipher_only=False,
        decipher_only=False,
    )
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(1)
        .not_valid_before(datetime(2026, 1, 1, tzinfo=UTC))
        .not_valid_after(datetime(2046, 1, 1, tzinfo=UTC))
        .add_extension(usage, critical=True)
        .sign(key, hashes.SHA256())
    )
    box = pkcs12.serialize_key_and_certificates(
        b"test", key, certificate, None, BestAvailableEncryption(b"test")
    )
    signer = signers.SimpleSigner.load_pkcs12_data(box, [], passphrase=b"test")
    assert signer is not None
    return Hand(key=key, certificate=certificate, signer=signer)


@pytest.fixture(scope="module")
def hand() -> Hand:
    return make_hand(rsa.generate_private_key(65537, 2048))


@pytest.fixture(scope="module")
def form() -> bytes:
    target = BytesIO()
    canvas = Canvas(target, pagesize=(612, 792))
    canvas.drawString(72, 704, "Owner's full legal name")
    canvas.acroForm.textfield(name="owner", x=230, y=700, width=200, height=18, value="Odile")
    canvas.drawString(72, 604, "Signature")
    canvas.save()
    return target.getvalue()


def sign(
    data: bytes,
    hand: Hand,
    *,
    field: str = "sig",
    digest: str = "sha256",
    kind: SigSeedSubFilter = SigSeedSubFilter.ADOBE_PKCS7_DETACHED,
    password: str = "",
) -> bytes:
    writer = IncrementalPdfFileWriter(BytesIO(data))
    if password:
        writer.encrypt(password)  # type: ignore[no-untyped-call]
    append_signature_field(writer, SigFieldSpec(field, box=(230, 600, 430, 630)))
    metadata = signers.PdfSignatureMetadata(field_name=field, md_algorithm=digest, subfilter=kind)
    signed: bytes = signers.sign_pdf(writer, metadata, signer=hand.signer).getvalue()
    return signed


@pytest.fixture(scope="module")
def signed(form: bytes, hand: Hand) -> bytes:
    return sign(form, hand)


def fill(data: bytes, value: str) -> bytes:
    """Change the first field in a new revision, the signed bytes left as they are."""
    writer = IncrementalPdfFileWriter(BytesIO(data))
    field = writer.root["/AcroForm"]["/Fields"].raw_get(0)
    field.get_object()["/V"] = generic.pdf_string(value)
    writer.mark_update(field)
    target = BytesIO()
    writer.write(target)  # type: ignore[no-untyped-call]
    return target.getvalue()


def tamper(data: bytes) -> bytes:
    """Change the value in the signed bytes themselves."""
    assert data.count(b"(Odile)") == 2
    return data.replace(b"(Odile)", b"(Eliod)")


def judge_outside(data: bytes, hand: Hand, password: str = "") -> list[tuple[bool, bool]]:
    """PyHanko's verdicts: is the digest right, does the signature cover the whole file."""
    root = hand.signer.signing_cert
    reader = PdfFileReader(BytesIO(data))
    if password:
        reader.decrypt(password)
    verdicts = []
    for signature in reader.embedded_signatures:
        status = validate_pdf_signature(signature, ValidationContext(trust_roots=[root]))
        verdicts.append((status.intact, status.coverage is SignatureCoverageLevel.ENTIRE_FILE))
    return verdicts


def judge(data: bytes) -> list[tuple[bool | None, bool]]:
    fields = sorted(read_fields_here(data).fields, key=lambda field: field.name)
    seals = [field.seal for field in fields if field.seal is not None]
    assert all(seal.state is SealState.SIGNED for seal in seals)
    return [(seal.is_intact, seal.covers_file) for seal in seals]


def test_verdict_on_a_signed_file_is_that_of_pyhanko(signed: bytes, hand: Hand) -> None:
    assert judge(signed) == judge_outside(signed, hand) == [(True, True)]


def test_verdict_on_a_file_filled_after_signing_is_that_of_pyhanko(
    signed: bytes, hand: Hand
) -> None:
    data = fill(signed, "Wren Castellow")

    assert judge(data) == judge_outside(data, hand) == [(True, False)]


def test_verdict_on_a_tampered_file_is_that_of_pyhanko(signed: bytes, hand: Hand) -> None:
    data = tamper(signed)

    assert judge(data) == judge_outside(data, hand) == [(False, True)]


def test_verdict_on_two_signatures_is_that_of_pyhanko(signed: bytes, hand: Hand) -> None:
    data = sign(signed, hand, field="sig2")

    assert judge(data) == judge_outside(data, hand) == [(True, False), (True, True)]


def test_verdict_on_a_line_end_added_is_that_of_pyhanko(signed: bytes, hand: Hand) -> None:
    data = signed + b"\n"

    assert judge(data) == judge_outside(data, hand) == [(True, False)]


@pytest.mark.parametrize("digest", ["sha1", "sha256", "sha384", "sha512"])
def test_verdict_for_each_digest_is_that_of_pyhanko(form: bytes, hand: Hand, digest: str) -> None:
    data = sign(form, hand, digest=digest)
    broken = tamper(data)

    assert judge(data) == judge_outside(data, hand) == [(True, True)]
    assert judge(broken) == judge_outside(broken, hand) == [(False, True)]


def test_verdict_on_a_european_signature_is_that_of_pyhanko(form: bytes, hand: Hand) -> None:
    data = sign(form, hand, kind=SigSeedSubFilter.PADES)

    assert judge(data) == judge_outside(data, hand) == [(True, True)]


def test_verdict_for_an_elliptic_key_is_that_of_pyhanko(form: bytes) -> None:
    hand = make_hand(ec.generate_private_key(ec.SECP256R1()))
    data = sign(form, hand)

    assert judge(data) == judge_outside(data, hand) == [(True, True)]


def test_verdict_on_an_encrypted_file_is_that_of_pyhanko(form: bytes, hand: Hand) -> None:
    writer = PdfWriter(clone_from=BytesIO(form))
    writer.encrypt("", "owner-word", algorithm="AES-256")
    target = BytesIO()
    writer.write(target)
    data = sign(target.getvalue(), hand, password="owner-word")  # noqa: S106 - a test's own

    assert judge(data) == judge_outside(data, hand, "owner-word") == [(True, True)]


def test_every_flipped_byte_is_noticed_as_by_pyhanko(signed: bytes, hand: Hand) -> None:
    """Bytes over the whole file but the message, that leave the file readable."""
    start, end = signed.index(b"/Contents <") + 11, signed.index(b">", signed.index(b"/Contents <"))
    comment = signed.index(b"%PDF") + 10
    verdicts = []
    for place in (comment, comment + 1, signed.index(b"(Odile)") + 3):
        assert not start <= place < end
        broken = bytearray(signed)
        broken[place] ^= 1
        verdicts.append((judge(bytes(broken)), judge_outside(bytes(broken), hand)))

    assert verdicts == [([(False, True)], [(False, True)])] * 3


def test_seal_names_the_fields_changed_after_signing(signed: bytes) -> None:
    field = read_fields(fill(signed, "Wren Castellow")).fields[-1]
    added = len(fill(signed, "Wren Castellow")) - len(signed)

    assert field.seal == Seal(
        state=SealState.SIGNED,
        is_intact=True,
        covers_file=False,
        added_bytes=added,
        changed_fields=("owner",),
        why=f"{UNCHANGED} {added} bytes were added to the file after this signature. "
        f"Since then these fields were changed: owner. {NOT_JUDGED}",
    )


def message_of(data: bytes, hand: Hand, options: list[pkcs7.PKCS7Options]) -> bytes:
    assert isinstance(hand.key, rsa.RSAPrivateKey)
    builder = pkcs7.PKCS7SignatureBuilder().set_data(data)
    builder = builder.add_signer(hand.certificate, hand.key, hashes.SHA256())
    return builder.sign(Encoding.DER, options)


def wrap(
    message: bytes, front: bytes = b"%PDF front ", back: bytes = b" back"
) -> tuple[bytes, tuple[int, ...]]:
    """Bytes signed around a message in its brackets, and their ranges."""
    gap = b"<" + message.hex().encode() + b"0000>"
    first = len(front)
    return front + gap + back, (0, first, first + len(gap), len(back))


def test_bytes_check_on_a_message_of_openssl(hand: Hand) -> None:
    detached = [pkcs7.PKCS7Options.DetachedSignature, pkcs7.PKCS7Options.Binary]
    message = message_of(b"%PDF front  back", hand, detached)
    data, ranges = wrap(message)

    check = compute_bytes_check(data, message, ranges, DETACHED)

    assert check == BytesCheck(is_intact=True, covers_file=True, added_bytes=0, why=UNCHANGED)


def test_bytes_check_on_a_message_of_openssl_over_other_bytes(hand: Hand) -> None:
    detached = [pkcs7.PKCS7Options.DetachedSignature, pkcs7.PKCS7Options.Binary]
    message = message_of(b"%PDF front  BACK", hand, detached)
    data, ranges = wrap(message)

    check = compute_bytes_check(data, message, ranges, DETACHED)

    assert check == BytesCheck(is_intact=False, covers_file=True, added_bytes=0, why=CHANGED)


def test_bytes_check_without_signed_attributes_cannot_tell(hand: Hand) -> None:
    """Then only the key could tell, and keys are not looked at."""
    options = [
        pkcs7.PKCS7Options.DetachedSignature,
        pkcs7.PKCS7Options.Binary,
        pkcs7.PKCS7Options.NoAttributes,
    ]
    message = message_of(b"%PDF front  back", hand, options)
    data, ranges = wrap(message)

    check = compute_bytes_check(data, message, ranges, DETACHED)

    assert check.is_intact is None


def test_bytes_check_on_the_old_kind_with_the_digest_inside(hand: Hand) -> None:
    """ISO 32000-1 table 257: the SHA-1 of the ranges is the content of the message."""
    digest = hashlib.sha1(b"%PDF front  back", usedforsecurity=False).digest()
    verdicts = []
    for content in (digest, bytes(20)):
        message = message_of(content, hand, [pkcs7.PKCS7Options.Binary])
        data, ranges = wrap(message)
        check = compute_bytes_check(data, message, ranges, "/adbe.pkcs7.sha1")
        verdicts.append(check.is_intact)

    assert verdicts == [True, False]


def test_bytes_check_on_a_kind_that_is_not_understood() -> None:
    data, ranges = wrap(b"0")

    check = compute_bytes_check(data, b"0", ranges, "/adbe.x509.rsa_sha1")

    assert (check.is_intact, check.covers_file) == (None, True)


@pytest.mark.parametrize(
    ("ranges", "why"),
    [
        ((), "The signature does not say which bytes it covers."),
        ((0, 5, -1, 5), "The signature does not say which bytes it covers."),
        ((1, 10, 20, 5), "The signature covers bytes that are not those of this file."),
        ((0, 11, 19, 9999), "The signature covers bytes that are not those of this file."),
        ((0, 9, 19, 5), "The signature leaves out more of the file than its own message."),
        ((0, 11, 20, 4), "The signature leaves out more of the file than its own message."),
    ],
)
def test_bytes_check_with_a_hole_in_the_ranges(ranges: tuple[int, ...], why: str) -> None:
    """A range that leaves out more than the message would let somebody change what is left out."""
    data, right = wrap(b"0")
    assert right == (0, 11, 19, 5)

    check = compute_bytes_check(data, b"0", ranges, DETACHED)

    assert check == BytesCheck(is_intact=False, covers_file=False, added_bytes=0, why=why)


def test_bytes_check_with_another_message_in_the_gap() -> None:
    data, ranges = wrap(b"0")

    check = compute_bytes_check(data, b"1", ranges, DETACHED)

    assert check.is_intact is False


@pytest.mark.parametrize(
    "message",
    [b"0", b"0\x84\xff\xff\xff\xff", b"\x1f\x81\x01\x00", b"0\x80" * 40, b"0\x80" + b"\5\0" * 3000],
)
def test_bytes_check_on_a_message_that_is_no_message(message: bytes) -> None:
    data, ranges = wrap(message)

    check = compute_bytes_check(data, message, ranges, DETACHED)

    assert (check.is_intact, check.why) == (None, "Its signed message cannot be read.")


def test_read_part_with_an_open_length() -> None:
    """ITU-T X.690 section 8.1.3.6: the value ends with two zeros."""
    data = b"\x30\x80\x04\x02ab\x24\x80\x04\x01c\0\0\0\0rest"

    whole = read_part(data, 0)
    inner = [(part.tag, data[part.start : part.end]) for part in read_parts(data, whole)]

    assert (whole.after, inner) == (15, [(0x04, b"ab"), (0x24, b"\x04\x01c")])


def test_read_parts_running_over_the_end() -> None:
    data = b"\x30\x03\x04\x02ab"
    part = read_part(data, 0)

    with pytest.raises(MessageError):
        list(read_parts(data, part))


def test_signature_over_half_a_file_is_not_called_intact(hand: Hand) -> None:
    """The signed part has no pages; they were added after signing."""
    head = b"%PDF-1.7\n4 0 obj\n<</Type/Annot/Subtype/Widget/FT/Sig/T(sig)/Rect[9 9 99 99]/V "
    kind = b"<</Type/Sig/SubFilter/adbe.pkcs7.detached"
    entries = kind + b"/ByteRange[%010d %010d %010d %010d]/Contents"
    close = b">>>>\nendobj\n"
    pages = (
        b"1 0 obj\n<</Type/Catalog/Pages 2 0 R/AcroForm<</Fields[4 0 R]>>>>\nendobj\n"
        b"2 0 obj\n<</Type/Pages/Kids[3 0 R]/Count 1>>\nendobj\n"
        b"3 0 obj\n<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]/Annots[4 0 R]>>\nendobj\n"
        b"trailer\n<</Root 1 0 R>>\n%%EOF\n"
    )
    room = 2 * 2000 + 2
    first = len(head) + len(entries % (0, 0, 0, 0))
    front = head + entries % (0, first, first + room, len(close))
    detached = [pkcs7.PKCS7Options.DetachedSignature, pkcs7.PKCS7Options.Binary]
    message = message_of(front + close, hand, detached).ljust(2000, b"\0")
    data = front + b"<" + message.hex().encode() + b">" + close + pages

    seal = read_fields_here(data).fields[0].seal

    assert seal == Seal(
        state=SealState.SIGNED,
        added_bytes=len(pages),
        why=f"{UNCHANGED} {len(pages)} bytes were added to the file after this signature. "
        f"The part that was signed is no whole PDF. {NOT_JUDGED}",
    )
