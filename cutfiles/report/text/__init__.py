"""What the terminal shows and what data hold.

In order: columns, check, cutters, films, fold_check, edits, plan, made, trial, coupon.
"""
