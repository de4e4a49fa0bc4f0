"""Numbers and data as sentences of the trade.

In order: bench, cautions, coupons, made, terms, verdict.
"""
