"""One cutter: its profile, and what it does with a sheet: passes, order, time, compensation.

In order: bridges, fit, knife, perforate, score, cutter, kerf, passes, align, options, stated,
formats, place, profile, plan_data, settings, compensation, tile, tour, order, time, turning,
plan, coupon.
"""
