"""Files: the table of formats, their writers and readers, compared and folded.

In order: record, formats, made, readers, pairs, sequence, verify, passes, pdf_objects, writers,
fold_check, coupons.
"""
