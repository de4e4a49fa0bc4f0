"""`python -m cutfiles` is the command; so is the installed one."""

import sys


def main() -> None:
    """Run the command; interrupted while it starts, it ends without a word too many."""
    try:
        from cutfiles.cli import main as run

        run()
    except KeyboardInterrupt:
        sys.exit("stopped")


if __name__ == "__main__":
    main()
