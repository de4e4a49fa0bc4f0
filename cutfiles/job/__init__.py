"""What one order comes to: made, delivered, checked at a later time.

In order: deliver, order, make, recheck, trial.
"""
