"""Find what is wrong with a loop, and how near to its limits it is."""

from brinewright.checks.case import LoopCase
from brinewright.checks.catalogue import CRITERIA, criterion_named
from brinewright.checks.check import check
from brinewright.checks.finding import Finding
from brinewright.checks.report import Report

__all__ = ["CRITERIA", "Finding", "LoopCase", "Report", "check", "criterion_named"]
