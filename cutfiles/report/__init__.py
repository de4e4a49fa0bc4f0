"""What people look at: pictures, and the tables of a made support.

In order: pictures, printed, text, pages.
"""
