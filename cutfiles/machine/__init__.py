"""One cutter: its profile, and what it does with a sheet: passes, order, time, compensation.

In order: endings, bridges, fit, knife, perforate, score, cutter, kerf, passes, options, stated,
formats, place, lying, align, profile, plan_data, marks, settings, compensation, tile, tour, order,
time, turning, plan, coupon.
"""
