"""Geometry of the plane: shapes, moves, measures, relations. Millimetres, radians, y up.

In order: shapes, measure, moves, parts.
"""
