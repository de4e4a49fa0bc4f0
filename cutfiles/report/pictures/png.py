"""Pictures as PNG, by resvg; comes with the extra `png`."""

from pathlib import Path

from cutfiles.errors import FileError

DOTS_PER_INCH = 150
_FONTS = Path(__file__).parents[1] / "fonts"
"""They have a letter for every script, whatever the machine has."""


def png_from_svg(svg: bytes) -> bytes:
    """Return a picture as PNG, 150 dots an inch.

    Raises:
        FileError: the extra is not installed.

    """
    try:
        import resvg_py
    except ImportError:
        raise FileError(
            "no renderer for PNG",
            "PNG pictures need the extra png",
            "install it with: pip install 'cutfiles[png]'",
            "pictures",
            "png",
        ) from None
    zoom, fonts = DOTS_PER_INCH / 96, str(_FONTS)
    made = resvg_py.svg_to_bytes(svg_string=svg.decode(), dpi=96, zoom=zoom, font_dirs=[fonts])
    return bytes(made)
