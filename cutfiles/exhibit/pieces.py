"""The pieces of an exhibit: the strip of each support and its posts, and whose a piece is."""

from collections.abc import Iterable, Iterator, Mapping

from cutfiles.bench.slip import Slip
from cutfiles.exhibit.results import SupportFacts, SupportResult
from cutfiles.film.layout import Piece
from cutfiles.film.layout_check import Lying
from cutfiles.words.counts import counted

_POST = " · "


def post_piece(number: str, post: str) -> str:
    """Return what a post is called among the pieces of an exhibit.

    >>> post_piece("A1", "left post")
    'A1 · left post'
    """
    return f"{number}{_POST}{post}"


def owner_of(piece: str) -> tuple[str, str]:
    """Return the number of the support that a piece belongs to, and which post it is, if one.

    >>> owner_of("A1 · left post"), owner_of("A1")
    (('A1', 'left post'), ('A1', ''))
    """
    number, mark, post = piece.rpartition(_POST)
    return (number, post) if mark and post in ("left post", "right post") else (piece, "")


def owners(pieces: Iterable[Lying]) -> tuple[str, ...]:
    """Return the numbers of the supports that pieces belong to, each once, in their order."""
    return tuple(dict.fromkeys(owner_of(piece.name)[0] for piece in pieces))


def pieces_told(pieces: Iterable[Lying]) -> str:
    """Return how many supports, and how many posts apart from them, lie on sheets."""
    are_posts = [bool(owner_of(piece.name)[1]) for piece in pieces]
    posts = sum(are_posts)
    told = counted(len(are_posts) - posts, "support")
    return f"{told}, {counted(posts, 'post')}" if posts else told


def pieces_of(support: SupportResult, facts: SupportFacts) -> Iterator[Piece]:
    """Yield the strip of a support, and its posts: they lie where there is room, else further.

    What needs a trial lies on sheets of its own.
    """
    own = [("", facts.width, facts.height, 1, facts.shape), *facts.posts]
    for post, width, height, count, shape in own:
        yield Piece(
            name=post_piece(support.number, post) if post else support.number,
            width=width,
            height=height,
            gauge=facts.gauge,
            count=count * support.copies,
            shape=shape,
            apart=facts.state == "make a trial",
        )


def place_of(slips: Mapping[str, Slip], lying: Lying) -> tuple[Slip, float, float, bool, str]:
    """Return what lies at one place of a sheet."""
    number, post = owner_of(lying.name)
    if number not in slips:
        number, post = lying.name, ""
    return slips[number], lying.left, lying.bottom, lying.turned, post
