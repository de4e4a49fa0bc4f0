"""What one machine is: the profile as people write it, read and checked.

In order: contradictions, fields, read.
"""
