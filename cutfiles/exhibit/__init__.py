"""Many supports from one list: made, nested on shared film, told in tables and pages.

In order: films, plan, stages, results, entries, cards, buying, totals, pieces, sheets,
compared, changes, tables, workers, jobs, case_plan, install, packs, prints, memory, thumbs,
page, work, state, lists, mark, standing, outcome, rounds, run.
"""
