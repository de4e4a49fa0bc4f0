"""What one order comes to: made, delivered, checked at a later time.

In order: names, deliver, deliver_files, aligned, order, fitting, make, coupon, labels, recheck,
beside, edits, trial, workshop, cutting, asked, cut_record, pass_files, course.
"""
