"""Each kind of support as a linkage of the plane: panels, folds, contacts, and whether it sways.

In order: linkage, level, rigid, riser, choose.
"""
