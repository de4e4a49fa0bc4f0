"""The support standing: its profile of panels and fold angles, its design, and its checks.

In order: adjust, bounds, contacts, fit, linkages, constructions, loads, profile, states, limits,
judge, choose, leaning, steps, standing, checks, kinds, design, lay, advice, settle, straps,
trials, trial_rows, verdict, tolerance.
"""
