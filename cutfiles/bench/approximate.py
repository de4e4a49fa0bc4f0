"""Words that say a measure is not exact: read in a slip as in a list, and told."""

import re
from collections.abc import Mapping
from typing import Any

from cutfiles.bench.fields import MEASURES
from cutfiles.findings import Finding

_ABOUT = re.compile(
    r"^\s*(?:~|≈|ca\.?|c\.|circa|about|approx\.?|approximately|abt\.?|etwa|rund|ungefähr|zirka|"
    r"environ|env\.?|vers|aprox\.?|aproximadamente)\s*(?=[\d.,¼½¾⅓⅔⅛⅜⅝⅞])",
    re.IGNORECASE,
)
_MEASURED = frozenset(one.name for one in MEASURES if one.kind in ("length", "weight", "angle"))


def about(text: str) -> str:
    """Return a measure without a word that says it is not exact.

    >>> about("ca. 110°"), about("~ 8 in"), about("environ 120")
    ('110°', '8 in', '120')
    """
    return _ABOUT.sub("", text).strip()


def exact(values: Mapping[str, Any]) -> tuple[dict[str, Any], tuple[Finding, ...]]:
    """Return a slip's values without such words, and what is told of each.

    >>> exact({"height": "about 8 in", "title": "About 8"})[0]
    {'height': '8 in', 'title': 'About 8'}
    """
    plain, told = dict(values), []
    for name, value in values.items():
        if name in _MEASURED and isinstance(value, str) and about(value) != value.strip():
            plain[name] = about(value)
            said = f'{name}: "{value}" was read as {plain[name]}; measure it where it matters'
            told.append(Finding("about", name, said, severity="ask"))
    return plain, tuple(told)
