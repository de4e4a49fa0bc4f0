"""What the words beside a size mean, in the languages that lists are kept in.

Words that are in no table have no sense, and a size beside such a word is asked about: a reader
that skips what it does not know reads the frame for the book.
"""

import re
import unicodedata
from typing import Literal, get_args

Axis = Literal["height", "width", "thickness"]
AXES: tuple[Axis, ...] = get_args(Axis)
Sense = Literal[
    "height",
    "width",
    "thickness",
    "length",  # of a box or of a line: which way of a book it runs nobody knows
    "round",  # diameter, circumference
    "weight",
    "book",  # a bound thing
    "whole",  # the object, whatever it is
    "closed",
    "opened",
    "other",  # a thing that is not the closed book: its leaf, image, frame, case
    "folded",
    "held",  # in a container: the size may be the container's
    "each",  # of several, or on average
    "various",
    "loose",  # sheets, parts, scores: no binding
    "leaves",  # counted: an extent; alone: a size of one of them
    "volumes",
    "format",
    "oblong",  # wider than tall, and that is meant
    "set",  # several of one number
    "detail",  # of a catalogue's description, without meaning for the size
    "about",
    "certain",  # "in", "and", "with": no meaning by themselves
]

_AXES = {
    "height": "h ht high height tall alto alta altura hoehe höhe hoch hauteur haut altezza "
    "hoogte höjd",
    "width": "w wd wide width breadth b br breite breit largeur larg ancho ancha anchura largura "
    "larghezza breedte bredd",
    "thickness": "d t th depth deep thick thickness dicke dick stärke tiefe epaisseur ep "
    "profondeur prof grosor espesor fondo profundidad espessura profundidade spessore profondita "
    "dikte diepte djup tjocklek",
    "length": "l lg length long länge longueur largo longitud comprimento lunghezza lengte längd",
    "round": "diam diameter dia ø durchmesser diametre diametro circumference umfang "
    "circunferencia circonference",
    "weight": "weight wt gewicht poids peso vikt",
}
_THINGS = {
    "set": "books albums sketchbooks notebooks bücher livres libros livros "
    "libri two three four both",
    "book": "book album sketchbook notebook codex binding bound ledger diary "
    "buch band einband gebunden livre reliure relie libro encuadernacion encuadernado livro "
    "encadernacao rilegatura boek outer cover covers boards",
    "whole": "overall object item work whole total size sizes dimensions dimension dims "
    "measurements measures obra objet objekt objektmaß gesamt gesamtmaß maß maße masse mass format "
    "dim abmessung abmessungen größe grösse mesure taille tamaño "
    "oeuvre dimensoes dimensiones dimensioni mesures medidas formato approximate",
    "closed": "closed shut geschlossen zu ferme fermee cerrado cerrada fechado fechada chiuso "
    "chiusa gesloten stängd",
    "opened": "open opened aufgeschlagen offen geöffnet ouvert ouverte abierto abierta aberto "
    "aberta aperto aperta spread opening unfolded extended",
    "other": "sheet page image imagem imagen bild plate print text block textblock writing written "
    "frame framed mount mat passe partout passepartout shell inner design marco "
    "moldura rahmen cadre luz sight trimmed cropped suporte spine backing display "
    "blatt feuillet hoja folha",
    "folded": "folded folding folds fold gefaltet plie pliee plegado dobrado piegato gevouwen",
    "held": "box boxed case cased slipcase tray container containers folder portfolio "
    "wrapper envelope sleeve clamshell enclosure schuber mappe etui boite caja estuche caixa",
    "each": "each every cada je jeweils chaque chacun chacune ciascuno average averages",
    "various": "various varies varying variable different differing diverse verschiedene "
    "unterschiedlich varias varios divers diverses largest smallest max min maximum minimum",
    "loose": "score scores part parts parte stimme stimmen partitur sheets map maps card cards "
    "broadside poster posters pair set lot items pieces drawing drawings desenhos desenho",
    "leaves": "p pp pg pgs pages s ss seiten f ff fol fols folio folios fo leaf leaves l ll bl "
    "blätter feuillets hojas folhas",
    "volumes": "v vol vols volume volumes bd bde bände tome tomes tomo tomos volumen",
    "format": "folio quarto octavo duodecimo sextodecimo fol portrait upright hochformat",
    "oblong": "oblong landscape quer querformat apaisado italienne",
    "detail": "ill illus illustrations illustration illustrated ills color colour colored coloured "
    "col chiefly all some black white unpaged unnumbered numbered unfoliated pagings paginations "
    "paging portraits ports facsimiles facsims plans tables music plates including front back "
    "flyleaf flyleaves partly mostly",
    "about": "about approx approximately circa ca c etwa environ",
    "certain": "in and & of the a with to by is con com mit avec et und y e de da der die das",
}
_FORMAT = re.compile(r"(?:in|quer)-?\d+[°º]?|\d+(?:vo|to|mo)|\d+[°º]")
_LETTERED = re.compile(r"[a-h]-[b-z]")
"""Things of one number, told apart by letters: "a-c"."""


def _table(*tables: dict[str, str]) -> dict[str, frozenset[Sense]]:
    senses: dict[str, frozenset[Sense]] = {}
    for table in tables:
        for sense in get_args(Sense):
            for word in table.get(sense, "").split():
                senses[word] = senses.get(word, frozenset()) | {sense}
    return senses


def plain_word(word: str) -> str:
    """Return a word as the tables have it: small letters, accents of Romance languages off.

    >>> plain_word("Diámetro"), plain_word("Höhe"), plain_word("ÉPAISSEUR.")
    ('diametro', 'höhe', 'epaisseur')
    """
    text = unicodedata.normalize("NFC", word.lower().strip("."))
    return "".join(c if c in "äöüøß°" else _bare(c) for c in text)


def _bare(letter: str) -> str:
    return "".join(c for c in unicodedata.normalize("NFD", letter) if not unicodedata.combining(c))


_LABELS = _table(_AXES)
_WORDS = _table(_THINGS)
_ROMAN = re.compile(r"[ivxlc]+")


def axis_of(word: str) -> Sense | None:
    """Return which way a label measures, or None where it is no label of a measure.

    >>> axis_of("Höhe"), axis_of("Fondo/Profundidad"), axis_of("sheet")
    ('height', 'thickness', None)
    """
    ways = {way for part in word.split("/") for way in _LABELS.get(plain_word(part), {None})}
    return ways.pop() if len(ways) == 1 else None


def senses_of(word: str) -> frozenset[Sense]:
    """Return what a word beside a size may mean; empty where it is not known.

    >>> sorted(senses_of("folio")), sorted(senses_of("Passe-partout")), senses_of("xyzzy")
    (['format', 'leaves'], ['other'], frozenset())
    """
    plain = plain_word(word)
    if plain in _WORDS:
        return _WORDS[plain]
    if _FORMAT.fullmatch(plain):
        return frozenset(("oblong" if plain.startswith("quer") else "format",))
    if _LETTERED.fullmatch(plain):
        return frozenset(("set",))
    parts = [_WORDS.get(part, frozenset()) for part in re.split(r"[-/]", plain)]
    if len(parts) > 1 and all(parts):
        return frozenset().union(*parts)
    return frozenset(("detail",)) if is_roman(plain) else frozenset()


def is_roman(word: str) -> bool:
    """Whether a word is a Roman number, as leaves before the first page have them."""
    return bool(_ROMAN.fullmatch(plain_word(word)))


def counts(word: str) -> bool:
    """Whether a number before this word counts leaves or volumes, as "[38] p." does."""
    return bool(senses_of(word) & {"leaves", "volumes"})
