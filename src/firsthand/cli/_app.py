"""The application: its commands are functions in the modules beside this one."""

from __future__ import annotations

import sys
from contextvars import ContextVar

import typer

__all__ = ["READER", "app", "main"]

READER: ContextVar[str] = ContextVar("READER", default="cm")
"""The reader's unit of length, as soon as it is known; errors are told in it."""

app = typer.Typer(
    name="firsthand",
    help="A first hand for the solo costume maker: checks, fits, lays, lists, prints and plans a whole costume.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

STOPPED = 130
"""Exit code after Ctrl-C, as shells count it: 128 and the number of the signal."""


def main() -> None:
    """Run the command line.

    Exit codes: 0 what was asked for was written, findings or not; 1 something asked for is blocked; 2 bad input or usage;
    130 stopped from the keyboard.
    """
    import firsthand.cli._accept
    import firsthand.cli._alter
    import firsthand.cli._board
    import firsthand.cli._body
    import firsthand.cli._cloth
    import firsthand.cli._commands
    import firsthand.cli._faults
    import firsthand.cli._fitting
    import firsthand.cli._import
    import firsthand.cli._photo
    import firsthand.cli._sizes  # noqa: F401  # importing them registers their commands
    from firsthand.errors import Blocked, FirsthandError, NotThere
    from firsthand.units import Unit, shown

    READER.set(Unit.CM)
    try:
        app()
    except Blocked as blocked:
        sys.stderr.write(f"{shown(str(blocked), Unit(READER.get()))}\n")
        sys.exit(1)
    except FirsthandError as error:
        near = f". {error.remedy}" if isinstance(error, NotThere) and error.remedy.startswith("Did you mean") else ""
        sys.stderr.write(f"{shown(str(error) + near, Unit(READER.get()))}\n")
        sys.exit(2)
    except OSError as error:
        named = f"{error.filename}: " if error.filename else ""
        sys.stderr.write(f"{named}{error.strerror or error}. Look at the file and its folder, then try again.\n")
        sys.exit(2)
    except SystemExit as stop:
        if stop.code == STOPPED:
            sys.stderr.write("Stopped. Nothing half-written is left behind.\n")
        raise
