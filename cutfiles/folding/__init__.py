"""What is drawn, folded in space: planar graph of faces and creases, folding, the check.

In order: graph, drawn, space, fold, isometry, bows, flanges, clash, shape,
posts, vertices, check.
"""
