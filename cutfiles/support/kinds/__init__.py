"""The kinds of support, one module each: how it stands on the table and carries its book.

In order: laid, level, crossed, made, riser.
"""
