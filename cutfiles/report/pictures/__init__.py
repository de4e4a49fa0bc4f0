"""Pictures of one support, as SVG and PNG.

In order: block, canvas, png, scene, folded, spread, flat, standing,
alignment.
"""
