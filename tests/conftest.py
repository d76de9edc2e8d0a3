"""Skips are loud, and in continuous integration they are failures."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile("project", deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
settings.load_profile("project")

sys.path.insert(0, str(Path(__file__).parents[1]))  # benchmarks are imported by their own tests


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say loudly what was left out."""
    for report in terminalreporter.stats.get("skipped", []):
        terminalreporter.write_line(f"NOT TESTED: {report.nodeid}: {report.longrepr[-1]}", red=True, bold=True)


def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    """In continuous integration nothing may be skipped."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if os.environ.get("CI") and reporter and reporter.stats.get("skipped") and exitstatus == 0:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
