"""`python -m netcheck`, and the installed command."""

import sys


def main() -> None:
    """Run the command; somebody may interrupt it while it is being loaded."""
    try:
        from netcheck.cli.main import main as command

        command()
    except KeyboardInterrupt:
        sys.stderr.write("netcheck: interrupted; nothing was decided\n")
        sys.exit(3)


if __name__ == "__main__":
    main()
