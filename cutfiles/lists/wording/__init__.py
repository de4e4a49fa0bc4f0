"""How collections and library catalogues word a size, read by a small grammar.

Tokens make clauses, labelled numbers and words that each have a sense; checks say what is asked.

In order: senses, tokens, clauses, checks, reading.
"""
