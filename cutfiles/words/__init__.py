"""Numbers and data as sentences of the trade.

In order: bench, cautions, made, terms, verdict.
"""
