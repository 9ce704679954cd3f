"""A pytest plugin for CI: a test that was skipped counts as a failure, since there every tool has to be present."""

from __future__ import annotations

import pytest


class FailOnSkip:
    def __init__(self) -> None:
        self.skipped: list[str] = []

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.skipped and not hasattr(report, "wasxfail"):
            self.skipped.append(report.nodeid)

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.skipped:
            self.skipped.append(report.nodeid)

    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        if self.skipped and session.exitstatus == pytest.ExitCode.OK:
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        if self.skipped:
            terminalreporter.write_line(f"{len(self.skipped)} skipped, which counts as a failure here:", red=True)
            for name in self.skipped:
                terminalreporter.write_line(f"  {name}")


def pytest_configure(config: pytest.Config) -> None:
    config.pluginmanager.register(FailOnSkip(), "fail_on_skip_reports")
