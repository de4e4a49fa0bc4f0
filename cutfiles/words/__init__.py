"""Numbers and data as sentences of the trade.

In order: counts, marks, scales, bench, steps, strips, cautions, coupons, made, terms, verdict.
"""
