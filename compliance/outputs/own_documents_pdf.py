"""The papers we write ourselves, as PDF to print, sign and send."""

from dataclasses import replace

from reportlab.lib.colors import black
from reportlab.platypus import Flowable, HRFlowable, KeepTogether, Spacer, Table

from compliance.forms.model import BlankKind
from compliance.outputs.own_model import (
    OwnCertificate,
    OwnDocument,
    OwnField,
    OwnPages,
    OwnSignLine,
    OwnSpot,
)
from compliance.outputs.own_pages import (
    FINE,
    GAP,
    HEAD,
    KNOWN,
    LABEL,
    SECTION,
    make_beside,
    make_boxes,
    make_rules,
    make_sign_block,
    make_write_table,
    render_own_pages,
)
from compliance.outputs.own_places import Spot
from compliance.outputs.own_wording import FOOT, MARK
from compliance.outputs.pdf_kit import BODY, FONT, make_text

_BETWEEN = 7.0
_STAMP_WIDTH = 180.0
_STAMP_HEIGHT = 104.0
_SIDES = ("LEFT", "RIGHT", "TOP", "BOTTOM")


def render_own_document(document: OwnDocument) -> OwnPages:
    """Make the PDF of one paper of our own, and tell where it is to be filled in.

    A blank and its lines stay on one page, and so does a signature block. Equal input gives equal
    bytes.
    """
    return render_own_pages(
        f"{document.title} {document.packet_id}",
        document.packet_id,
        document.as_of,
        FOOT,
        lambda: _build(document),
    )


def make_head(title: str) -> list[Flowable]:
    """Make the title, and the line that says who wrote the page."""
    rule = HRFlowable(width="100%", thickness=1.2, color=black, spaceBefore=4, spaceAfter=8)
    return [make_text(title, HEAD), Spacer(0, 2), make_text(MARK, FINE), rule]


def _build(document: OwnDocument) -> list[Flowable]:
    return [
        *make_head(document.title),
        *make_beside("From", document.from_lines),
        *_build_to(document),
        *make_beside("Re", document.re_lines),
        *([make_text(document.opening, BODY), Spacer(0, 6)] if document.opening else []),
        *_build_body(document),
        *(_build_certificate(document.certificate) if document.certificate else []),
        Spacer(0, _BETWEEN),
        make_text(document.written_after, FINE),
    ]


def _build_body(document: OwnDocument) -> list[Flowable]:
    """Build the blanks, the enclosures and the signatures.

    The first signature keeps to the page of what stands before it: a signature on a page of its
    own says nothing.
    """
    groups = [_build_field(field) for field in document.fields]
    if document.enclosures:
        groups.append(_build_enclosures(document))
    last = groups.pop() if groups else []
    closing = [make_text(document.closing, BODY)] if document.closing else []
    first, *others = [make_sign_block(lines) for lines in document.signatures] or [Spacer(0, 0)]
    return [
        *(part for group in groups for part in [KeepTogether(group), Spacer(0, _BETWEEN)]),
        KeepTogether([*last, Spacer(0, _BETWEEN), *closing, first]),
        *(part for block in others for part in [Spacer(0, GAP), KeepTogether([block])]),
    ]


def _build_to(document: OwnDocument) -> list[Flowable]:
    if document.to_lines or not document.addressed:
        return make_beside("To", document.to_lines)
    return [make_text("To", LABEL), make_rules(2), Spacer(0, 8)]


def _build_field(field: OwnField) -> list[Flowable]:
    head: list[Flowable] = [make_text(field.section, SECTION)] if field.section else []
    head.append(make_text(field.label, LABEL))
    if field.note:
        head.append(make_text(field.note, FINE))
    body: list[Flowable] = [make_text(line, KNOWN) for line in field.known]
    spot = OwnSpot(blank=field.blank, kind=field.kind, label=field.label)
    printed = field.known
    if field.table and all(cell for row in field.table for cell in row):
        printed = tuple(", ".join(row) for row in field.table)
    if printed and field.blank:
        body.insert(0, Spot(replace(spot, printed="; ".join(printed))))
    if field.choices:
        body.append(make_boxes(field.choices, spot))
    if field.table:
        body.append(make_write_table(field.columns, field.table, spot))
    if field.rows:
        body.append(make_rules(field.rows, spot))
    return [*head, *body]


def _build_enclosures(document: OwnDocument) -> list[Flowable]:
    lines = [make_text(line, BODY) for line in document.enclosures]
    return [make_text("Enclosed", LABEL), *lines]


def _build_certificate(certificate: OwnCertificate) -> list[Flowable]:
    """Build the block the notary fills in, the place for the stamp under it.

    Source: ORS 194.285(3), copy of 2023: state, county, words of the act, date, name, signature,
    stamp, title of office and day the commission expires. The layout is our own.
    """
    upper = (
        _certify(certificate, "State of", BlankKind.NOTARY_STATE),
        _certify(certificate, "County of", BlankKind.NOTARY_COUNTY),
        _certify(certificate, certificate.act, BlankKind.NOTARY_DATE),
        _certify(certificate, certificate.by, BlankKind.PRINTED_NAME),
    )
    lower = (
        _certify(certificate, "Signature of notarial officer", BlankKind.NOTARY_SIGNATURE),
        _certify(certificate, "Title of office", BlankKind.NOTARY_TITLE),
        _certify(certificate, "My commission expires", BlankKind.NOTARY_EXPIRY),
    )
    act = BlankKind.NOTARY_ACT
    said = OwnSpot(
        blank=certificate.find_blank(act), kind=act, label="Act", printed=certificate.act
    )
    kind = BlankKind.NOTARY_STAMP
    spot = OwnSpot(blank=certificate.find_blank(kind), kind=kind, label="Official stamp")
    inside = Spot(spot, _STAMP_HEIGHT) if spot.blank else ""
    stamp = Table([[inside]], colWidths=(_STAMP_WIDTH,), rowHeights=(_STAMP_HEIGHT,), hAlign="LEFT")
    stamp.setStyle([("FONTNAME", (0, 0), (-1, -1), FONT), ("BOX", (0, 0), (-1, -1), 0.6, black)])
    stamp.setStyle([(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in _SIDES])
    stamp.setStyle([("VALIGN", (0, 0), (-1, -1), "BOTTOM")])
    return [
        KeepTogether(
            [
                make_text("For the notary to fill in", SECTION),
                *([Spot(said)] if said.blank else []),
                make_text(f"The words are {certificate.source}.", FINE),
                make_sign_block(upper),
                make_sign_block(lower),
                Spacer(0, GAP),
                make_text("Official stamp, readable, inside this clear space", FINE),
                Spacer(0, 3),
                stamp,
            ]
        ),
    ]


def _certify(certificate: OwnCertificate, label: str, kind: BlankKind) -> OwnSignLine:
    """Make one line of the certificate, tied to the template's blank of that kind."""
    return OwnSignLine(
        label=label,
        tall=kind is BlankKind.NOTARY_SIGNATURE,
        blank=certificate.find_blank(kind),
        kind=kind,
    )
