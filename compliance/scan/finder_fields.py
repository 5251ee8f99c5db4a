"""The form fields of a page that a person fills in, with their names and tips."""

from ctypes import byref, c_ushort

import pypdfium2 as pdfium
import pypdfium2.raw as api

from compliance.scan.finder_shapes import Field
from compliance.scan.finder_text import Matrix, apply_rect

_SORTS = {
    api.FPDF_FORMFIELD_CHECKBOX: "check",
    api.FPDF_FORMFIELD_RADIOBUTTON: "check",
    api.FPDF_FORMFIELD_COMBOBOX: "text",
    api.FPDF_FORMFIELD_LISTBOX: "text",
    api.FPDF_FORMFIELD_TEXTFIELD: "text",
    api.FPDF_FORMFIELD_SIGNATURE: "signature",
}


_OUT_OF_SIGHT = 2 | 32  # annotation flags Hidden and NoView of ISO 32000, table 165


_READ_ONLY = 1


def find_form_fields(
    document: pdfium.PdfDocument, page: pdfium.PdfPage, shown: Matrix
) -> tuple[Field, ...]:
    """Give the form fields of a page that a person fills in."""
    form = document.formenv.raw if document.formenv else None
    fields = []
    for index in range(api.FPDFPage_GetAnnotCount(page.raw)):
        note = api.FPDFPage_GetAnnot(page.raw, index)
        sort = _SORTS.get(api.FPDFAnnot_GetFormFieldType(form, note)) if form else None
        hidden = api.FPDFAnnot_GetFlags(note) & _OUT_OF_SIGHT
        fixed = form and sort and api.FPDFAnnot_GetFormFieldFlags(form, note) & _READ_ONLY
        if sort and not hidden and not fixed:
            rect = api.FS_RECTF()
            api.FPDFAnnot_GetRect(note, byref(rect))
            place = apply_rect(shown, rect.left, rect.bottom, rect.right, rect.top)
            fields.append(
                Field(
                    left=place.left,
                    bottom=place.bottom,
                    right=place.right,
                    top=place.top,
                    sort=sort,
                    name=_ask_text(api.FPDFAnnot_GetFormFieldName, form, note),
                    tip=_ask_text(api.FPDFAnnot_GetFormFieldAlternateName, form, note),
                )
            )
        api.FPDFPage_CloseAnnot(note)
    return tuple(fields)


def _ask_text(ask: pdfium.PdfObject, form: pdfium.PdfObject, note: pdfium.PdfObject) -> str:
    """Give a text of a form field."""
    size = ask(form, note, None, 0)
    buffer = (c_ushort * (size // 2 + 1))()
    ask(form, note, buffer, size)
    return bytes(buffer).decode("utf-16-le", errors="replace").split("\0", 1)[0].strip()
