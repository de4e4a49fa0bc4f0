"""The desk: a page in the browser of this machine, and nobody else's.

What may reach it stands in `guard`; what takes long is done in `works`, in processes of their own;
a page is a function from a request to HTML made by the server, which works without any script.

In order: limits, remedies, works, guard, sittings, lists, books, folder, unsaved, looks, takes,
edited, sheets, desk, pages, orders, readings, exhibits, answers, measures, sections, shelf,
front, list, exhibit, book, drawing, plan, app, wire, serve.
"""
