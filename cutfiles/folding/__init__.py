"""What is drawn, folded in space: planar graph of faces and creases, folding, the check.

In order: graph, drawn, film, bows, space, fold, clash, flanges, isometry, shape, posts, vertices,
check, coupons.
"""
