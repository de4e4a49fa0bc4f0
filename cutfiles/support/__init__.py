"""The support standing: its profile of panels and fold angles, its design, and its checks.

In order: adjust, bounds, contacts, fit, loads, lone, profile, steps, standing, landing, bags,
constructions, construct, spare, states, limits, ways, judge, choose, kinds, design, leaning,
carried, lay, straps, advice, rigid, checks, settle, trials, coupons, tried, trial_rows,
verdict, kept, adjusted, tolerance, reuse.
"""
