"""A drawing as people edited and saved it: opened, understood, judged, kept and done again.

In order: limits, line, flatten, looks, arcs, svg, dxf, pdf, opening, edit, told, ring, meant,
cover, lie, roles, chains, scene, stretches, cuts, scores, marks, section, corners, safe, apply,
whole, find, keep, sealed, replay.
"""
