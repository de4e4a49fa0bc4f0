"""The line to a cutter: what may be sent, over which line, and how it is left safe.

In order: flow, check, lines, send.
"""
