"""The desk: a page in the browser of this machine, and nobody else's.

What may reach it stands in `guard`; what takes long is done in `works`, in processes of their own;
a page is a function from a request to HTML made by the server, which works without any script.

In order: limits, remedies, works, guard, lists, books, desk, pages, folder, readings, exhibits,
answers, looks, takes, measures, sections, front, list, exhibit, book, app, wire, serve.
"""
