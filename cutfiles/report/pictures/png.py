"""Pictures as PNG, by resvg; comes with the extra `png`."""

from cutfiles.errors import FileError

DOTS_PER_INCH = 150


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
    zoom = DOTS_PER_INCH / 96
    return bytes(resvg_py.svg_to_bytes(svg_string=svg.decode(), dpi=96, zoom=zoom))
