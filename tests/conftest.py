"""Says in one line what a run left out and why; under CI=true nothing may be left out.

A test that cannot run here (no browser, a library without a build for this computer) skips itself
with a reason.  On a user's machine the run stays green and the reason is told; in CI the same
skip is a failure, so that nothing can quietly stop being tested.
"""

import os
from collections import Counter

import pytest

IN_CI = os.environ.get("CI", "").lower() in {"1", "true", "yes"}


def reason_of(report: pytest.TestReport | pytest.CollectReport) -> str:
    words = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
    return words.removeprefix("Skipped: ").strip()


def refuse_in_ci(report):
    if IN_CI and report.skipped and not hasattr(report, "wasxfail"):
        report.longrepr = f"left out, which CI does not allow: {reason_of(report)}"
        report.outcome = "failed"
    return report


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport():
    return refuse_in_ci((yield))


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report():
    return refuse_in_ci((yield))


def pytest_terminal_summary(terminalreporter):
    reasons = Counter(reason_of(report) for report in terminalreporter.getreports("skipped"))
    if reasons:
        told = "; ".join(f"{count} ({reason})" for reason, count in reasons.items())
        terminalreporter.write_line(f"Left out here: {told}")


@pytest.fixture(scope="session")
def model():
    """The compiled model, so that long runs are short; the digits are those of the plain one."""
    from tidalbay.engine import compile_now

    compile_now()
