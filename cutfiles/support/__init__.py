"""The support standing: its profile of panels and fold angles, its design, and its checks.

In order: adjust, bounds, contacts, fit, linkages, loads, profile, steps, standing, checks, kinds,
design, straps, strength, constructions, states, limits, judge, choose, leaning, trials,
trial_rows, verdict, advice, tolerance.
"""
