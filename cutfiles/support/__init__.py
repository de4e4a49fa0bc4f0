"""The support standing: its profile of panels and fold angles, its design, and its checks.

In order: adjust, bounds, contacts, fit, loads, lone, profile, steps, standing, spare,
constructions, construct, states, limits, judge, choose, leaning, carried, kinds, rigid, checks,
design, lay, advice, settle, straps, trials, trial_rows, verdict, adjusted, tolerance.
"""
