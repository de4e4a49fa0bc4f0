"""Many supports from one list: made, nested on shared film, told in tables and pages.

In order: cards, films, plan, results, pieces, tables, prints, thumbs, page, work, state, workers,
run.
"""
