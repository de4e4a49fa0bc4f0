"""Writes a table as a spreadsheet (Office Open XML): texts alone, so that nothing is made a date.

Every cell is formatted as text, blank ones too: what is typed into them stays as it was typed. The
same rows give the same bytes.
"""

import io
import zipfile
from collections.abc import Sequence
from html import escape

_NEVER = (1980, 1, 1, 0, 0, 0)
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_DOCUMENT = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml"
_PARTS = {
    "[Content_Types].xml": (
        f'<Types xmlns="{_PACKAGE}/content-types">'
        '<Default Extension="rels" ContentType='
        '"application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="xml" ContentType="application/xml"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{_TYPE}.sheet.main+xml"/>'
        f'<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{_TYPE}.worksheet+xml"/>'
        f'<Override PartName="/xl/styles.xml" ContentType="{_TYPE}.styles+xml"/></Types>'
    ),
    "_rels/.rels": (
        f'<Relationships xmlns="{_PACKAGE}/relationships"><Relationship Id="rId1" '
        f'Type="{_DOCUMENT}/officeDocument" Target="xl/workbook.xml"/></Relationships>'
    ),
    "xl/workbook.xml": (
        f'<workbook xmlns="{_MAIN}" xmlns:r="{_DOCUMENT}"><sheets>'
        '<sheet name="list" sheetId="1" r:id="rId1"/></sheets></workbook>'
    ),
    "xl/_rels/workbook.xml.rels": (
        f'<Relationships xmlns="{_PACKAGE}/relationships"><Relationship Id="rId1" '
        f'Type="{_DOCUMENT}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" '
        f'Type="{_DOCUMENT}/styles" Target="styles.xml"/></Relationships>'
    ),
    "xl/styles.xml": (
        f'<styleSheet xmlns="{_MAIN}"><fonts count="2"><font><sz val="11"/><name val="Arial"/>'
        '</font><font><b/><sz val="11"/><name val="Arial"/></font></fonts><fills count="3"><fill>'
        '<patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill>'
        '<fill><patternFill patternType="solid"><fgColor rgb="FFFFF2CC"/></patternFill></fill>'
        '</fills><borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs>'
        '<cellXfs count="3"><xf numFmtId="49" applyNumberFormat="1"/>'
        '<xf numFmtId="49" fontId="1" applyNumberFormat="1" applyFont="1"/>'
        '<xf numFmtId="49" fillId="2" applyNumberFormat="1" applyFill="1"/></cellXfs>'
        '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>'
        "</styleSheet>"
    ),
}
_PLAIN, _BOLD, _FILLED = 0, 1, 2


def spreadsheet(rows: Sequence[Sequence[str]], to_fill: Sequence[Sequence[bool]]) -> bytes:
    """Return a table as XLSX.

    Args:
        rows: its texts, the header first; it stays in view.
        to_fill: of each row below the header, which of its cells are to be filled in: they are
            shaded where they are blank.

    """
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in (*_PARTS.items(), ("xl/worksheets/sheet1.xml", _sheet(rows, to_fill))):
            info = zipfile.ZipInfo(name, _NEVER)
            info.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(info, (_HEAD + text).encode())
    return out.getvalue()


def _sheet(rows: Sequence[Sequence[str]], to_fill: Sequence[Sequence[bool]]) -> str:
    widths = [
        min(40, 3 + max((len(row[k]) for row in rows), default=0)) for k in range(len(rows[0]))
    ]
    columns = "".join(
        f'<col min="{k}" max="{k}" width="{width}" customWidth="1"/>'
        for k, width in enumerate(widths, start=1)
    )
    lines = [_row(1, rows[0], [_BOLD] * len(rows[0]))]
    for number, (row, fill) in enumerate(zip(rows[1:], to_fill, strict=True), start=2):
        looks = [_FILLED if f and not text else _PLAIN for text, f in zip(row, fill, strict=True)]
        lines.append(_row(number, row, looks))
    return (
        f'<worksheet xmlns="{_MAIN}"><sheetViews><sheetView workbookViewId="0"><pane ySplit="1" '
        'topLeftCell="A2" activePane="bottomLeft" state="frozen"/></sheetView></sheetViews>'
        f"<cols>{columns}</cols><sheetData>{''.join(lines)}</sheetData></worksheet>"
    )


def _row(number: int, texts: Sequence[str], looks: Sequence[int]) -> str:
    cells = "".join(
        f'<c r="{_column(k)}{number}" s="{look}"'
        + (
            f' t="inlineStr"><is><t xml:space="preserve">{escape(_plain(text), quote=False)}'
            "</t></is></c>"
            if text
            else "/>"
        )
        for k, (text, look) in enumerate(zip(texts, looks, strict=True))
    )
    return f'<row r="{number}">{cells}</row>'


def _plain(text: str) -> str:
    """Return a text without signs that no XML may hold."""
    return "".join(c for c in text if c >= " " and c not in "\ufffe\uffff")


def _column(index: int) -> str:
    """Return what a column is called.

    >>> _column(0), _column(25), _column(26), _column(702)
    ('A', 'Z', 'AA', 'AAA')
    """
    name = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        name = chr(65 + rest) + name
    return name
