"""Many supports from one list: made, nested on shared film, told in tables and pages.

In order: cards, plan, results, tables, prints, thumbs, page, work, state, workers, films, run.
"""
