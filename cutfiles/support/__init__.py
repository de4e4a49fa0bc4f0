"""The support standing: its profile of panels and fold angles, its design, and its checks.

In order: adjust, bounds, contacts, fit, linkages, loads, profile, steps, standing, checks, kinds,
design, straps, constructions, states, limits, judge, lay, choose, settle, leaning, trials,
trial_rows, verdict, advice, tolerance.
"""
