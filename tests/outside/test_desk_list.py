"""A list on the desk in a real browser: by keyboard, after a reload, on a phone in the dark."""

from browser import browse

ROWS = 'No.,Title,Size,Spine,Opens to\nA1,One,20 x 13 x 3,3 cm,\nA2,"<i>Two</i>",21 cm,3 cm,100\n'
INSIDE = ["wait", "document.title.startsWith('The desk ·')"]


def test_a_list_is_answered_by_keyboard_and_keeps_what_was_typed(desk, tmp_path):
    (tmp_path / "objects.csv").write_text(ROWS, encoding="utf-8")
    answer = "cell.0.2.opening_angle"
    value = f"document.querySelector('[name=\"{answer}\"]')?.value"
    steps = [
        INSIDE,
        ["goto", desk.origin + "/list"],
        ["axe", "begin"],
        ["upload", "#list", str(tmp_path / "objects.csv")],
        ["click", "text=Read it"],
        ["wait", "!!document.querySelector('#asked .cause')"],
        ["axe", "asked"],
        ["read", "at", "location.pathname"],
        ["tab", answer],
        ["type", "100"],
        ["key", "F5"],
        ["wait", f"{value} === '100'"],
        ["focus", f'[name="{answer}"]'],
        ["key", "Enter"],
        ["wait", f"!{value} && !!document.querySelector('.counts')"],
        ["read", "counts", "document.querySelector('.counts').textContent"],
        ["read", "left", "[...document.querySelectorAll('.cause legend')].map(l => l.textContent)"],
    ]
    found = browse(desk.door, steps, origin=desk.origin)
    assert found["begin"] == found["asked"] == []
    assert found["counts"].startswith("2 books: 0 can be made, 2 refused")
    assert found["left"] == ["Size: 1 row", "width: 1 row"]
    phone = [
        INSIDE,
        ["goto", desk.origin + found["at"]],
        ["read", "open", "document.querySelectorAll('details').forEach(one => one.open = true)"],
        ["read", "wide", "document.documentElement.scrollWidth"],
        ["axe", "dark"],
    ]
    small = browse(desk.door, phone, origin=desk.origin, screen=[320, 640], dark=True)
    assert small["wide"] == 320
    assert small["dark"] == []
