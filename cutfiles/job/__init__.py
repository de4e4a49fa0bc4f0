"""What one order comes to: made, delivered, checked at a later time.

In order: names, deliver, aligned, order, coupon, make, recheck, trial, workshop.
"""
