"""What the terminal shows and what data hold.

In order: check, cutters, films, fold_check, plan, made, trial, coupon.
"""
