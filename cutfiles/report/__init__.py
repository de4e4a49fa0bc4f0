"""What people look at: pictures, and the tables of a made support.

In order: script, outlines, pictures, printed, text, pages.
"""
