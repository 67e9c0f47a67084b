"""Template filters of the reports."""
