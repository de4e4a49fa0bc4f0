"""Pictures of one support, as SVG and PNG.

In order: block, canvas, png, paint, view, scene, strip, folded, spread, flat, legs, standing,
alignment, naming, passing, edits.
"""
