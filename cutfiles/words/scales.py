"""How a drawing comes to have another size: units that were taken for one another."""

KNOWN_SCALES = {
    25.4: "millimetres were taken for inches",
    1 / 25.4: "inches were taken for millimetres",
    10.0: "millimetres were taken for centimetres",
    0.1: "centimetres were taken for millimetres",
    72 / 25.4: "points were taken for millimetres",
    25.4 / 72: "millimetres were taken for points",
    96 / 25.4: "pixels at 96 to the inch were taken for millimetres",
    25.4 / 96: "millimetres were taken for pixels at 96 to the inch",
    25.4 / 90: "millimetres were taken for pixels at 90 to the inch",
    90 / 25.4: "pixels at 90 to the inch were taken for millimetres",
    96 / 72: "96 was taken for 72 to the inch",
    72 / 96: "72 was taken for 96 to the inch",
    96 / 90: "96 was taken for 90 to the inch",
    90 / 96: "90 was taken for 96 to the inch",
}
"""What happened, by how many times as large the drawing is."""


def scale_told(factor: float, within: float) -> str:
    """Return how a drawing comes to be so many times as large, in brackets, or nothing.

    Args:
        factor: how many times as large it is.
        within: how far off the scale that it comes to, as a share of it.

    >>> scale_told(25.4, 1e-6)
    ' (millimetres were taken for inches)'
    >>> scale_told(1.1, 1e-6)
    ''

    """
    return next(
        (f" ({why})" for k, why in KNOWN_SCALES.items() if abs(factor / k - 1) < within), ""
    )
