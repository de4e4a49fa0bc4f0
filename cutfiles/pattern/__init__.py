"""The support laid flat: outline, holes, creases, labels and guides, and the way back.

In order: facts, glyphs, layers, lettering, pattern, bands, flanges, fold_up, guides, labels, posts,
coupons, slots, checks, ticks, unfold.
"""
