"""The films at hand as a table for people, and as data."""

from collections.abc import Sequence
from typing import Any

from cutfiles.bench.at_hand import FilmKind
from cutfiles.report.text.columns import aligned
from cutfiles.units import MM_PER_MIL

_COLUMNS = (
    "name",
    "gauge mm",
    "mil",
    "modulus MPa",
    "coating",
    "form",
    "sizes mm",
    "grain",
    "price",
    "source",
)


def films_table(kinds: Sequence[FilmKind]) -> str:
    """Return films as a table; a column that no film fills is left out."""
    rows = [_row(kind) for kind in kinds]
    used = [i for i in range(len(_COLUMNS)) if any(row[i] for row in rows)]
    return "\n".join(aligned([[row[i] for i in used] for row in (_COLUMNS, *rows)]))


def films_data(kinds: Sequence[FilmKind]) -> list[dict[str, Any]]:
    """Return films as data: gauge in mm, modulus in MPa, sizes in mm (a roll's height is null)."""
    return [
        {
            "name": kind.name,
            "gauge_mm": round(kind.gauge, 4),
            "modulus_MPa": kind.modulus,
            "coating": kind.coating,
            "form": kind.form,
            "sizes_mm": [[round(w, 2), round(h, 2) or None] for w, h in kind.sizes],
            "grain": kind.grain,
            "price": kind.price,
            "source": kind.source,
        }
        for kind in kinds
    ]


def _row(kind: FilmKind) -> tuple[str, ...]:
    sizes = ", ".join(f"{w:g} × {h:g}" if h else f"{w:g} wide" for w, h in kind.sizes)
    return (
        kind.name,
        f"{round(kind.gauge, 4):g}",
        f"{round(kind.gauge / MM_PER_MIL, 2):g}",
        f"{kind.modulus:g}",
        kind.coating,
        "" if kind.form == "unknown" else kind.form,
        sizes,
        "" if kind.grain == "unknown" else kind.grain,
        kind.price,
        kind.source,
    )
