"""A list of 60 rows on the desk: how long it is read, answered, made; nothing is kept.

python tests/bench/desk_list.py
"""

import re
import sys
import tempfile
import time
from pathlib import Path

TESTS = Path(__file__).parent.parent
sys.path[:0] = [str(TESTS), str(TESTS / "desk")]

from desks import running  # noqa: E402
from test_list import base, counts, sent, sixty, waited  # noqa: E402


def main():
    """Answer the list as the tests do, make all of it, and print what each took."""
    began = time.perf_counter()

    def told(what):
        nonlocal began
        now = time.perf_counter()
        print(f"{what:<10} {now - began:6.1f} s")
        began = now

    with (
        tempfile.TemporaryDirectory() as folder,
        running(Path(folder)) as desk,
        desk.client() as client,
    ):
        told("begun")
        at = sent(client, "objects.csv", sixty())
        told("read")
        said = {"base": base(client, at), "ask.unit.0.0": "cm"}
        page = client.get(at).text
        said |= dict.fromkeys(re.findall(r'name="(cell\.0\.\d+\.opening_angle)"', page), "100")
        wide = re.findall(r'name="(cell\.0\.\d+\.size)" value="(\d+) x (\d+) x 3 cm"', page)
        said |= {name: f"H {h} x W {w} x T 3 cm" for name, h, w in wide}
        client.post(at, data=said)
        assert counts(client.get(at).text) == (60, 60, 0)
        told("answered")
        client.post(f"{at}/make", data={"base": base(client, at), "paper": "none"})
        done = waited(client, at, seconds=600)
        assert "60 made" in done["part"], done
        told("made")


if __name__ == "__main__":
    main()
