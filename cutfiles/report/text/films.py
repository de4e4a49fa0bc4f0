"""The films at hand as a table for people, and as data."""

from collections.abc import Sequence
from typing import Any

from cutfiles.bench.at_hand import FilmKind
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


def films_table(stocks: Sequence[FilmKind]) -> str:
    """Return films as a table; a column that no film fills is left out."""
    rows = [_row(stock) for stock in stocks]
    used = [i for i in range(len(_COLUMNS)) if any(row[i] for row in rows)]
    lines = [[row[i] for i in used] for row in (_COLUMNS, *rows)]
    wide = [max(len(line[i]) for line in lines) for i in range(len(used))]
    return "\n".join(
        "  ".join(f"{cell:<{width}}" for cell, width in zip(line, wide, strict=True)).rstrip()
        for line in lines
    )


def films_data(stocks: Sequence[FilmKind]) -> list[dict[str, Any]]:
    """Return films as data: gauge in mm, modulus in MPa, sizes in mm (a roll's height is null)."""
    return [
        {
            "name": stock.name,
            "gauge_mm": round(stock.gauge, 4),
            "modulus_MPa": stock.modulus,
            "coating": stock.coating,
            "form": stock.form,
            "sizes_mm": [[round(w, 2), round(h, 2) or None] for w, h in stock.sizes],
            "grain": stock.grain,
            "price": stock.price,
            "source": stock.source,
        }
        for stock in stocks
    ]


def _row(stock: FilmKind) -> tuple[str, ...]:
    sizes = ", ".join(f"{w:g} × {h:g}" if h else f"{w:g} wide" for w, h in stock.sizes)
    return (
        stock.name,
        f"{round(stock.gauge, 4):g}",
        f"{round(stock.gauge / MM_PER_MIL, 2):g}",
        f"{stock.modulus:g}",
        stock.coating,
        "" if stock.form == "unknown" else stock.form,
        sizes,
        "" if stock.grain == "unknown" else stock.grain,
        stock.price,
        stock.source,
    )
