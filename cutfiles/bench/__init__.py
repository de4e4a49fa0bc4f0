"""What was measured at the bench: the book, its opening, the film, and the slip that says so.

In order: book, choices, film, at_hand, fields, approximate, blank, films, guess, heights, doubts,
joints, lie, slip, alike, questions.
"""
