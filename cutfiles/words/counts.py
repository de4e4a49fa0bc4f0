"""Counts of things in words."""


def counted(count: int, word: str) -> str:
    """Return a count of things in words.

    >>> counted(1, "sheet"), counted(2, "sheet")
    ('1 sheet', '2 sheets')
    """
    return f"{count} {word}{'' if count == 1 else 's'}"
