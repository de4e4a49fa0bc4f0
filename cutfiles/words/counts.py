"""Counts of things in words."""


def counted(count: int, word: str) -> str:
    """Return a count of things in words.

    >>> counted(1, "sheet"), counted(2, "sheet")
    ('1 sheet', '2 sheets')
    """
    return f"{count} {word}{'' if count == 1 else 's'}"


def supports_told(supports: int, trials: int = 0, without: int = 0) -> str:
    """Return how many supports there are, for trials only, and how many books have none.

    >>> supports_told(2, without=1), supports_told(2, 1)
    ('2 supports, 1 book without a support of film', '2 supports, 1 of them for a trial only')
    """
    told = [counted(supports, "support")]
    if trials:
        told.append(f"{trials} of them for a trial only")
    if without:
        told.append(f"{counted(without, 'book')} without a support of film")
    return ", ".join(told)
