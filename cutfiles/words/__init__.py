"""Numbers and data as sentences of the trade.

In order: counts, marks, bench, steps, strips, cautions, coupons, made, terms, verdict.
"""
