"""The only way to a disk: own files known, others' never touched, a set whole or not at all.

In order: names, refusals, system, sets, files.
"""
