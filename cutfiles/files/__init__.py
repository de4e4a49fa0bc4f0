"""Files: the table of formats, their writers and readers, compared and folded.

In order: record, formats, made, readers, pairs, sequence, verify, passes, writers, fold_check,
coupons.
"""
