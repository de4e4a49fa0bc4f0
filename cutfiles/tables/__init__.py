"""A table or a row that people write, read to typed values, all faults at once.

In order: field, load, value, record.
"""
