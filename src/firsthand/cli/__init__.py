"""The command line: ``firsthand COMMAND``. Everything heavy is imported inside the commands."""

from firsthand.cli._app import main

__all__ = ["main"]
