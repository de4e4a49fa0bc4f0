"""The film: patterns nested on it, placed, marked: what a file holds.

In order: rules, drawing, layout_check, register, lay, lay_many, shelf, skyline, beam, nest, roll,
parts, free, layout, compare, late, strips.
"""
