"""``python -m firsthand``."""

from firsthand.cli import main

main()
