"""One cutter: its profile, and what it does with a sheet: passes, order, time, compensation."""
