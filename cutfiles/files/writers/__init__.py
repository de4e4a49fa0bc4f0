"""One module a format: a drawing goes in, bytes come out; nothing touches the disk.

In order: dxf_frame, dxf, fold, gcode, hpgl, pdf, svg.
"""
