"""The application: its commands are functions in the modules beside this one."""

from __future__ import annotations

import sys

import typer

__all__ = ["app", "main"]

app = typer.Typer(
    name="firsthand",
    help="A first hand for the solo costume maker: checks, fits, lays, lists, prints and plans a whole costume.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


def main() -> None:
    """Run the command line.

    Exit codes: 0 what was asked for was written, findings or not; 1 something asked for is blocked; 2 bad input or usage.
    """
    import firsthand.cli._commands
    import firsthand.cli._import  # noqa: F401  # importing them registers their commands
    from firsthand.errors import Blocked, FirsthandError

    try:
        app()
    except Blocked as blocked:
        sys.stderr.write(f"{blocked}\n")
        sys.exit(1)
    except FirsthandError as error:
        sys.stderr.write(f"{error}\n")
        sys.exit(2)
    except KeyboardInterrupt:
        sys.stderr.write("Stopped. Nothing half-written is left behind.\n")
        sys.exit(2)
