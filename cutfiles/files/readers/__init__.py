"""One module a format: bytes go in, what the file states comes out.

A reader shares no code with its writer: here are only the standard library, pypdf for the
container of PDFs that others saved, the package's dataclasses and errors, and the neutral types of
``reading``.

In order: limits, reading, dxf, fold, gcode, hpgl, pdf_plain, pdf, svg.
"""
