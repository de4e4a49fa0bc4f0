"""The support laid flat: outline, holes, creases, labels and guides, and the way back.

In order: facts, glyphs, layers, lettering, pattern, ticks, fold_up, flanges, guides, labels,
posts, slots, checks, unfold.
"""
