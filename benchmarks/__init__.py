"""Speed and memory, one command a table: ``python -m benchmarks``; lays: ``python -m benchmarks.lay``; alterations:
``python -m benchmarks.alter``."""
