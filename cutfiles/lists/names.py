"""What the columns of a list are called, and what they hold: English, German, French, Spanish.

Words of Italian, Portuguese, Dutch and Swedish stand here where lists were seen that use them.
"""

import re
import unicodedata

from cutfiles.bench.fields import FIELDS

_SYNONYMS = {
    "number": "no|nr|num|number|support|support no|support number|support nr|item|item no|cat no|"
    "catalogue no|catalog no|object no|object number|objectnumber|object identifier|id|ref|#|"
    "exhibit no|nummer|lfd nr|kat nr|katalognummer|objekt nr|objektnummer|numero|n|no de catalogue|"
    "numero de catalogue|numero de catalogo|no cat|objectnummer|pos|pos nr",
    "accession": "accession|accession no|accession number|acc no|inventory no|inventory number|"
    "inv no|inv|inv nr|inventar nr|inventarnummer|obj inventar nr s|inventaire|no inventaire|"
    "no d inventaire|numero d inventaire|numero d inventaire affecte a l objet|inventario|"
    "no inventario|numero de inventario|numero di inventario|inventarisnummer",
    "title": "title|short title|name|work|author title|titel|kurztitel|werk|"
    "bezeichnung|titre|titr|oeuvre|titulo|obra|titolo|obj titel original s|"
    "author and title|autor titel|auteur titre|autor y titulo",
    "description": "description|item description|object description",
    "object": "object|objekt|objet|objeto|oggetto",
    "shelf_mark": "shelf mark|shelfmark|call no|call number|signature|location|signatur|cote|"
    "signatura|segnatura|standort|pressmark|press mark",
    "opening": "opening|show|shown|page|pages|folio|folios|display page|open at|opened at|"
    "page opening|display opening|displayed opening|displayed page|displayed pages|page displayed|"
    "page shown|pages shown|to be shown|shown open at|pp|ff|opening shown|aufgeschlagene seite|"
    "aufgeschlagene seiten|aufgeschlagen|aufgeschlagen bei|"
    "gezeigte seite|seite|seiten|offnung bei|page exposee|page ouverte|ouvert a|pagina|"
    "pagina abierta|pagina expuesta|folio expuesto|feuillet|blatt",
    "height": "height|h|ht|board height|height of boards|hohe|hoehe|hohe deckel|hauteur|haut|alto|"
    "altura|altezza|hoogte|hojd",
    "width": "width|w|wd|board width|width of boards|breadth|breite|br|b|largeur|larg|ancho|"
    "anchura|largura|larghezza|breedte|bredd",
    "left_width": "left width|left board|left board width|width left|w left|board width left|"
    "breite links|largeur gauche|ancho izquierdo",
    "right_width": "right width|right board|right board width|width right|w right|"
    "board width right|breite rechts|largeur droite|ancho derecho",
    "spine_width": "spine width|spine|spine at opening|rucken|ruckenbreite|dos|largeur du dos|"
    "lomo|ancho del lomo",
    "thickness": "thickness|t|th|thick|depth|d|dicke|starke|tiefe|epaisseur|ep|profondeur|prof|"
    "grosor|espesor|fondo|profundidad|espessura|profundidade|spessore|profondita|dikte|diepte|"
    "djup|tjocklek",
    "left_rise": "left rise|rise left|left fore edge height|rise l",
    "right_rise": "right rise|rise right|right fore edge height|rise r",
    "left_joint": "left joint|joint left|left joint height",
    "right_joint": "right joint|joint right|right joint height",
    "left_fore_edge": "left fore edge|fore edge left",
    "right_fore_edge": "right fore edge|fore edge right",
    "spine_tilt": "spine tilt|tilt|tilt of spine",
    "span": "span|fore edge to fore edge",
    "left_slope": "left slope|slope left|left angle|neigung links|steigung links|pente gauche|"
    "pendiente izquierda",
    "right_slope": "right slope|slope right|right angle|neigung rechts|steigung rechts|"
    "pente droite|pendiente derecha",
    "opening_angle": "opening angle|opens to|opens|angle|open angle|opening deg|comfortable angle|"
    "max opening|maximum opening|max opening angle|offnungswinkel|winkel|offnung|"
    "angle d ouverture|ouverture|angle|angulo|angulo de apertura|apertura",
    "left_side": "left side|left thickness|left block",
    "right_side": "right side|right thickness|right block",
    "weight": "weight|wt|mass|estimated weight|est weight|approx weight|gewicht|poids|peso|vikt",
    "cover": "cover|einbanddecke|couverture|cubierta",
    "binding": "binding|binding type|kind of binding|einband|bindung|reliure|encuadernacion|"
    "rilegatura",
    "note": "note|notes|remark|remarks|comment|comments|condition notes|bemerkung|bemerkungen|"
    "anmerkung|anmerkungen|hinweis|remarque|remarques|observations|nota|notas|observaciones",
    "units": "units|unit|einheit|unite|unidad",
    "case": "case|vitrine|showcase|display case|case no|vitrine nr|vitrine no|vitrina",
    "place": "place|place in case|position|position in case|case position|place in the case|"
    "platz|platz in der vitrine|position dans la vitrine|lugar en la vitrina",
    "copies": "copies|qty|quantity|number of copies|supports needed|anzahl|quantite|cantidad",
    "size": "size|sizes|dimensions|dims|measurements|h x w x t|h x w x d|hxwxt|hxwxd|h w t|h w d|"
    "dimensions display text|dimensions cm|masse|abmessungen|objektmass|buchmasse|grosse|format|"
    "mesures|dimensions du codex|dimensiones|dimension|medidas|dimensioni|"
    "dimensoes|descricao fisica|physical description",
    "lux": "lux|lux level|light|light level|lichtwert",
    "exhibit": "exhibit|exhibition|ausstellung|exposition|exposicion",
    "support.gauge": "gauge|film|film gauge",
    "support.layers": "layers|film layers",
}
_UNIT_WORDS = {
    "deg": "°",
    "degrees": "°",
    "grad": "°",
    "degres": "°",
    "grados": "°",
    "°": "°",
    "inches": "in",
    "inch": "in",
    "zoll": "in",
    "pouces": "in",
    "pulgadas": "in",
    "g": "g",
    "gr": "g",
    "grams": "g",
    "gramm": "g",
    "kg": "kg",
    "lb": "lb",
    "lbs": "lb",
    "oz": "oz",
    "mm": "mm",
    "cm": "cm",
    "in": "in",
    "m": "m",
}
_BEFORE_UNIT = frozenset(("in", "en", "a"))
"""Words between a name and its unit: "Hauteur en mm"."""
_SAID_AS = {"n°": "no ", "nº": "no ", "№": "no "}
ACCESSION = "accession"
"""What an inventory calls its number: the number where no other column holds one."""
DESCRIPTION = "description"
"""The title where no other column holds one, else nothing."""
OBJECT = "object"
"""The title where no other column holds one; else the number, where no other holds that."""
_OF_A_BOOK = frozenset(
    "closed overall item object book geschlossen gesamt ferme fermee fermes fermees livre buch "
    "cerrado cerrada cerradas chiuso chiusa dicht stangd".split()
)
"""Words beside a name that leave it what it is: "Size closed", "Object title"."""
_SO_NAMED = frozenset(("height", "width", "thickness", "size", "title", "weight"))
LIKE = 0.8
"""How alike two names are, from 0 to 1, for one to be suggested for the other."""


def words_of(header: str) -> list[str]:
    """Return a header's words: small letters without accents; a unit is the last.

    >>> words_of("HeightCM"), words_of("Höhe (mm)"), words_of("Title[4601]")
    (['height', 'cm'], ['hohe', 'mm'], ['title'])
    """
    text = re.sub(r"\[\d+\]\s*$", "", header)
    text = re.sub(r"(?<=[a-zß-ÿ])(?=[A-Z])", " ", text).lower()
    for sign, word in _SAID_AS.items():
        text = text.replace(sign, word)
    text = unicodedata.normalize("NFKD", text.replace("×", " x ").replace("°", " ° "))
    text = "".join(c for c in text if not unicodedata.combining(c)).replace("ß", "ss")
    return re.sub(r"[^\w#°]+|_", " ", text).split()


def unit_behind(words: list[str]) -> tuple[list[str], str]:
    """Return the words before a header's unit, and the unit, empty where none is named.

    >>> unit_behind(["hauteur", "en", "mm"]), unit_behind(["mm"])
    ((['hauteur'], 'mm'), (['mm'], ''))
    """
    if len(words) < 2 or words[-1] not in _UNIT_WORDS:
        return words, ""
    name = words[:-1]
    if len(name) > 1 and name[-1] in _BEFORE_UNIT:
        name = name[:-1]
    return name, _UNIT_WORDS[words[-1]]


def unit_alone(text: str) -> str:
    """Return the unit where a header is nothing else, as in a row of units under the names.

    >>> unit_alone("[mm]"), unit_alone("in °"), unit_alone("Title")
    ('mm', '°', '')
    """
    words = words_of(text)
    named = words[1:] if len(words) > 1 and words[0] in _BEFORE_UNIT else words
    return _UNIT_WORDS.get(named[0], "") if len(named) == 1 else ""


def field_named(name: str) -> str:
    """Return what a column of this name holds, empty where nobody knows it.

    >>> field_named("board width"), field_named("accession no"), field_named("xyzzy")
    ('width', 'accession', '')
    >>> field_named("size closed"), field_named("object title"), field_named("size open")
    ('size', 'title', '')
    """
    if name in _BY_NAME:
        return _BY_NAME[name]
    plain = _BY_NAME.get(" ".join(word for word in name.split() if word not in _OF_A_BOOK), "")
    return plain if plain in _SO_NAMED else ""


def nearest(name: str) -> str:
    """Return the field whose name is nearest to a misspelt one, to be suggested; or nothing.

    >>> nearest("heigth"), nearest("colour of the case")
    ('height', '')
    """
    from difflib import get_close_matches

    close = get_close_matches(name, [one for one in _BY_NAME if len(one) > 3], 1, LIKE)
    found = _BY_NAME[close[0]] if close and len(name) > 3 else ""
    return {ACCESSION: "number", OBJECT: "title", DESCRIPTION: "title"}.get(found, found)


def _names() -> dict[str, str]:
    names: dict[str, str] = {}
    for path, words in _SYNONYMS.items():
        for word in words.split("|"):
            names.setdefault(word, path)
    for one in FIELDS:
        names.setdefault(one.name.replace("_", " "), one.path)
        names.setdefault(_long_name(one.path), one.path)
    return names


def _long_name(path: str) -> str:
    """Return a name that is one field's alone: what it is called shortly may say another thing."""
    words = path.replace(".", " ").replace("_", " ")
    return words if "." in path else f"slip {words}"


def name_of(path: str) -> str:
    """Return the shortest name of a field that is read as that field again.

    >>> name_of("left_rise"), name_of("support.film"), name_of("pages")
    ('left_rise', 'support film', 'slip pages')
    """
    short = path.rpartition(".")[2]
    return short if field_named(" ".join(words_of(short))) == path else _long_name(path)


_BY_NAME = _names()
