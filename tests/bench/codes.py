"""What the code of a label costs: segno's own search for the best mask, and ours; ms a code."""

import time

import segno

from cutfiles.report.printed.codes import code_of

TEXTS = [
    f"N{i:04}\nBook {i}\np. {i}\nheight 183.0 mm\nspine 22.0 mm\nleft 116.0 mm 37.0 deg\n"
    f"right 116.0 mm 45.0 deg\nweight estimated\nfilm 1 x 0.1778 mm\nrevision {i:08x}"
    for i in range(100)
]


def main() -> None:
    """Print both; each text is new to both."""
    ways = {
        "segno alone": lambda text: segno.make_qr(
            text, error="m", boost_error=False, encoding="utf-8"
        ),
        "ours": code_of,
    }
    for name, way in ways.items():
        way("of this size, once\n" + TEXTS[0][19:])
        begun = time.process_time()
        for text in TEXTS:
            way(text)
        print(f"{name:12} {(time.process_time() - begun) / len(TEXTS) * 1000:5.1f}")


if __name__ == "__main__":
    main()
