"""Colours and styles as editors write them: attributes, style texts, rules by class or id."""

import re
from collections.abc import Mapping

from cutfiles.edits.limits import MOST_LETTERS

_PLAIN = {
    "black": "#000000",
    "white": "#FFFFFF",
    "red": "#FF0000",
    "lime": "#00FF00",
    "green": "#008000",
    "blue": "#0000FF",
    "yellow": "#FFFF00",
    "cyan": "#00FFFF",
    "aqua": "#00FFFF",
    "magenta": "#FF00FF",
    "fuchsia": "#FF00FF",
    "gray": "#808080",
    "grey": "#808080",
    "orange": "#FFA500",
    "purple": "#800080",
}
_ASKED = ("stroke", "fill", "display", "visibility", "stroke-dasharray")
_NOT_HANDED_DOWN = ("display",)
_RULE = re.compile(r"([^{}]{1,400})\{([^{}]{0,4000})\}")

Rules = Mapping[str, Mapping[str, str]]


def colour_of(text: str) -> str:
    """Return a colour as ``#RRGGBB``; empty where it is none or cannot be told.

    >>> colour_of("#09e"), colour_of("rgb(0, 114,178)"), colour_of("none")
    ('#0099EE', '#0072B2', '')
    """
    text = text.strip().lower()
    if match := re.fullmatch(r"#([0-9a-f])([0-9a-f])([0-9a-f])", text):
        return "#" + "".join(c * 2 for c in match.groups()).upper()
    if re.fullmatch(r"#[0-9a-f]{6}([0-9a-f]{2})?", text):
        return text[:7].upper()
    if match := re.fullmatch(r"rgba?\(([^()]{1,60})\)", text):
        parts = re.findall(r"(\d{1,3}(?:\.\d{1,6})?)(%?)", match[1])[:3]
        if len(parts) == 3:
            levels = (float(n) * (2.55 if percent else 1.0) for n, percent in parts)
            return "#" + "".join(f"{min(255, round(level)):02X}" for level in levels)
    return _PLAIN.get(text, "")


def rules_of(css: str) -> dict[str, dict[str, str]]:
    """Return what a style sheet says by selector, simple ones: tag, .class, #id."""
    found: dict[str, dict[str, str]] = {}
    css = re.sub(r"/\*.*?\*/", "", css[: 50 * MOST_LETTERS], flags=re.DOTALL)
    for selectors, body in _RULE.findall(css):
        said = styled(body)
        for selector in selectors.split(","):
            found.setdefault(selector.strip(), {}).update(said)
    return found


def styled(text: str) -> dict[str, str]:
    """Return the properties that count in a style text."""
    found = {}
    for part in text[:MOST_LETTERS].split(";"):
        name, colon, value = part.partition(":")
        if colon and name.strip().lower() in _ASKED:
            found[name.strip().lower()] = value.replace("!important", "").strip()
    return found


def declared(
    attributes: Mapping[str, str], tag: str, rules: Rules, above: Mapping[str, str]
) -> dict[str, str]:
    """Return an element's style: handed down, then attributes, then rules, then its own."""
    style = {name: value for name, value in above.items() if name not in _NOT_HANDED_DOWN}
    style |= {name: attributes[name].strip() for name in _ASKED if name in attributes}
    if rules:
        names = [tag, *(f".{one}" for one in attributes.get("class", "")[:200].split())]
        for name in (*names, f"#{attributes.get('id', '')}"):
            style |= rules.get(name, {})
    style |= styled(attributes.get("style", ""))
    return {name: value for name, value in style.items() if value != "inherit"}
