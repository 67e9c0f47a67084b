"""Builds the content of each report from the records; what is shown and how is decided elsewhere."""

from reports.build.common import parties_of
from reports.build.holes import holes_report
from reports.build.returns import returns_report
from reports.build.visit import visit_report

__all__ = ["holes_report", "parties_of", "returns_report", "visit_report"]
