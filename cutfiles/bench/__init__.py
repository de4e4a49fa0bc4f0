"""What was measured at the bench: the book, its opening, the film, and the slip that says so."""
